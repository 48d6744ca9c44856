package geom_test

import (
	"fmt"
	"math"

	"mouldwright/internal/base/geom"
)

// A rectangle of 30 x 20 mm, grown by 2 mm with round corners, covers its own area, a strip
// along its perimeter and a whole circle at its corners (J. Steiner 1840):
// 600 + 100·2 + π·2² = 812.57 mm².
func Example() {
	grown, err := geom.Offset(geom.Rectangle(30, 20), 2)
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.1f mm², by Steiner %.1f mm²\n", grown.Area(), 600+100*2+math.Pi*2*2)

	hole, err := geom.Subtract(grown, geom.Circle(5))
	if err != nil {
		panic(err)
	}
	fmt.Println(len(hole), "rings; the middle is inside:", hole.Contains(geom.Vec{}))
	// Output:
	// 812.6 mm², by Steiner 812.6 mm²
	// 2 rings; the middle is inside: false
}
