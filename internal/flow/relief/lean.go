package relief

import (
	"context"
	"math"

	"mouldwright/internal/base/field"
)

// longest is how much longer a way of steps (1,0), (1,1) and (2,1) can be than the
// straight line, sqrt(2 - 2 cos of half the angle between neighbouring steps) apart:
// at most 1.0275 (G. Borgefors, "Distance transformations in digital images",
// Computer Vision, Graphics, and Image Processing 34 (1986) 344, the 5 x 5 mask with
// true lengths).
const longest = 1.0275

// lean lowers a field where it is steeper than slope (mm for each mm, in place):
//
//	z'(x) = min over y of z(y) + slope |x-y|,
//
// so that every wall leans at least as asked and nothing else changes. Distances go
// along steps to the 16 nearest samples, shortened by longest, so that no wall is too
// steep; along the axes a wall leans up to 2.7 % more than asked.
func lean(ctx context.Context, f *field.Field, slope float64) error {
	s := slope * f.PitchMM / longest
	a, b, c := float32(s), float32(s*math.Sqrt2), float32(s*math.Sqrt(5))
	w, h := f.W, f.H
	// Rows with two samples of room at both ends, so that no step leaves them.
	line := func() []float32 {
		r := make([]float32, w+4)
		for i := range r {
			r[i] = float32(math.Inf(1))
		}
		return r
	}
	pass := func(row func(k int) []float32, at func(i int) int) error {
		two, one, now := line(), line(), line()
		for k := range h {
			if k%64 == 0 && ctx.Err() != nil {
				return ctx.Err()
			}
			z := row(k)
			for i := range w {
				p := i + 2
				v := min(z[at(i)], now[p-1]+a, one[p]+a, one[p-1]+b, one[p+1]+b)
				now[p] = min(v, one[p-2]+c, one[p+2]+c, two[p-1]+c, two[p+1]+c)
			}
			for i := range w {
				z[at(i)] = now[i+2]
			}
			two, one, now = one, now, two
		}
		return nil
	}
	if err := pass(f.Row, func(i int) int { return i }); err != nil {
		return err
	}
	return pass(func(k int) []float32 { return f.Row(h - 1 - k) }, func(i int) int { return w - 1 - i })
}
