package piece

import (
	"fmt"

	"mouldwright/internal/flow/relief"
)

// Slopes names what of a design slopes gently, where layers show, with the key that
// changes it: rounded edges, swollen tops, round strokes, and shaded art.
func (c Choices) Slopes() []string {
	var out []string
	if c.EdgeMM > 0 && c.Outline != "mesh" {
		out = append(out, "the rounded edge (edge_mm)")
	}
	if c.Top != "flat" && c.Outline != "mesh" {
		out = append(out, "the "+c.Top+" top (top)")
	}
	for i, a := range c.Art {
		as := a.As
		if a.Text == "" && (as == "" || as == "auto") {
			as = kind(a.File)
		}
		switch {
		case as == "depth" || as == "tone" || as == "mesh":
			out = append(out, fmt.Sprintf("the shades of %s (art[%d])", a.File, i+1))
		case a.Profile == relief.Round:
			out = append(out, fmt.Sprintf("round strokes (art[%d].profile)", i+1))
		}
	}
	return out
}
