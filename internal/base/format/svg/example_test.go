package svg_test

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/format/svg"
)

// A black disc of 10 mm with a white one of 4 mm on it is a ring: π·(5² - 2²) = 65.97 mm².
func ExampleRead() {
	file := `<svg xmlns="http://www.w3.org/2000/svg" width="12mm" height="12mm" viewBox="0 0 12 12">
  <circle cx="6" cy="6" r="5"/>
  <circle cx="6" cy="6" r="2" fill="white"/>
</svg>`
	art, findings, err := svg.Read(context.Background(), "ring.svg", []byte(file))
	if err != nil {
		panic(err)
	}
	fmt.Printf("%g x %g mm, %d remarks\n", art.WidthMM, art.HeightMM, len(findings))
	fmt.Printf("%.1f mm² of %.1f\n", art.Outline.Area(), math.Pi*(25-4))
	// Output:
	// 12 x 12 mm, 0 remarks
	// 66.0 mm² of 66.0
}
