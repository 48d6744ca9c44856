package artwork

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/svg"
	"mouldwright/internal/base/geom"
)

// Vector brings a drawing to size: what is painted (not its page) is scaled evenly
// to the largest size within widthMM x heightMM and centred on the origin. A side
// of 0 is free; with both free the drawing keeps the size its file states.
//
// Points that the accuracy does not need (geom.FlattenMM) are dropped. Errors are
// *finding.Error: a drawing without area, a side that is no number or negative.
func Vector(d *svg.Drawing, widthMM, heightMM float64) (geom.Outline, error) {
	return fitOutline(d.Outline, widthMM, heightMM)
}

// fitOutline scales an outline into a box and centres it.
func fitOutline(o geom.Outline, widthMM, heightMM float64) (geom.Outline, error) {
	b := o.Bounds()
	if b.Empty() {
		return nil, &finding.Error{Key: "art", Found: "nothing to scale", Allowed: "art with an area", Do: "check the art's file"}
	}
	f, err := fitScale(b.W(), b.H(), widthMM, heightMM)
	if err != nil {
		return nil, err
	}
	if f == 0 {
		f = 1
	}
	c := b.Center()
	o = o.Transform(geom.Move(-c.X, -c.Y).Then(geom.Scale(f, f)))
	if err := o.Check(); err != nil {
		return nil, err
	}
	return geom.Simplify(o, geom.FlattenMM/4), nil
}

// fitScale is the largest factor by which w x h fits into the box; 0 when both its
// sides are free.
func fitScale(w, h, boxW, boxH float64) (float64, error) {
	for _, s := range [...]struct {
		key string
		v   float64
	}{{"width_mm", boxW}, {"height_mm", boxH}} {
		if !(s.v >= 0 && s.v <= geom.MaxMM) {
			return 0, &finding.Error{Key: s.key, Found: fmt.Sprintf("%g", s.v), Allowed: fmt.Sprintf("0 to %d mm", int(geom.MaxMM)), Do: "give the size of the art in millimetres"}
		}
	}
	switch {
	case boxW > 0 && boxH > 0:
		return math.Min(boxW/w, boxH/h), nil
	case boxW > 0:
		return boxW / w, nil
	case boxH > 0:
		return boxH / h, nil
	}
	return 0, nil
}
