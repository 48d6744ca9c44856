package recipe_test

import (
	"fmt"

	"mouldwright/internal/flow/kitchen/recipe"
)

// Boiling 100 g of sugar in 50 g of water down to 15 % of water leaves 100/0.85 = 118 g.
func ExampleWork() {
	f, err := recipe.Work(map[string]float64{"sugar": 100, "water": 50}, 15, nil)
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.0f g; of 100 g: %.0f g sugars, %.0f kcal\n", 150*f.YieldShare, f.Of100G.SugarsG, f.Kcal)
	// Output: 118 g; of 100 g: 85 g sugars, 340 kcal
}
