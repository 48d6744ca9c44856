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
// called the narrowest, so that a serif's tip does not speak for its stroke.
const narrowShare = 0.01

// medialSlope is the greatest slope, squared, of the distance transform at a place
// that counts as the middle of something. It is 0 on the middle line of a bar, 1
// between the line and the edge, and on the bisector of a corner the cosine of half
// the angle between the two edges' normals: 0.71 in a right angle. A bar of an even
// number of samples has two middle rows of slope 0.5.
const medialSlope = 0.36

// medial is the set's widths at its middle lines: twice the distance to the edge,
// which lies half a sample before the first sample outside. d is the distance to the
// nearest sample outside the set, in mm. Widths come out within one pitch.
func medial(d *field.Field, each func(k int, widthMM float32)) {
	p := float32(d.PitchMM)
	for j := 1; j < d.H-1; j++ {
		row, up, down := d.Row(j), d.Row(j+1), d.Row(j-1)
		for i := 1; i < d.W-1; i++ {
			v := row[i]
			if v == 0 {
				continue
			}
			gx, gy := (row[i+1]-row[i-1])/(2*p), (up[i]-down[i])/(2*p)
			if gx*gx+gy*gy < medialSlope {
				each(j*d.W+i, 2*v-p)
			}
		}
	}
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

// widestGap bounds the widths that count as grooves, in mm: wider ones are ground.
const widestGap = 3

// narrowest is the narrowest ridge and groove at height t of the art, which is
// negative under the body.
func narrowest(ctx context.Context, a *field.Field, t float32) (ridge, groove float64, err error) {
	above := a.Above(t)
	var w []float32
	outside, err := field.Distance(ctx, above) // of the grooves
	if err != nil {
		return 0, 0, err
	}
	medial(outside, func(_ int, mm float32) {
		if mm <= widestGap {
			w = append(w, mm)
		}
	})
	groove = percentile(w, narrowShare)
	w = w[:0]
	inside, err := field.Distance(ctx, above.Not())
	if err != nil {
		return 0, 0, err
	}
	medial(inside, func(_ int, mm float32) {
		if mm <= widestGap {
			w = append(w, mm)
		}
	})
	return percentile(w, narrowShare), groove, nil
}
