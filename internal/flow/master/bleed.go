package master

import (
	"context"
	"math"

	"mouldwright/internal/base/field"
)

// leastBleedMM is the least bleed that is made up for (our choice: no printer draws a
// finer step).
const leastBleedMM = 0.002

// bleedTurns are the directions in which a relief is looked at (our choice: sixteen see a
// wall of any direction to within 2 % of the bleed, less than a µm).
const bleedTurns = 16

// drawnIn makes up for light that bleeds past the mask by b mm on every side: each
// level of the relief is drawn in by b (negative: let out), as a flat disc of radius b
// erodes it,
//
//	out(x) = min over |d| <= b of f(x + d),
//
// so that each layer prints as it was meant. Between samples f is interpolated, and a
// drafted wall moves by exactly b, be it less than a sample.
func drawnIn(ctx context.Context, f *field.Field, b float64) (*field.Field, error) {
	if math.Abs(b) < leastBleedMM {
		return f, nil
	}
	better := func(a, z float32) float32 { return min(a, z) }
	if b < 0 {
		better, b = func(a, z float32) float32 { return max(a, z) }, -b
	}
	type step struct {
		i, j int     // of the sample to the left and in front
		u, v float32 // and how far beyond it
	}
	var steps []step
	rings := int(math.Ceil(b / f.PitchMM))
	for k := 1; k <= rings; k++ {
		r := b / f.PitchMM * float64(k) / float64(rings)
		for t := range bleedTurns {
			s, c := math.Sincos(2 * math.Pi * float64(t) / bleedTurns)
			x, y := r*c, r*s
			i, j := math.Floor(x), math.Floor(y)
			steps = append(steps, step{int(i), int(j), float32(x - i), float32(y - j)})
		}
	}
	out := field.New(f.Grid)
	err := field.ForRows(ctx, f.H, func(j0, j1 int) {
		for j := j0; j < j1; j++ {
			to := out.Row(j)
			copy(to, f.Row(j))
			for _, s := range steps {
				// The rim of the relief is bare base: there is nothing beyond it.
				if j+s.j < 0 || j+s.j+1 >= f.H {
					continue
				}
				lo, hi := f.Row(j+s.j), f.Row(j+s.j+1)
				for i := max(0, -s.i); i < f.W && i+s.i+1 < f.W; i++ {
					k := i + s.i
					a := lo[k] + (lo[k+1]-lo[k])*s.u
					z := hi[k] + (hi[k+1]-hi[k])*s.u
					to[i] = better(to[i], a+(z-a)*s.v)
				}
			}
		}
	})
	return out, err
}
