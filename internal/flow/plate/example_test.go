package plate_test

import (
	"fmt"

	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/plate"
)

// 20 mm in layers of 0.05 mm are 400 layers: five of 30 s + 8 s for the bottom, 395 of
// 2.5 s + 8 s, together 4337.5 s = 72.3 min.
func Example() {
	printer := material.Printer{LiftS: unit.Sure(8)}
	resin := material.Resin{ExposureS: 2.5, BottomExposureS: 30, BottomLayers: 5}
	layers := plate.Layers(20, 0.05)
	fmt.Printf("%d layers, %.1f min\n", layers, plate.TimeMin(layers, printer, resin).Likely)
	// Output: 400 layers, 72.3 min
}
