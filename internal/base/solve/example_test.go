package solve_test

import (
	"context"
	"fmt"

	"mouldwright/internal/base/solve"
)

// Where x² is 2: the square root of two, 1.41421.
func ExampleRoot() {
	x, err := solve.Root(func(x float64) float64 { return x*x - 2 }, 0, 2, 1e-9)
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.5f\n", x)
	// Output: 1.41421
}

// Two boxes (nodes 1 and 2) take three pieces each from two kinds (3 and 4). The first box
// would rather not have kind 4, so it gets kind 3 only, and nothing cheaper can be.
func ExampleNetwork() {
	n := solve.NewNetwork(6) // 0: all that is to be dealt out, 5: all that was
	one := func(from, to int, most, price int64) int {
		return n.Add(solve.Arc{From: from, To: to, Most: most, Width: most, Price: solve.Cost{price}})
	}
	one(0, 1, 3, 0)
	one(0, 2, 3, 0)
	liked := one(1, 3, 3, 0)
	one(1, 4, 3, 1)
	one(2, 3, 3, 0)
	one(2, 4, 3, 0)
	one(3, 5, 3, 0)
	one(4, 5, 3, 0)
	sent, err := n.Send(context.Background(), 0, 5, 6)
	if err != nil {
		panic(err)
	}
	fmt.Println(sent, "pieces, unwanted:", n.Cost()[0], "of at least", n.Bound(0, 5, 6)[0])
	fmt.Println("first box:", n.On(liked), "of kind 3")
	// Output:
	// 6 pieces, unwanted: 0 of at least 0
	// first box: 3 of kind 3
}
