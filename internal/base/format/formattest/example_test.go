package formattest_test

import (
	"fmt"

	"mouldwright/internal/base/format/formattest"
)

// A box of 2 x 3 x 4 mm: 24 mm³, and by L. Euler vertices - edges + faces = 2.
func ExampleOf() {
	f := formattest.Of(formattest.Box([3]float32{0, 0, 0}, [3]float32{2, 3, 4}))
	fmt.Println(f.Volume, "mm³; open edges:", f.Open, "; V - E + F =", f.V-f.E+f.F)
	// Output: 24 mm³; open edges: 0 ; V - E + F = 2
}
