package forecast

import (
	"context"

	"mouldwright/internal/base/field"
)

// coated puts a sealer of even thickness on a print: the surface moves outwards by the
// thickness, square to itself, which is the dilation by a ball. Strokes grow by it on
// each side, a groove narrower than twice the thickness fills. The body grows alike, so
// that the rise of level ground is taken off again.
func coated(ctx context.Context, a *field.Field, coatMM float64) (*field.Field, error) {
	if coatMM < a.PitchMM/10 { // moves no wall by a tenth of a sample
		return a, nil
	}
	turned := field.New(a.Grid)
	for i, z := range a.Z {
		turned.Z[i] = -z
	}
	out, err := field.ErodeBall(ctx, turned, coatMM)
	if err != nil {
		return nil, err
	}
	rise := float32(coatMM)
	out.Map(func(z float32) float32 { return -z - rise })
	return out, nil
}
