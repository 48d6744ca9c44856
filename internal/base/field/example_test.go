package field_test

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// The distances to the edge of a disc, taken as heights, are a cone: radius 5 mm, height
// 5 mm, so its volume is a third of π·5²·5 = 130.9 mm³.
func Example() {
	ctx := context.Background()
	disc := geom.Circle(5)
	heights, err := field.SignedDistance(ctx, field.Around(disc.Bounds().Grow(1), 0.05), disc, 10)
	if err != nil {
		panic(err)
	}
	heights.Clamp(0, 10)
	fmt.Printf("%.1f mm high in the middle, %.0f mm³ of %.0f\n",
		heights.Sample(geom.Vec{}), heights.VolumeMM3(), math.Pi*125/3)
	// Output: 5.0 mm high in the middle, 131 mm³ of 131
}
