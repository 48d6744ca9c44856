package artwork_test

import (
	"fmt"

	"mouldwright/internal/flow/artwork"
)

// A name from the list is put into the words and set 30 mm wide, centred on the origin.
func Example() {
	words, err := artwork.Substitute("for {name}", map[string]string{"name": "Ysoline"})
	if err != nil {
		panic(err)
	}
	spec := artwork.Choices{Font: "sans bold", Align: "centre", Leading: 1.2, WidthMM: 30}.TextSpec("piece[1].art[1]", words, 0)
	outline, findings, err := artwork.Text(spec, artwork.NewFonts())
	if err != nil {
		panic(err)
	}
	ink := outline.Bounds()
	fmt.Printf("%q is %.2f mm wide, its middle at %.2f, %d remarks\n", words, ink.W(), ink.Center().X, len(findings))
	// Output: "for Ysoline" is 30.00 mm wide, its middle at 0.00, 0 remarks
}
