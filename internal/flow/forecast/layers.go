package forecast

import (
	"context"
	"math"

	"mouldwright/internal/base/field"
)

// layered puts the steps of layers of the given thickness into heights, in place: a
// layer is printed where the shape reaches its middle. A coat levels steps no higher
// than itself, and lessens higher ones by as much (common practice, no source).
func layered(ctx context.Context, z *field.Field, layerMM, coatMM float64) error {
	left := float32(math.Max(0, 1-coatMM/layerMM))
	if left == 0 {
		return nil
	}
	inverse := 1 / layerMM
	return field.ForRows(ctx, z.H, func(j0, j1 int) {
		for k := j0 * z.W; k < j1*z.W; k++ {
			if v := z.Z[k]; v != 0 {
				step := float32(math.Floor(float64(v)*inverse+0.5) * layerMM)
				z.Z[k] = v + left*(step-v)
			}
		}
	})
}
