package build_test

import (
	"fmt"
	"os"

	"mouldwright/internal/build"
)

// A build that is to be repeated to the byte is given the day on which it was made:
// SOURCE_DATE_EPOCH counts the seconds since 1970.
func ExamplePresent() {
	before, had := os.LookupEnv("SOURCE_DATE_EPOCH")
	os.Setenv("SOURCE_DATE_EPOCH", "1795000000")
	fmt.Println(build.Present().UTC().Format("2006-01-02 15:04"))
	if had {
		os.Setenv("SOURCE_DATE_EPOCH", before)
	} else {
		os.Unsetenv("SOURCE_DATE_EPOCH")
	}
	// Output: 2026-11-18 11:06
}
