package relief

import (
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// Union is the highest of several reliefs at every place of the smallest grid that
// holds them all; a relief is 0 outside its own grid. All grids have one pitch and
// samples on its multiples (field.Around). Without reliefs it is nil.
func Union(list ...*field.Field) (*field.Field, error) {
	if len(list) == 0 {
		return nil, nil
	}
	r := geom.EmptyRect()
	for _, f := range list {
		b := f.Bounds()
		r.Add(b.Min)
		r.Add(b.Max)
	}
	out := field.New(field.Around(r, list[0].PitchMM))
	for _, f := range list {
		i0, j0, err := At(out.Grid, f.Grid)
		if err != nil {
			return nil, err
		}
		for j := range f.H {
			dst := out.Row(j0 + j)[i0 : i0+f.W]
			for i, z := range f.Row(j) {
				dst[i] = max(dst[i], z)
			}
		}
	}
	return out, nil
}

// At says at which sample (i, j) of the whole grid the part begins. It is an error
// when the part reaches out of the whole or its samples lie elsewhere.
func At(whole, part field.Grid) (i, j int, err error) {
	x, y := (part.X0-whole.X0)/whole.PitchMM, (part.Y0-whole.Y0)/whole.PitchMM
	i, j = int(math.Round(x)), int(math.Round(y))
	// A hundredth of a sample is far above rounding and far below what is seen.
	if part.PitchMM != whole.PitchMM || math.Abs(x-float64(i)) > 0.01 || math.Abs(y-float64(j)) > 0.01 {
		return 0, 0, fmt.Errorf("relief: grids differ: pitch %g and %g mm, offset %g, %g samples", whole.PitchMM, part.PitchMM, x, y)
	}
	if i < 0 || j < 0 || i+part.W > whole.W || j+part.H > whole.H {
		return 0, 0, fmt.Errorf("relief: %d x %d samples at (%d, %d) reach out of %d x %d", part.W, part.H, i, j, whole.W, whole.H)
	}
	return i, j, nil
}
