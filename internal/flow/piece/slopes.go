package piece

import (
	"fmt"
	"strings"

	"mouldwright/internal/flow/relief"
)

// Slope is a part of a design that leans gently somewhere, so that layers show on it as
// steps.
type Slope struct {
	Words string // with the key that changes it
	Key   string // of the choice that makes it level, below the piece's; empty: none does
	Level string // the value that does, as in the job file
}

// Slopes lists what leans gently in a design. A height of shades cannot be without; an edge
// or a top could, but would be another chocolate.
func (c Choices) Slopes() []Slope {
	var out []Slope
	if c.EdgeMM > 0 && c.Outline != "mesh" {
		out = append(out, Slope{Words: "the rounded edge (edge_mm)"})
	}
	if c.Top != "flat" && c.Outline != "mesh" {
		out = append(out, Slope{Words: "the " + c.Top + " top (top)"})
	}
	for i, a := range c.Art {
		as := a.As
		if a.Text == "" && (as == "" || as == "auto") {
			as = kind(a.File)
		}
		switch {
		case as == "depth" || as == "tone" || as == "mesh":
			out = append(out, Slope{Words: fmt.Sprintf("the shades of %s (art[%d])", a.File, i+1)})
		case a.Profile == relief.Round:
			key := fmt.Sprintf("art[%d].profile", i+1)
			out = append(out, Slope{"round strokes (" + key + ")", key, `"flat"`})
		}
	}
	return out
}

// InWords joins what leans gently.
func InWords(list []Slope) string {
	var words []string
	for _, s := range list {
		words = append(words, s.Words)
	}
	return strings.Join(words, ", ")
}
