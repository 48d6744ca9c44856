package field

import (
	"context"
	"math"

	"mouldwright/internal/base/geom"
)

// Sample is the value at p by bilinear interpolation; beyond the grid the values
// of its rim go on.
func (f *Field) Sample(p geom.Vec) float64 {
	i, u := cell((p.X-f.X0)/f.PitchMM, f.W)
	j, v := cell((p.Y-f.Y0)/f.PitchMM, f.H)
	i1, j1 := min(i+1, f.W-1), min(j+1, f.H-1)
	a := float64(f.At(i, j))*(1-u) + float64(f.At(i1, j))*u
	b := float64(f.At(i, j1))*(1-u) + float64(f.At(i1, j1))*u
	return a*(1-v) + b*v
}

// SampleOrZero is the value at (x, y) by bilinear interpolation, and 0 beyond the grid, as a
// relief is. It is for inner loops: a few nanoseconds.
func (f *Field) SampleOrZero(x, y float64) float32 {
	u, v := (x-f.X0)/f.PitchMM, (y-f.Y0)/f.PitchMM
	if !(u >= 0 && v >= 0) || u > float64(f.W-1) || v > float64(f.H-1) {
		return 0
	}
	i, j := min(int(u), f.W-2), min(int(v), f.H-2)
	if i < 0 || j < 0 { // a single row or column has no cell
		return 0
	}
	s, t := float32(u-float64(i)), float32(v-float64(j))
	a, b := f.Z[j*f.W+i:], f.Z[(j+1)*f.W+i:]
	p, q := a[0]+(a[1]-a[0])*s, b[0]+(b[1]-b[0])*s
	return p + (q-p)*t
}

// cell splits a place, in pitches from the first of n samples, into a sample and
// the fraction of the way to the next.
func cell(x float64, n int) (int, float64) {
	switch {
	case !(x > 0): // also not a number
		return 0, 0
	case x >= float64(n-1):
		return n - 1, 0
	}
	i := math.Floor(x)
	return int(i), x - i
}

// Resample gives f on another grid by bilinear interpolation. Going to a much
// coarser pitch, blur first, or waves finer than it come out as false ones.
// Errors: a *finding.Error for a grid that Check refuses; the context's error.
func Resample(ctx context.Context, f *Field, g Grid) (*Field, error) {
	if err := g.Check(); err != nil {
		return nil, err
	}
	out := New(g)
	at, part := make([]int, g.W), make([]float32, g.W)
	for i := range at {
		k, u := cell((g.XY(i, 0).X-f.X0)/f.PitchMM, f.W)
		at[i], part[i] = k, float32(u)
	}
	err := ForRows(ctx, g.H, func(j0, j1 int) {
		for j := j0; j < j1; j++ {
			k, v := cell((g.XY(0, j).Y-f.Y0)/f.PitchMM, f.H)
			a, b, w := f.Row(k), f.Row(min(k+1, f.H-1)), float32(v)
			row := out.Row(j)
			for i, c := range at {
				d, u := min(c+1, f.W-1), part[i]
				lo, hi := a[c]+(a[d]-a[c])*u, b[c]+(b[d]-b[c])*u
				row[i] = lo + (hi-lo)*w
			}
		}
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}
