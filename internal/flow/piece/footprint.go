package piece

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// Proportions of footprints that have none of their own, depth to width (our choice: they
// look right).
const (
	oblongRatio = 0.75 // oval, rectangle, rounded rectangle
	heartRatio  = 0.92
)

// basic is the outline of a footprint that needs no art, centred on the origin; ok
// is false for the others.
func basic(c Choices, in Inputs) (o geom.Outline, list []finding.Finding, ok bool) {
	w, d := c.WidthMM, c.DepthMM
	ratio := 0.0
	switch c.Outline {
	case "round", "polygon":
	case "oval", "rectangle", "rounded rectangle":
		ratio = oblongRatio
	case "heart":
		ratio = heartRatio
	default:
		return nil, nil, false
	}
	if d == 0 && ratio > 0 {
		d = ratio * w
		list = append(list, finding.Finding{Severity: finding.Note, Where: in.key("depth_mm"),
			What: fmt.Sprintf("not given, %.4g mm assumed (%g of the width)", d, ratio), Do: "set depth_mm"})
	}
	switch c.Outline {
	case "round":
		if d != 0 && d != w {
			list = append(list, in.stop("depth_mm", fmt.Sprintf("%g mm, but a round piece is as deep as wide (%g mm)", d, w),
				`leave depth_mm out, or set outline = "oval"`).Mended(finding.Remedy{Key: in.key("depth_mm")}))
		}
		o = geom.Circle(w / 2)
	case "oval":
		o = geom.Ellipse(w, d)
	case "rectangle":
		o = geom.Rectangle(w, d)
	case "rounded rectangle":
		if r := math.Min(w, d) / 2; c.CornerMM > r {
			list = append(list, in.stop("corner_mm", fmt.Sprintf("%g mm, at most half the shorter side, %g mm", c.CornerMM, r),
				fmt.Sprintf(`set corner_mm to %g or less, or outline = "oval"`, r)).Mended(in.mend(c, "corner_mm", r)))
		}
		o = geom.RoundedRectangle(w, d, c.CornerMM)
	case "polygon":
		o = polygon(w, c.Corners, c.CornerMM)
		if b := o.Bounds(); d != 0 {
			o = o.Transform(geom.Scale(1, d/b.H()))
		}
	case "heart":
		o = geom.Heart(w, d)
	}
	return centred(o), list, true
}

// polygon is a regular polygon that is w wide with its corners rounded. Rounding
// takes a smaller polygon and moves its sides outwards by the corner's radius.
func polygon(w float64, corners int, cornerMM float64) geom.Outline {
	unit := geom.Polygon(corners, 1, 0).Bounds().W()
	inner := 1 / math.Cos(math.Pi/float64(corners)) // corner to centre of its arc, for radius 1
	cornerMM = math.Min(cornerMM, w/2*0.98)
	return geom.Polygon(corners, (w-2*cornerMM)/unit+cornerMM*inner, cornerMM)
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
