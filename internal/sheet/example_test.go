package sheet_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"

	"mouldwright/internal/flow"
	"mouldwright/internal/job"
	"mouldwright/internal/sheet"
)

// The days of a first job, from a sketch, as a PDF on A4. The same result gives the
// same bytes.
func ExampleWriteCalendar() {
	ctx := context.Background()
	dir, err := os.MkdirTemp("", "sheet")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	if err := job.Start(filepath.Join(dir, "gifts")); err != nil {
		panic(err)
	}
	_, in, err := job.Load(ctx, filepath.Join(dir, "gifts", "job.toml"))
	if err != nil {
		panic(err)
	}
	sketch, err := flow.NewSketcher("example").Sketch(ctx, in)
	if err != nil {
		panic(err)
	}
	var once, again bytes.Buffer
	for _, pdf := range []*bytes.Buffer{&once, &again} {
		if err := sheet.WriteCalendar(ctx, pdf, sketch, "A4"); err != nil {
			panic(err)
		}
	}
	fmt.Printf("%s, equal: %t\n", once.Bytes()[:5], bytes.Equal(once.Bytes(), again.Bytes()))
	// Output: %PDF-, equal: true
}
