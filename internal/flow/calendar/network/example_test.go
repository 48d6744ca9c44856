package network_test

import (
	"context"
	"fmt"

	"mouldwright/internal/flow/calendar/network"
)

// Two prints of three hours, each washed for one, on a single printer: 3 + 3 + 1 = 7 hours,
// and no plan is shorter. With the limits left aside it would be 4.
func Example() {
	printer := []network.Use{{Resource: 0, Units: 1}}
	p := network.Problem{
		Tasks: []network.Task{
			{Body: 180, Uses: printer},
			{Head: 60, After: []network.Link{{Task: 0}}},
			{Body: 180, Uses: printer},
			{Head: 60, After: []network.Link{{Task: 2}}},
		},
		Capacity: []int{1},
	}
	s, err := p.Count(context.Background(), 24*60)
	if err != nil {
		panic(err)
	}
	_, _, alone, err := p.Critical()
	if err != nil {
		panic(err)
	}
	fmt.Println(s.SpanMin/60, "h of at least", s.BoundMin/60, "h; without limits", alone/60, "h")
	// Output: 7 h of at least 7 h; without limits 4 h
}
