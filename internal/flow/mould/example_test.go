package mould_test

import (
	"fmt"

	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/mould"
)

// 400 ml of rubber at 1.08 g/ml weigh 432 g. Peeled back to 80 mm, the outer face of a
// sheet 20 mm thick is stretched by 10/(80 + 10) = 11 %.
func Example() {
	tray := master.Tray{Number: 1, WidthMM: 200, DepthMM: 150, HighestMM: 11, RubberMM: 20, PiecesMM3: 200_000, RubberMM3: 400_000}
	habits := mould.Choices{PeelMM: 80, Safety: 8, SagMM: 1, BoardMM: 16, BoardMPa: unit.Between(1600, 2500, 4000), BoardGapMM: unit.Between(0.05, 0.15, 0.4)}
	rubber := material.Silicones["soft food-grade rubber"].Value
	m, _, err := mould.Make([]master.Tray{tray}, master.Choices{Frame: "printed", PanelMM: 4}, rubber, habits, 15, nil)
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.0f g, stretched by %.0f %% at least\n", m.Trays[0].MassG.Likely, 100*m.Trays[0].Stretch.Low)
	// Output: 432 g, stretched by 11 % at least
}
