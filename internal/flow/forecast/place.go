package forecast

import (
	"context"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// steepest is the middle of the cell of four samples with the greatest slope.
func steepest(f *field.Field) geom.Vec {
	most, at := float32(0), 0
	for j := range f.H - 1 {
		row, next := f.Row(j), f.Row(j+1)
		for i := range f.W - 1 {
			a, b := next[i+1]-row[i], next[i]-row[i+1]
			if q := a*a + b*b; q > most {
				most, at = q, j*f.W+i
			}
		}
	}
	v := f.XY(at%f.W, at/f.W)
	return geom.Vec{X: v.X + f.PitchMM/2, Y: v.Y + f.PitchMM/2}
}

// placePitchMM is the pitch on which a place to look at is sought (our choice: no eye
// or finger points more finely).
const placePitchMM = 0.1

// steppedAt is the middle of the largest disc in which layer steps show.
func steppedAt(ctx context.Context, f *field.Field, layerMM float64, c Choices) (geom.Vec, error) {
	n := max(1, int(placePitchMM/f.PitchMM))
	z := thinned(f, n)
	none := field.NewMask(z.Grid)
	for k := range none.On {
		none.On[k] = true
	}
	for j := 1; j < z.H-1; j++ {
		for i := 1; i < z.W-1; i++ {
			k := j*z.W + i
			if z.Z[k] == 0 {
				continue
			}
			s := math.Hypot(float64(z.Z[k+1]-z.Z[k-1]), float64(z.Z[k+z.W]-z.Z[k-z.W])) / (2 * z.PitchMM)
			none.On[k] = finishOf(s, layerMM, c) != stepped
		}
	}
	d, err := field.Distance(ctx, none)
	if err != nil {
		return geom.Vec{}, err
	}
	best := 0
	for k, v := range d.Z {
		if v > d.Z[best] {
			best = k
		}
	}
	return z.XY(best%z.W, best/z.W), nil
}
