package piece

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

const oblongRatio = 0.75 // depth to width of ovals and rectangles (our choice: it looks right)

// shapes are the footprints that need no art. ratio is the depth to the width of a piece
// that gives no depth (our choice: it looks right); 0: the shape has its own. draw makes
// the outline, w wide and d deep (d is 0 where neither says), anywhere.
var shapes = []struct {
	word  string // of Choices.Outline
	ratio float64
	draw  func(c Choices, in Inputs, w, d float64) (geom.Outline, []finding.Finding)
}{
	{"round", 0, round},
	{"oval", oblongRatio, simple(geom.Ellipse)},
	{"rectangle", oblongRatio, simple(geom.Rectangle)},
	{"rounded rectangle", oblongRatio, roundedRectangle},
	{"polygon", 0, polygon},
	{"heart", 0.92, simple(geom.Heart)},
}

// simple is a shape that width and depth alone describe.
func simple(shape func(w, d float64) geom.Outline) func(Choices, Inputs, float64, float64) (geom.Outline, []finding.Finding) {
	return func(_ Choices, _ Inputs, w, d float64) (geom.Outline, []finding.Finding) { return shape(w, d), nil }
}

// basic is the outline of a footprint that needs no art, centred on the origin; ok
// is false for the others.
func basic(c Choices, in Inputs) (o geom.Outline, list []finding.Finding, ok bool) {
	for _, s := range shapes {
		if s.word != c.Outline {
			continue
		}
		d := c.DepthMM
		if d == 0 && s.ratio > 0 {
			d = s.ratio * c.WidthMM
			list = append(list, finding.Finding{Severity: finding.Note, Where: in.key("depth_mm"),
				What: fmt.Sprintf("not given, %.4g mm assumed (%g of the width)", d, s.ratio), Do: "set depth_mm"})
		}
		o, more := s.draw(c, in, c.WidthMM, d)
		return centred(o), append(list, more...), true
	}
	return nil, nil, false
}

func round(_ Choices, in Inputs, w, d float64) (geom.Outline, []finding.Finding) {
	var list []finding.Finding
	if d != 0 && d != w {
		list = append(list, in.stop("depth_mm", fmt.Sprintf("%g mm, but a round piece is as deep as wide (%g mm)", d, w),
			`leave depth_mm out, or set outline = "oval"`).Mended(finding.Remedy{Key: in.key("depth_mm")}))
	}
	return geom.Circle(w / 2), list
}

func roundedRectangle(c Choices, in Inputs, w, d float64) (geom.Outline, []finding.Finding) {
	var list []finding.Finding
	if r := math.Min(w, d) / 2; c.CornerMM > r {
		list = append(list, in.stop("corner_mm", fmt.Sprintf("%g mm, at most half the shorter side, %g mm", c.CornerMM, r),
			fmt.Sprintf(`set corner_mm to %g or less, or outline = "oval"`, r)).Mended(in.mend(c, "corner_mm", r)))
	}
	return geom.RoundedRectangle(w, d, c.CornerMM), list
}

// polygon is a regular polygon that is w wide with its corners rounded; a depth squeezes
// it. Rounding takes a smaller polygon and moves its sides outwards by the corner's radius.
func polygon(c Choices, _ Inputs, w, d float64) (geom.Outline, []finding.Finding) {
	unit := geom.Polygon(c.Corners, 1, 0).Bounds().W()
	inner := 1 / math.Cos(math.Pi/float64(c.Corners)) // corner to centre of its arc, for radius 1
	cornerMM := math.Min(c.CornerMM, w/2*0.98)
	o := geom.Polygon(c.Corners, (w-2*cornerMM)/unit+cornerMM*inner, cornerMM)
	if d != 0 {
		o = o.Transform(geom.Scale(1, d/o.Bounds().H()))
	}
	return o, nil
}

// centred moves the middle of the outline's bounds to the origin.
func centred(o geom.Outline) geom.Outline {
	c := o.Bounds().Center()
	if c == (geom.Vec{}) {
		return o
	}
	return o.Transform(geom.Move(-c.X, -c.Y))
}

// sized stretches an outline to a width and, unless it is 0, a depth.
func sized(o geom.Outline, w, d float64) geom.Outline {
	b := o.Bounds()
	x := w / b.W()
	y := x
	if d != 0 {
		y = d / b.H()
	}
	return o.Transform(geom.Scale(x, y))
}

// solid drops the holes of a settled outline and counts the bodies that are left.
func solid(o geom.Outline) (out geom.Outline, holes int) {
	for _, r := range o {
		if r.Area() > 0 {
			out = append(out, r)
		} else {
			holes++
		}
	}
	return out, holes
}
