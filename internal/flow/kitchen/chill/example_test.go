package chill_test

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/kitchen/chill"
)

// A solid bar, 10 mm high, in a fridge at 6 °C. All heat that leaves it reaches the air:
// the two are summed apart, so their likeness is a check on the whole computation.
func Example() {
	ctx := context.Background()
	bar := field.New(field.Around(geom.Rectangle(24, 16).Bounds(), 0.5))
	bar.Fill(10)
	shape, err := chill.NewShape(ctx, bar, nil, 0, 6)
	if err != nil {
		panic(err)
	}
	kitchen := chill.Setup{
		FridgeC: unit.Between(4, 6, 8), RoomC: 20, MouldC: 20, ChocolateC: 31.5, FillingC: 25, UnderMM: 8, BoardMM: 3,
		ChocolateG: unit.Sure(1.3), FatPct: unit.Sure(35), FillingGML: unit.Sure(1.2), SiliconeGML: unit.Sure(1.08),
	}
	times, err := chill.Set(ctx, shape, kitchen, chill.Solid, 1, 2)
	if err != nil {
		panic(err)
	}
	run := times.Likely
	last := run.History[len(run.History)-1]
	fmt.Println("set:", run.Done, "; in order:", times.SetMin.Ordered())
	fmt.Println("heat kept:", math.Abs(last.LostJ/run.StoredJ-1) < 1e-3)
	// Output:
	// set: true ; in order: true
	// heat kept: true
}
