package format_test

import (
	"errors"
	"fmt"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format"
)

// Before a reader sets memory aside it asks whether the file may be so large; the refusal
// names the file.
func ExampleLimits() {
	lim := format.Usual()
	fmt.Println(lim.CheckBytes("pear.stl", 84+50*12))

	err := lim.CheckCounts("scan.stl", 1, 100_000_000)
	var refusal *finding.Error
	fmt.Println(errors.As(err, &refusal), refusal.File)
	// Output:
	// <nil>
	// true scan.stl
}
