package piece_test

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/flow/piece"
)

// A round piece with straight sides that lean 10° is a cut-off cone: the area of its back,
// of its top and their geometric mean, times a third of its height.
func Example() {
	c := piece.Choices{Name: "button", Outline: "round", WidthMM: 30, HeightMM: 12, DraftDeg: 10, Top: "flat"}
	p, findings, err := piece.Make(context.Background(), c, piece.Inputs{}, nil, -1, 0.05)
	if err != nil {
		panic(err)
	}
	back, top := 15.0, 15-12*math.Tan(10*math.Pi/180)
	cone := math.Pi * 12 / 3 * (back*back + back*top + top*top)
	fmt.Printf("%.2f ml of %.2f, draft %.0f°, %d remarks\n", p.VolumeMM3/1000, cone/1000, p.MinDraftDeg, len(findings))
	// Output: 7.34 ml of 7.34, draft 10°, 0 remarks
}
