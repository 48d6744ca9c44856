package forecast_test

import (
	"fmt"

	"mouldwright/internal/flow/forecast"
)

// A layer of 0.05 mm on a surface that leans 60° from level makes steps of 0.05·cos 60° =
// 0.025 mm; on one that leans 5° they are 0.05/tan 5° = 0.57 mm wide, which an eye sees.
func ExampleCusp() {
	fmt.Printf("%.3f mm high\n", forecast.Cusp(0.05, 60))
	fmt.Printf("%.2f mm wide\n", forecast.TerraceMM(0.05, 5))
	// Output:
	// 0.025 mm high
	// 0.57 mm wide
}
