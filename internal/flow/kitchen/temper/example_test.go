package temper_test

import (
	"fmt"

	"mouldwright/internal/base/material"
	"mouldwright/internal/flow/kitchen/temper"
)

// A balance by hand, for a gram of chocolate with 30 % of fat. The melt gives 1.67 J/gK times
// 8 K = 13.4 J on its way from 40 to 32 °C; the seed takes 1.59 J/gK times 12 K for warmth
// and 0.3 times 157 J for melting = 66.2 J. So the seed is 13.4 / (13.4 + 66.2) of it all.
func ExampleSeed() {
	share, err := temper.Seed(40, 32, 20, 30, 0)
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.3f of %.3f\n", share, 13.4/(13.4+66.2))
	// Output: 0.168 of 0.168
}

// Form V, which tempering is after, melts at 33.8 °C; every working temperature lies below.
func Example() {
	for _, kind := range []string{"dark", "milk", "white"} {
		work := temper.Curves[kind].WorkC
		fmt.Println(kind, work.Likely, "°C:", work.High < material.CocoaFormC[4])
	}
	// Output:
	// dark 31.5 °C: true
	// milk 30 °C: true
	// white 29 °C: true
}
