package evening_test

import (
	"fmt"

	"mouldwright/internal/flow/kitchen/evening"
)

// One mould of solid pieces, filled twice: it cannot be filled again before it is released,
// so both chillings of 30 minutes lie one after the other.
func Example() {
	tray := evening.Mould{Name: "tray 1", Cavities: 12, Rounds: 2, ShellMin: 30, Bowls: []int{0}}
	bowl := evening.Bowl{Name: "dark", MassG: 1000, WorkMin: 60, ThickMin: 120}
	plan, err := evening.Plan([]evening.Mould{tray}, []evening.Bowl{bowl}, evening.Habits{Hands: 1, ShelfMoulds: 1})
	if err != nil {
		panic(err)
	}
	for _, s := range plan.Steps {
		if s.What == evening.Chill {
			fmt.Printf("round %d: %.0f min in the fridge\n", s.Round, s.End-s.Start)
		}
	}
	fmt.Println("longer than both:", plan.EndMin > 60)
	// Output:
	// round 1: 30 min in the fridge
	// round 2: 30 min in the fridge
	// longer than both: true
}
