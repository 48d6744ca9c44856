package forecast

import (
	"context"
	"slices"

	"mouldwright/internal/base/field"
)

// Width is what is narrowest at one depth of the art.
type Width struct {
	DepthMM  float64 // of the level above (or under, when sunk) the body
	RidgeMM  float64 // 0 where there is none
	GrooveMM float64
}

// narrowShare is the share of all medial places that may be narrower than what is
// called the narrowest, and tipMM the length of middle line that may be, so that
// neither a serif's tip nor a corner speaks for a stroke.
const (
	narrowShare = 0.01
	tipMM       = 0.2
)

// medialSlope is the greatest slope, squared, of the distance along a middle line: a
// wedge that opens by less than 35 degrees has one, the bisector of a wider corner, on
// which widths run out to nothing, is none.
const medialSlope = 0.09

// medial is the set's widths at its middle lines (the ridges of the distance to its
// edge). d is the distance to the nearest sample outside the set, in mm; the edge lies
// half a sample before that. Where the middle lies between two samples, the distance
// to it is added. Widths come out within one pitch.
func medial(d *field.Field, each func(k int, widthMM float32)) {
	p := float32(d.PitchMM)
	w := d.W
	for j := 2; j < d.H-2; j++ {
		for k := j*w + 2; k < (j+1)*w-2; k++ {
			v := d.Z[k]
			if v == 0 {
				continue
			}
			gx, fx := across(d.Z, k, 1, p)
			if gx > medialSlope {
				continue
			}
			gy, fy := across(d.Z, k, w, p)
			if gx+gy < medialSlope {
				each(k, 2*(v+p*max(fx, fy))-p)
			}
		}
	}
}

// across looks along one axis at sample k: the slope of the distance, squared; and on
// the crest of a middle line, where it falls on both sides, no slope but how far off
// the crest lies, in samples.
func across(z []float32, k, step int, p float32) (slope2, off float32) {
	v, a, b := z[k], z[k-step], z[k+step]
	g := (b - a) / (2 * p)
	if low := v - 0.5*p; v >= a-0.05*p && v >= b-0.05*p && z[k-2*step] < low && z[k+2*step] < low {
		return 0, min(max(g, -g), 0.5)
	}
	return g * g, 0
}

// widestGap bounds the widths that are asked for the narrowest, in mm: wider ones are
// ground.
const widestGap = 3

// robust is the narrowest of a set's widths but for tips, 0 without widths. d is as for
// medial.
func robust(d *field.Field) float64 {
	var w []float32
	medial(d, func(_ int, mm float32) {
		if mm <= widestGap {
			w = append(w, mm)
		}
	})
	if len(w) == 0 {
		return 0
	}
	return percentile(w, max(narrowShare, min(0.5, tipMM/d.PitchMM/float64(len(w)))))
}

// percentile is the value below which the given share lies; 0 without values. It
// sorts them.
func percentile(w []float32, share float64) float64 {
	if len(w) == 0 {
		return 0
	}
	slices.Sort(w)
	return float64(w[min(len(w)-1, int(share*float64(len(w))))])
}

// narrowest is the narrowest ridge and groove at height t of the art, which is
// negative under the body.
func narrowest(ctx context.Context, a *field.Field, t float32) (ridge, groove float64, err error) {
	set := a.Above(t)
	outside, err := field.Distance(ctx, set) // over the grooves
	if err != nil {
		return 0, 0, err
	}
	inside, err := field.Distance(ctx, set.Not())
	if err != nil {
		return 0, 0, err
	}
	return robust(inside), robust(outside), nil
}
