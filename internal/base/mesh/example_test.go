package mesh_test

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
)

// A dome, 8 mm from its centre everywhere, becomes triangles within 10 µm of it. Inside a
// disc of 7.9 mm it holds 2/3·π·(8³ - (8² - 7.9²)^1.5) = 1068 mm³, to within 10 µm of its surface.
func Example() {
	ctx := context.Background()
	disc := geom.Circle(7.9) // just inside the upright rim
	heights := field.New(field.Around(disc.Bounds().Grow(0.1), 0.05))
	for j := range heights.H {
		for i := range heights.W {
			p := heights.XY(i, j)
			heights.Row(j)[i] = float32(math.Sqrt(max(0, 64-p.Dot(p))))
		}
	}
	top, err := mesh.Relief(ctx, heights, disc, mesh.ToleranceMM)
	if err != nil {
		panic(err)
	}
	off, err := mesh.Deviate(ctx, top, heights)
	if err != nil {
		panic(err)
	}
	fmt.Println("near:", max(off.ToMeshMM, off.ToReliefMM) <= mesh.ToleranceMM)
	volume := 2. / 3 * math.Pi * (512 - math.Pow(64-7.9*7.9, 1.5))
	fmt.Println("as large:", math.Abs(top.Volume()-volume) <= mesh.ToleranceMM*disc.Area())

	block, err := mesh.Prism(disc, 0, 5)
	if err != nil {
		panic(err)
	}
	fmt.Println("closed:", block.Check().Closed())
	// Output:
	// near: true
	// as large: true
	// closed: true
}
