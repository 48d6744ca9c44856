package coupon_test

import (
	"fmt"

	"mouldwright/internal/flow/coupon"
)

// Callipers read 1.5693 in where 40 mm were drawn: 39.86 mm, so the print is 0.35 % short.
func ExampleParseMM() {
	mm, err := coupon.ParseMM("1.5693 in")
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.2f mm, short by %.2f %%\n", mm, 100*(1-mm/40))
	// Output: 39.86 mm, short by 0.35 %
}

// What the size coupon asks for first: the place named X40, where 40 mm are drawn.
func ExampleSpots() {
	spot := coupon.Spots(coupon.Size, 0.05)[0]
	fmt.Println(spot.Name, spot.DrawnMM, "mm")
	// Output: X40 40 mm
}
