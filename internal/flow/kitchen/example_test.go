package kitchen_test

import (
	"fmt"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/kitchen"
)

// Ten pieces with 3 ml of shell, 4 ml of filling and 1 ml of cap, at 1.3 and 1.2 g/ml:
// 10·3·1.3 = 39 g of shells, and 10·4·1.2 = 48 g of filling of which a tenth is lost, so
// 48/0.9 = 53.3 g to make.
func ExampleMake() {
	item := kitchen.Item{
		Piece: "crest", Count: 10, Chocolate: "dark", ChocolateGML: unit.Sure(1.3), Filling: "caramel", FillingGML: unit.Sure(1.2),
		ShellMM3: 3000, FillingMM3: 4000, CapMM3: 1000,
	}
	k, _, err := kitchen.Make([]kitchen.Item{item}, kitchen.Choices{BowlFactor: 2, LossShare: 0.05, FillingLossShare: 0.1})
	if err != nil {
		panic(err)
	}
	fmt.Printf("shells %.1f g, filling %.1f g\n", k.Chocolates[0].ShellMassG.Likely, k.Fillings[0].MassG.Likely)
	fmt.Println("ten good ones of twelve cavities, 5 % lost, take", kitchen.Rounds(10, 12, kitchen.Choices{PieceLossShare: 0.05}), "round")
	// Output:
	// shells 39.0 g, filling 53.3 g
	// ten good ones of twelve cavities, 5 % lost, take 1 round
}
