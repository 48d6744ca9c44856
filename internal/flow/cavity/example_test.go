package cavity_test

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/flow/cavity"
	"mouldwright/internal/flow/piece"
)

// A round piece whose sides lean 10°, with a shell of 2 mm and a cap of 2 mm. The room in it
// is a cut-off cone too: from 2 to 10 mm above the back, its side moved in by 2/cos 10°.
// Shell, filling and cap make up the piece.
func Example() {
	ctx := context.Background()
	c := piece.Choices{Name: "button", Outline: "round", WidthMM: 30, HeightMM: 12, DraftDeg: 10, Top: "flat"}
	p, _, err := piece.Make(ctx, c, piece.Inputs{}, nil, -1, 0.05)
	if err != nil {
		panic(err)
	}
	made, _, err := cavity.Make(ctx, p, cavity.Choices{ShellMM: 2, CapMM: 2}, false)
	if err != nil {
		panic(err)
	}
	lean := 10 * math.Pi / 180
	low, high := 15-2*math.Tan(lean)-2/math.Cos(lean), 15-10*math.Tan(lean)-2/math.Cos(lean)
	room := math.Pi * 8 / 3 * (low*low + low*high + high*high)
	fmt.Printf("filling %.2f ml of %.2f\n", made.FillingMM3/1000, room/1000)
	fmt.Printf("all of it %.2f ml of %.2f\n", (made.ShellMM3+made.FillingMM3+made.CapMM3)/1000, p.VolumeMM3/1000)
	// Output:
	// filling 3.57 ml of 3.57
	// all of it 7.34 ml of 7.34
}
