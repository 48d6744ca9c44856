package box_test

import (
	"context"
	"fmt"

	"mouldwright/internal/base/material"
	"mouldwright/internal/flow/box"
)

// Milk chocolate goes to nobody who must not have milk: this box holds dark ones alone. That
// four are alike has a cost of the lowest rank, and the proved bound says that it must be.
func Example() {
	stuff := func(kind string) *box.Stuff { return box.NewChocolate(kind, material.Chocolates[kind].Value) }
	kinds := []box.Kind{
		{Name: "bee", Owner: -1, Count: -1, Shell: stuff("milk")},
		{Name: "pear", Owner: -1, Count: -1, Shell: stuff("dark"), Design: 1},
	}
	guest, err := box.NewGuest("Ysoline", 0, map[string]string{"allergies": "milk"})
	if err != nil {
		panic(err)
	}
	dealt, _, err := box.Deal(context.Background(), []box.Guest{guest}, kinds, 4)
	if err != nil {
		panic(err)
	}
	for _, k := range dealt.Boxes[0].Kinds {
		fmt.Print(kinds[k].Name, " ")
	}
	fmt.Println("- above the least possible:", dealt.Gap())
	// Output: pear pear pear pear - above the least possible: [0 0 0 0]
}
