package record_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/record"
)

// A cure test is told once and for good; a build asks the record what happened.
func Example() {
	dir, err := os.MkdirTemp("", "record")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	ctx, jobFile := context.Background(), filepath.Join(dir, "job.toml")
	clock := func() time.Time { return time.Date(2026, 11, 2, 12, 0, 0, 0, time.UTC) }

	r, err := record.Open(ctx, jobFile, record.Options{Version: "example", Now: clock})
	if err != nil {
		panic(err)
	}
	test := record.CureTest{
		Day: unit.Date{Year: 2026, Month: 11, Day: 1}, Resin: "rigid grey resin", Treatment: "washed", Coating: "none",
		Silicone: "soft food-grade rubber", Outcome: "clean",
	}
	if err := r.Write(ctx, &test); err != nil {
		panic(err)
	}
	if err := r.Close(); err != nil {
		panic(err)
	}

	past, err := record.PastOf(ctx, jobFile, record.Options{Version: "example", Now: clock})
	if err != nil {
		panic(err)
	}
	fmt.Println(len(past.CureTests), "cure test:", past.CureTests[0].Outcome)
	damage, err := record.Check(ctx, jobFile, record.Options{Version: "example", Now: clock})
	fmt.Println("damage:", len(damage), err)
	// Output:
	// 1 cure test: clean
	// damage: 0 <nil>
}
