package coat_test

import (
	"fmt"

	"mouldwright/internal/flow/kitchen/coat"
)

// On an upright wall a chocolate with a yield value of 15 Pa and 1.2 g/ml keeps
// 15 / (1200 · 9.80665 · sin 90°) m = 1.27 mm, however much was poured in.
func Example() {
	stays := coat.FilmMM(15, 1.2, 90, 10)
	fmt.Printf("%.2f mm stays on the wall\n", stays)

	// Casson's own straight line is found again from three readings on it: 36 Pa and 4 Pa s.
	flow := coat.Casson{YieldPa: 36, ViscosityPaS: 4}
	rates := []float64{4, 9, 25}
	var stresses []float64
	for _, rate := range rates {
		stresses = append(stresses, flow.StressPa(rate))
	}
	fmt.Printf("%.0f Pa at 4/s; fitted: %.0f\n", stresses[0], coat.Fit(rates, stresses))
	// Output:
	// 1.27 mm stays on the wall
	// 100 Pa at 4/s; fitted: {36 4}
}
