package font_test

import (
	"fmt"

	"github.com/go-text/typesetting/language"

	"mouldwright/internal/base/format/font"
)

// Kerning brings A and V together: the pair is narrower than its letters alone.
func Example() {
	sans := font.Builtin("sans bold")
	width := func(text string) (em float64) {
		glyphs, err := font.NewShaper().Shape(font.Run{Font: sans, Text: []rune(text), End: len(text), Script: language.Latin})
		if err != nil {
			panic(err)
		}
		for _, g := range glyphs {
			em += g.Advance / sans.UnitsPerEm
		}
		return em
	}
	fmt.Println("kerned:", width("AV") < width("A")+width("V"))
	fmt.Println("not kerned:", width("HH") == 2*width("H"))
	fmt.Println("has ß:", sans.Has('ß'))
	// Output:
	// kerned: true
	// not kerned: true
	// has ß: true
}
