package piece

import (
	"context"
	"testing"

	"mouldwright/internal/flow/artwork"
)

// referencePiece is the piece whose speed is measured: 36 x 28 mm at the back, corner
// radius 4, 12 mm high, sides 8 degrees, a word of seven letters 30 mm wide, raised
// 0.8 mm with 10 degrees.
func referencePiece() Choices {
	return Choices{
		Name: "reference", Outline: "rounded rectangle", WidthMM: 36, DepthMM: 28, CornerMM: 4,
		HeightMM: 12, DraftDeg: 8, Top: "flat", Art: []artwork.Choices{word("ORCHARD")},
	}
}

func word(text string) artwork.Choices {
	return artwork.Choices{
		Text: text, Font: "sans bold", Align: "centre", Leading: 1.2, WidthMM: 30,
		Side: "raised", DepthMM: 0.8, Profile: "flat", DraftDeg: 10,
	}
}

// BenchmarkReferencePiece makes the reference piece at 25 µm from nothing but its fonts.
func BenchmarkReferencePiece(b *testing.B) {
	in := Inputs{Fonts: artwork.NewFonts()}
	for b.Loop() {
		if _, _, err := Make(context.Background(), referencePiece(), in, nil, -1, 0.025); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkNextName makes one more row of a name list on a body that is there.
func BenchmarkNextName(b *testing.B) {
	c := referencePiece()
	c.Names = true
	c.Art[0].Text = "{name}"
	d, _, err := Prepare(context.Background(), c, Inputs{Fonts: artwork.NewFonts()}, 0.025)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, _, err := d.Piece(context.Background(), map[string]string{"name": "ORCHARD"}, 0); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkDomedText makes a name whose footprint is its own outline, with a dome.
func BenchmarkDomedText(b *testing.B) {
	c := referencePiece()
	c.Outline, c.MarginMM, c.Top, c.RiseMM, c.EdgeMM = "text", 4, "domed", 2, 1
	in := Inputs{Fonts: artwork.NewFonts()}
	for b.Loop() {
		if _, _, err := Make(context.Background(), c, in, nil, -1, 0.025); err != nil {
			b.Fatal(err)
		}
	}
}
