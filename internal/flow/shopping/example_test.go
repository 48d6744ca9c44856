package shopping_test

import (
	"fmt"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/shopping"
)

// 1.2 kg of chocolate are needed, 300 g of it at home: what is missing is 900 g, so one
// pack of a kilogram.
func Example() {
	needs := []shopping.Need{{What: "dark chocolate", Group: "chocolate", Amount: 1200, Used: 900, Unit: "g"}}
	prices := []shopping.Price{{What: "dark chocolate", Price: 14.50, Pack: 1, Unit: "kg"}}
	home := []shopping.Stock{{What: "dark chocolate", Amount: 300, Unit: "g"}}
	list, _, err := shopping.Make(needs, prices, home, unit.Date{Year: 2027, Month: 9, Day: 11})
	if err != nil {
		panic(err)
	}
	line := list.Lines[0]
	fmt.Printf("buy %.0f g in %d pack: %.2f; used up: %.2f\n", line.Buy, line.Packs, list.Total, list.Used)
	// Output: buy 900 g in 1 pack: 14.50; used up: 13.05
}
