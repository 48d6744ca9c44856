package flow_test

import (
	"context"
	"fmt"

	"mouldwright/internal/flow"
	"mouldwright/internal/job"
)

// The example job as the workshop sketches it after every edit: the whole plan in numbers,
// without a file. As many pieces are made as lie in the boxes.
func Example() {
	ctx := context.Background()
	_, in, err := job.Load(ctx, "../../examples/orchard/job.toml")
	if err != nil {
		panic(err)
	}
	sketch, err := flow.NewSketcher("example").Sketch(ctx, in)
	if err != nil {
		panic(err)
	}
	plan := sketch.Plan
	dealt, wanted := 0, 0
	for _, b := range plan.Boxes {
		dealt += len(b.Cells)
	}
	for _, p := range plan.Pieces {
		wanted += p.Count
	}
	fmt.Printf("%s: %d boxes of %d\n", plan.Title, len(plan.Boxes), dealt/len(plan.Boxes))
	fmt.Println("all dealt out:", dealt == wanted)
	// Output:
	// The Thistlewick orchard supper: 26 boxes of 4
	// all dealt out: true
}

// The short code of a revision: 1234 in Crockford's base 32 is 16J, with the check symbol D
// (crockford.com/base32.html). A code read back with O for 0 or I for 1 is still right.
func ExampleEncode() {
	fmt.Printf("%s%c\n", flow.Encode(1234), flow.CheckSymbol(1234))
	code := flow.Code([32]byte{1, 2, 3})
	_, ok := flow.ParseCode(code)
	fmt.Println(len(code), ok)
	// Output:
	// 16JD
	// 7 true
}
