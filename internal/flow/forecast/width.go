package forecast

import (
	"context"
	"math"
	"slices"

	"mouldwright/internal/base/field"
)

// Width is what is narrowest at one depth of the art.
type Width struct {
	DepthMM  float64 // of the level above (or under, when sunk) the body
	RidgeMM  float64 // 0 where there is none
	GrooveMM float64

	RidgeRatio  float64 // height of the art to the width of the ridge; 0 without one
	GrooveRatio float64
	// What a ridge is as chocolate, which must not break, and as resin, which must survive
	// washing; and what a groove is as a fin of rubber. Empty where there is none.
	Chocolate, Resin, Rubber string
}

// Verdicts on a width.
const (
	Holds   = "holds"
	TooFine = "too fine" // narrower than the rule
	TooDeep = "too deep" // higher than the rule for its width
)

// judge gives the verdicts on widths in art that is deepMM high.
func (w *Width) judge(deepMM float64, c Choices) {
	verdict := func(mm, least, ratio float64) string {
		switch {
		case mm == 0:
			return ""
		case mm < least:
			return TooFine
		case deepMM/mm > ratio:
			return TooDeep
		}
		return Holds
	}
	if w.RidgeMM > 0 {
		w.RidgeRatio = deepMM / w.RidgeMM
	}
	if w.GrooveMM > 0 {
		w.GrooveRatio = deepMM / w.GrooveMM
	}
	w.Chocolate = verdict(w.RidgeMM, c.ChocolateMM, c.ChocolateRatio)
	w.Resin = verdict(w.RidgeMM, c.ResinMM, c.ResinRatio)
	w.Rubber = verdict(w.GrooveMM, c.RubberMM, c.RubberRatio)
}

// narrowShare is the share of all medial places that may be narrower than what is
// called the narrowest, and tipMM the length of middle line that may be, so that
// neither a serif's tip nor a corner speaks for a stroke.
const (
	narrowShare = 0.01
	tipMM       = 0.2
)

// medialSlope is the greatest slope, squared, of the distance along a middle line (our
// choice: a wedge that opens by less than 35 degrees has one, the bisector of a wider
// corner, on which widths run out to nothing, is none).
const medialSlope = 0.09

// medial is the set's widths at its middle lines (the ridges of the distance to its
// edge). d is the distance to the nearest sample outside the set, in mm; the edge lies
// half a sample before that. Where the middle lies between two samples, the distance
// to it is added. Widths come out within one pitch.
func medial(d *field.Field, each func(k int, widthMM float32)) {
	p := float32(d.PitchMM)
	w := d.W
	c := crest{perSlope: 1 / (2 * p), fall: 0.5 * p, level: 0.05 * p}
	for j := 2; j < d.H-2; j++ {
		for k := j*w + 2; k < (j+1)*w-2; k++ {
			v := d.Z[k]
			if v == 0 {
				continue
			}
			gx, fx := c.across(d.Z, k, 1)
			if gx > medialSlope {
				continue
			}
			gy, fy := c.across(d.Z, k, w)
			if gx+gy < medialSlope {
				each(k, 2*(v+p*max(fx, fy))-p)
			}
		}
	}
}

// crest is what across goes by: slope for a difference over two samples, and in mm how
// far a crest falls within two samples and what still counts as level.
type crest struct{ perSlope, fall, level float32 }

// across looks along one axis at sample k: the slope of the distance, squared; and on
// the crest of a middle line, where it falls on both sides, no slope but how far off
// the crest lies, in samples.
func (c *crest) across(z []float32, k, step int) (slope2, off float32) {
	v, a, b := z[k]+c.level, z[k-step], z[k+step]
	g := (b - a) * c.perSlope
	if v >= a && v >= b {
		if low := z[k] - c.fall; z[k-2*step] < low && z[k+2*step] < low {
			return 0, min(max(g, -g), 0.5)
		}
	}
	return g * g, 0
}

// widestGap bounds the widths that are asked for the narrowest, in mm (our choice: wider
// ones are ground).
const widestGap = 3

// A wedge that opens by more than twice taperSlope (14 degrees) is no groove or stroke:
// where two strokes part, the ground between them is as narrow as one likes, and nobody
// misses its tip. It is looked at over taperReach samples to each side, so that
// a middle line between two samples (one sample's difference) does not pass for a taper.
const (
	taperSlope = 0.12
	taperReach = 6
)

// finestMM is the length that places must have together which are narrower than what
// the printer draws (our choice: under it they are tips and slivers, which nobody drew).
const finestMM = 1.0

// robust is the narrowest of a set's widths but for tips, tapers and slivers, 0 without
// widths; between flanks without an edge there is none. d is as for medial, z the
// heights; finest is the narrowest width that is printed, in mm.
func robust(d, z *field.Field, finest float64) float64 {
	var w []float32
	fine := 0
	medial(d, func(k int, mm float32) {
		if mm <= widestGap && !tapers(d, k) && edged(z, d, k, mm) {
			w = append(w, mm)
			if float64(mm) < finest {
				fine++
			}
		}
	})
	slices.Sort(w)
	if float64(fine)*d.PitchMM < finestMM {
		w = w[fine:]
	}
	if len(w) == 0 {
		return 0
	}
	return percentile(w, max(narrowShare, min(0.5, tipMM/d.PitchMM/float64(len(w)))))
}

// tapers says whether a set's width changes along its middle line at sample k.
func tapers(d *field.Field, k int) bool {
	i, j := k%d.W, k/d.W
	if i < taperReach || j < taperReach || i >= d.W-taperReach || j >= d.H-taperReach {
		return false
	}
	x := float64(d.Z[k+taperReach] - d.Z[k-taperReach])
	y := float64(d.Z[k+taperReach*d.W] - d.Z[k-taperReach*d.W])
	most := taperSlope * 2 * taperReach * d.PitchMM
	return x*x+y*y > most*most
}

// edged says whether the set's border beside its middle line at sample k is an edge
// anywhere: heights z that rise by more than 45 degrees, as for walls. The border is
// sought along the axes and the diagonals; a middle line's border lies square to it, so
// that one of them meets it at no more than 1/cos(22.5 degrees) of half the width.
func edged(z, d *field.Field, k int, width float32) bool {
	w, i, j := d.W, k%d.W, k/d.W
	r := float64(width) / 2 / d.PitchMM // in samples
	met := false
	for _, a := range [...]struct {
		di, dj int
		long   float64
	}{{1, 0, 1}, {-1, 0, 1}, {0, 1, 1}, {0, -1, 1}, {1, 1, math.Sqrt2}, {-1, -1, math.Sqrt2}, {1, -1, math.Sqrt2}, {-1, 1, math.Sqrt2}} {
		for n := max(1, int(0.9*r/a.long)); float64(n) <= (1.1*r+2)/a.long+1; n++ {
			x, y := i+n*a.di, j+n*a.dj
			if x < 1 || y < 1 || x >= w-1 || y >= d.H-1 {
				break
			}
			q := y*w + x
			if d.Z[q] != 0 {
				continue
			}
			met = true
			gx, gy := z.Z[q+1]-z.Z[q-1], z.Z[q+w]-z.Z[q-w]
			if rise := float32(2 * d.PitchMM); gx*gx+gy*gy >= rise*rise {
				return true
			}
			break
		}
	}
	return !met
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
func narrowest(ctx context.Context, a *field.Field, t float32, finest float64) (ridge, groove float64, err error) {
	set := a.Above(t)
	outside, err := field.Distance(ctx, set) // over the grooves
	if err != nil {
		return 0, 0, err
	}
	inside, err := field.Distance(ctx, set.Not())
	if err != nil {
		return 0, 0, err
	}
	return robust(inside, a, finest), robust(outside, a, finest), nil
}
