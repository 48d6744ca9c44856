package unit_test

import (
	"fmt"

	"mouldwright/internal/base/unit"
)

// A mass that nature leaves uncertain is one range from the first formula to the last
// sheet, and is worded once. 32 ml of dark chocolate at 1.26 to 1.33 g/ml:
func Example() {
	density := unit.Between(1.26, 1.30, 1.33) // g/ml
	mass := density.Scale(32)
	fmt.Printf("%.2f g at least\n", mass.Low)
	fmt.Printf("%+q\n", unit.MassRange(mass))
	fmt.Printf("%+q\n", unit.Length(36))
	// Output:
	// 40.32 g at least
	// "40.3\u201342.6\u00a0g, likely\u00a041.6"
	// "36\u00a0mm"
}
