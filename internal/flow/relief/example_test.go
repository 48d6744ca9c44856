package relief_test

import (
	"context"
	"fmt"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/relief"
)

// A stroke 1 mm wide as a ridge is as high as half its width, whatever depth was asked
// for: its slopes meet at a right angle (relief.VeeDraftDeg). Raised flat it has the whole
// depth.
func ExampleFromOutline() {
	const depthMM, draftDeg, pitchMM = 0.8, 10, 0.025
	stroke := geom.Rectangle(10, 1)
	for _, profile := range []string{relief.Vee, relief.Flat} {
		g := field.Around(stroke.Bounds().Grow(0.1+relief.OutsideMM(depthMM, profile, draftDeg, pitchMM)), pitchMM)
		heights, err := relief.FromOutline(context.Background(), g, stroke, depthMM, profile, draftDeg)
		if err != nil {
			panic(err)
		}
		_, top := heights.Extremes()
		fmt.Printf("%s: %.2f mm\n", profile, top)
	}
	// Output:
	// vee: 0.50 mm
	// flat: 0.80 mm
}
