package pack_test

import (
	"context"
	"fmt"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/pack"
)

// Nine parts of 40 x 40 mm fill a plate of 120 x 120 mm to the brim; a tenth needs a
// second, and so it must, by area alone.
func ExampleRects() {
	parts := make([]pack.Size, 10)
	areas := make([]float64, len(parts))
	for i := range parts {
		parts[i] = pack.Size{W: 40, H: 40}
		areas[i] = 40 * 40
	}
	plate := func(int) (pack.Bin, bool) { return pack.Bin{W: 120, H: 120}, true }
	places, err := pack.Rects(context.Background(), parts, plate, false)
	if err != nil {
		panic(err)
	}
	last := 0
	for _, p := range places {
		last = max(last, p.Bin)
	}
	fmt.Println(last+1, "plates, at least", pack.LeastBins(areas, 120*120))
	// Output: 2 plates, at least 2
}

// Two right triangles lie together in a square that holds only one of their boxes.
func ExampleNest() {
	triangle := geom.Outline{{{X: 0, Y: 0}, {X: 50, Y: 0}, {X: 0, Y: 50}}}
	spots, err := pack.Nest(context.Background(), []geom.Outline{triangle}, []int{0, 0}, 60, 60, 1)
	if err != nil {
		panic(err)
	}
	fmt.Println("plates:", spots[0].Bin+1, spots[1].Bin+1)
	// Output: plates: 1 1
}
