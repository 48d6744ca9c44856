package piece

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// makeBody makes the body of a design, or of one row where its footprint is the
// row's own text. The body is nil when a finding says stop.
func makeBody(ctx context.Context, c Choices, in Inputs, row map[string]string, pitchMM float64) (*body, []finding.Finding, error) {
	if c.Outline == "mesh" {
		return meshBody(ctx, c, in, pitchMM)
	}
	o, list, ok := basic(c, in)
	var err error
	switch {
	case ok:
	case c.Outline == "file":
		o, list, err = fileOutline(ctx, c, in)
	case c.Outline == "text":
		o, list, err = textOutline(ctx, c, in, row)
	default:
		err = &finding.Error{Key: in.key("outline"), Found: fmt.Sprintf("%q", c.Outline),
			Allowed: "an outline that the reference of the job file lists", Do: "write one of those, such as round"}
	}
	if err != nil || finding.Worst(list) == finding.Stop {
		return nil, list, err
	}
	if len(o) == 0 {
		return nil, nil, &finding.Error{Key: in.key("width_mm"), Found: fmt.Sprintf("a footprint %g mm wide and %g mm deep", c.WidthMM, c.DepthMM), Allowed: "sizes above 0", Do: "write width_mm and depth_mm in millimetres"}
	}
	b, more, err := newBody(ctx, c, in, o, pitchMM)
	return b, append(list, more...), err
}

// fileOutline is the outline of a vector file without its holes, in the size asked for.
func fileOutline(ctx context.Context, c Choices, in Inputs) (geom.Outline, []finding.Finding, error) {
	data, err := in.file(c.File, in.key("file"))
	if err != nil {
		return nil, nil, err
	}
	d, list, err := in.readSVG(ctx, c.File, data)
	if err != nil {
		return nil, nil, err
	}
	o, holes := solid(d.Outline)
	if len(o) > 1 {
		return nil, append(list, in.stop("file", fmt.Sprintf("%s falls into %d bodies, a footprint is one", c.File, len(o)),
			"draw one closed shape, or join the shapes")), nil
	}
	if holes > 0 {
		list = append(list, finding.Finding{Severity: finding.Note, Where: in.key("file"),
			What: fmt.Sprintf("%d holes of the footprint are filled", holes), Do: "draw them as sunk art if you want to see them"})
	}
	return centred(sized(o, c.WidthMM, c.DepthMM)), list, nil
}

// textOutline is the outline of the piece's first text: its letters grown by the
// margin until they are one body, holes filled.
//
// The letters have the size that the art asks for; without one they are as large as
// the piece's width leaves after both margins.
func textOutline(ctx context.Context, c Choices, in Inputs, row map[string]string) (geom.Outline, []finding.Finding, error) {
	i := firstText(c)
	if i < 0 {
		return nil, nil, &finding.Error{Key: in.key("outline"), Found: "text, but the piece has no text", Do: "add art with text, or choose another outline"}
	}
	a := c.Art[i]
	t, list, err := draw(ctx, a, in, row, in.key("art[%d]", i+1))
	if err != nil {
		return nil, nil, err
	}
	w, h := a.WidthMM, a.HeightMM
	if w == 0 && h == 0 {
		w = c.WidthMM - 2*c.MarginMM
		if w <= 0 {
			return nil, []finding.Finding{in.stop("margin_mm", fmt.Sprintf("%g mm on both sides leave nothing of %g mm", c.MarginMM, c.WidthMM),
				"make the piece wider, or set the art's width_mm")}, nil
		}
	}
	set, _, err := t.outline(ctx, w, h) // what there is to say about the text, its layer says
	if err != nil {
		return nil, nil, err
	}
	letters := set.Outline
	o, bodies, err := grown(letters, c.MarginMM)
	if err != nil {
		return nil, nil, err
	}
	if bodies > 1 {
		low, high := c.MarginMM, c.MarginMM
		for bodies > 1 && high < 60 {
			low, high = high, 2*high+0.5
			if _, bodies, err = grown(letters, high); err != nil {
				return nil, nil, err
			}
		}
		for high-low > 0.05 {
			mid := (low + high) / 2
			if _, n, err := grown(letters, mid); err != nil {
				return nil, nil, err
			} else if n > 1 {
				low = mid
			} else {
				high = mid
			}
		}
		return nil, append(list, in.stop("margin_mm", fmt.Sprintf("with %g mm around the letters the piece falls apart", c.MarginMM),
			fmt.Sprintf("set margin_mm to %.1f or more, or move the letters together with tracking", math.Ceil(10*high)/10)).Mended(in.mend(c, "margin_mm", math.Ceil(10*high)/10))), nil
	}
	return centred(o.Transform(geom.Turn(a.TurnDeg))), list, nil
}

// softMM is the radius to which notches between the grown letters are filled out, so
// that neither the rubber nor the chocolate has a sharp inner corner there.
const softMM = 5

// grown is an outline grown by d mm, its notches rounded and its holes filled, and
// how many bodies it has.
func grown(o geom.Outline, d float64) (geom.Outline, int, error) {
	o, err := geom.Offset(o, d+softMM)
	if err != nil {
		return nil, 0, err
	}
	o, _ = solid(o)
	if o, err = geom.Offset(o, -softMM); err != nil {
		return nil, 0, err
	}
	return o, len(o), nil
}
