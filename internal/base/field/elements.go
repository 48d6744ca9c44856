package field

import (
	"context"
	"math"

	"mouldwright/internal/base/geom"
)

// rows runs do over bands of f's rows on all cores; see ForRows.
func (f *Field) rows(do func(j0, j1 int)) {
	// Without a way to cancel there is no error.
	_ = forBands(context.Background(), f.H, max(1, 1<<16/max(1, f.W)), do)
}

// Fill gives every sample the value v.
func (f *Field) Fill(v float32) { f.Map(func(float32) float32 { return v }) }

// Map puts do of each value in its place. do runs on several cores at once.
func (f *Field) Map(do func(z float32) float32) {
	f.rows(func(j0, j1 int) {
		z := f.Z[j0*f.W : j1*f.W]
		for i, v := range z {
			z[i] = do(v)
		}
	})
}

// Clamp keeps every value within lo..hi, in place.
func (f *Field) Clamp(lo, hi float32) {
	f.rows(func(j0, j1 int) {
		z := f.Z[j0*f.W : j1*f.W]
		for i, v := range z {
			z[i] = max(lo, min(hi, v))
		}
	})
}

// Max, Min and Add put the greater, the less, and the sum of the values of f and
// o into f, where both have samples; the rest of f stays. The two grids have the
// same pitch and their samples in the same places (see Around).
func (f *Field) Max(o *Field) {
	f.with(o, func(z, y []float32) {
		for i, v := range y {
			z[i] = max(z[i], v)
		}
	})
}

// Min is as Max, with the lesser value.
func (f *Field) Min(o *Field) {
	f.with(o, func(z, y []float32) {
		for i, v := range y {
			z[i] = min(z[i], v)
		}
	})
}

// Add is as Max, with the sum.
func (f *Field) Add(o *Field) {
	f.with(o, func(z, y []float32) {
		for i, v := range y {
			z[i] += v
		}
	})
}

// Sub is a copy of f on the samples of g, another window of the same pitch with
// samples in the same places; where f has none it is outside.
func (f *Field) Sub(g Grid, outside float32) *Field {
	s := New(g)
	if outside != 0 {
		s.Fill(outside)
	}
	s.with(f, func(z, y []float32) { copy(z, y) })
	return s
}

// with runs do over the pairs of stretches of rows that lie in both grids.
func (f *Field) with(o *Field, do func(z, y []float32)) {
	di, dj := f.offset(o.Grid)
	i0, i1 := max(0, di), min(f.W, di+o.W)
	if i0 >= i1 {
		return
	}
	f.rows(func(j0, j1 int) {
		for j := max(j0, dj); j < min(j1, dj+o.H); j++ {
			z, y := f.Row(j)[i0:i1], o.Row(j - dj)[i0-di:i1-di]
			do(z, y[:len(z)])
		}
	})
}

// offset is where the first sample of o lies in g. Different pitches, or samples
// in different places, are a mistake in the program, not in its input.
func (g Grid) offset(o Grid) (di, dj int) {
	x, y := (o.X0-g.X0)/g.PitchMM, (o.Y0-g.Y0)/g.PitchMM
	di, dj = int(math.Round(x)), int(math.Round(y))
	if math.Abs(o.PitchMM-g.PitchMM) > 1e-9*g.PitchMM || math.Abs(x-float64(di)) > 1e-3 || math.Abs(y-float64(dj)) > 1e-3 {
		panic("field: two grids whose samples do not coincide")
	}
	return di, dj
}

// Sum is the sum of all values in float64, the same on any number of cores.
func (f *Field) Sum() float64 {
	part := make([]float64, f.H)
	f.rows(func(j0, j1 int) {
		for j := j0; j < j1; j++ {
			for _, v := range f.Row(j) {
				part[j] += float64(v)
			}
		}
	})
	var s float64
	for _, v := range part {
		s += v
	}
	return s
}

// VolumeMM3 is the volume under heights in mm: each sample stands for a square of
// one pitch.
func (f *Field) VolumeMM3() float64 { return f.Sum() * f.PitchMM * f.PitchMM }

// Extremes are the least and the greatest value.
func (f *Field) Extremes() (lo, hi float32) {
	los, his := make([]float32, f.H), make([]float32, f.H)
	f.rows(func(j0, j1 int) {
		for j := j0; j < j1; j++ {
			row := f.Row(j)
			l, h := row[0], row[0]
			for _, v := range row { // not min and max, which cost four times as much
				if v < l {
					l = v
				}
				if v > h {
					h = v
				}
			}
			los[j], his[j] = l, h
		}
	})
	lo, hi = los[0], his[0]
	for j := range los {
		lo, hi = min(lo, los[j]), max(hi, his[j])
	}
	return lo, hi
}

// Gradient is the slope at sample (i, j) along x and y by differences of its
// neighbours (one-sided at the rim), in units of the values per mm.
func (f *Field) Gradient(i, j int) geom.Vec {
	a, b := max(i-1, 0), min(i+1, f.W-1)
	c, d := max(j-1, 0), min(j+1, f.H-1)
	var g geom.Vec
	if b > a {
		g.X = float64(f.At(b, j)-f.At(a, j)) / (float64(b-a) * f.PitchMM)
	}
	if d > c {
		g.Y = float64(f.At(i, d)-f.At(i, c)) / (float64(d-c) * f.PitchMM)
	}
	return g
}
