package finding_test

import (
	"fmt"

	"mouldwright/internal/base/finding"
)

// A remark names the place, what was found and what to do; where a change of the job file
// mends it, it carries that change too.
func Example() {
	list := []finding.Finding{
		{Severity: finding.Note, Where: "plate", What: "two tiles on one plate"},
		finding.Finding{
			Severity: finding.Care,
			Where:    "piece[2].art[1].depth_mm",
			What:     "the stroke is 0.6 mm wide and 1.2 mm deep; at most 0.9 mm",
			Do:       "a depth of 0.9 mm",
		}.Mended(finding.Set("piece[2].art[1].depth_mm", 0.9)),
	}
	fmt.Println("worst:", finding.Worst(list))
	fmt.Println(list[1])
	fmt.Println(list[1].Remedy.Key, "=", list[1].Remedy.Value)
	// Output:
	// worst: care
	// piece[2].art[1].depth_mm: the stroke is 0.6 mm wide and 1.2 mm deep; at most 0.9 mm
	//   try: a depth of 0.9 mm
	// piece[2].art[1].depth_mm = 0.9
}
