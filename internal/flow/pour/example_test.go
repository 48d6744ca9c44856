package pour_test

import (
	"context"
	"fmt"

	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/pour"
)

// 200 ml of rubber at 1.08 g/ml, with 4 % left in the cup: 216/0.96 = 225 g, of which half
// is A. A cure test that was never made does not let it be poured.
func Example() {
	rubber := material.Silicones["soft food-grade rubber"].Value
	tray := master.Tray{Number: 1, WidthMM: 100, DepthMM: 100, RubberMM: 20, RubberMM3: 200_000}
	habits := pour.Choices{CupShare: 0.04, Reserve: 0.1, PourGMin: 150, MixMin: 4, DegasMin: 4, Treatment: "washed, dried and post-cured", Coating: "none"}
	bench := pour.Bench{RoomC: unit.Between(20, 22, 24), AirShare: unit.Between(0.03, 0.07, 0.13), ScaleG: 0.1, RatioTolerance: 0.02, CupML: []float64{1000}, HandG: 500}
	pads := pour.TestChoices{PadMM: 20, RubberMM: unit.Between(2, 3, 4)}
	p, _, err := pour.Make(context.Background(), pour.Work{Trays: []master.Tray{tray}, Silicone: rubber, Resin: "rigid grey resin"}, habits, pads, bench)
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.1f g of A and %.1f g of B\n", p.Total.PartAG, p.Total.PartBG)
	fmt.Println("may be poured:", p.Released)
	// Output:
	// 112.5 g of A and 112.5 g of B
	// may be poured: false
}
