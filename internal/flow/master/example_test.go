package master_test

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/piece"
)

// Rubber that shrinks by 1 % asks for a master 1/0.99 as large, so its volume is 1/0.99³ of
// the piece's. Three such pieces go onto one tray, whose base is cut to fit the plate.
func Example() {
	ctx := context.Background()
	c := master.Choices{
		Layout: "grid", Build: "tiles", WidthMM: 200, DepthMM: 150, GapMM: 8, MarginMM: 10, BaseMM: 3, OverMM: 9,
		Frame: "own boards", ClearMM: 0.12, EngraveMM: 0.4, PegMM: 3, ToleranceMM: 0.01,
	}
	p, _, err := piece.Make(ctx, piece.Choices{Name: "button", Outline: "round", WidthMM: 30, HeightMM: 12, DraftDeg: 10, Top: "flat"}, piece.Inputs{}, nil, -1, 0.1)
	if err != nil {
		panic(err)
	}
	button, err := master.Surface(ctx, p, c, 0.01, 0, c.ToleranceMM)
	if err != nil {
		panic(err)
	}
	fmt.Printf("grown by %.2f, by hand %.2f\n", button.VolumeMM3/p.VolumeMM3, math.Pow(1/0.99, 3))

	button.Cavities = 3
	plate := master.Print{PlateWidthMM: 140, PlateDepthMM: 80, PlateHeightMM: 150}
	m, _, err := master.Make(ctx, []master.Item{button}, c, plate, "16JD", master.Sans(artwork.NewFonts()))
	if err != nil {
		panic(err)
	}
	fmt.Println(len(m.Trays), "tray with", len(m.Trays[0].Placed), "cavities")
	// Output:
	// grown by 1.03, by hand 1.03
	// 1 tray with 3 cavities
}
