package material_test

import (
	"fmt"

	"mouldwright/internal/base/material"
)

// A class stands in for what a person has not entered: a rubber mixed 1:1 by mass, with
// the source of its values.
func Example() {
	class, err := material.FromClass(material.Silicones, "soft food-grade rubber")
	if err != nil {
		panic(err)
	}
	rubber := class.Value
	a, b, err := rubber.MassRatio()
	if err != nil {
		panic(err)
	}
	fmt.Printf("%g:%g, density %v g/ml (%s)\n", a, b, rubber.DensityGML, class.Source)

	// Parts by volume are turned into parts by mass with each part's density.
	rubber.RatioA, rubber.RatioB, rubber.RatioBy = 10, 1, "volume"
	rubber.DensityAGML, rubber.DensityBGML = 1.10, 1.00
	a, b, _ = rubber.MassRatio()
	fmt.Printf("%.1f g of A to 1 g of B\n", a/b)
	// Output:
	// 1:1, density 1.05 / 1.08 / 1.12 g/ml (common practice, no source)
	// 11.0 g of A to 1 g of B
}
