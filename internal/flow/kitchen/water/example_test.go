package water_test

import (
	"fmt"

	"mouldwright/internal/flow/kitchen/water"
)

// A saturated solution of table sugar at 25 °C holds 2.07 g in 1 g of water. Its water
// activity is measured as 0.84 to 0.85 (from memory). Bacteria that make ill can grow above
// 0.85, so the class looks at the high end of the estimate.
func Example() {
	syrup := water.Solution{WaterG: 100, Parts: []water.Part{{Solute: water.Sucrose, MassG: 207}}}
	got, err := water.Estimate(syrup)
	if err != nil {
		panic(err)
	}
	fmt.Println("holds what is measured:", got.Range.Low <= 0.84 && got.Range.High >= 0.85)
	fmt.Println(water.Classes[water.Keeping(got.Range)].Name)
	// Output:
	// holds what is measured: true
	// days, chilled
}
