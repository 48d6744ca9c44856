package typeface_test

import (
	"fmt"

	"mouldwright/internal/base/format/font"
	"mouldwright/internal/sheet/typeface"
)

// The face for text and numbers holds every sign that a sheet writes.
func Example() {
	serif, err := font.Parse("serif", typeface.Serif)
	if err != nil {
		panic(err)
	}
	for _, sign := range "µ×−–°½" {
		fmt.Printf("%c %t ", sign, serif.Has(sign))
	}
	// Output: µ true × true − true – true ° true ½ true
}
