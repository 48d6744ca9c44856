package forecast

import (
	"slices"
	"testing"

	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/piece"
)

// names is the names of the marks of a text.
func names(t *testing.T, text, font string) []string {
	t.Helper()
	d := reference(text)
	d.Art[0].Font, d.Art[0].HeightMM = font, 10
	m, c := usual()
	m.Design = d
	f, _, err := Make(bg, made(t, d, 0.05), m, c)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, k := range f.Marks {
		out = append(out, k.Name)
	}
	return out
}

func TestMarksAreCalledByTheirLetters(t *testing.T) {
	for text, want := range map[string][]string{
		"olio": {"first o of olio", "hole of the first o of olio", "second o of olio", "hole of the second o of olio", "l of olio", "i of olio", "dot of the i of olio"},
		"B é":  {"B", "hole 1 of the B", "hole 2 of the B", "é", "accent of the é", "hole of the é"},
		"Ħ":    {"Ħ", "hole of the Ħ"},
	} {
		got := names(t, text, "sans bold")
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}

// Letters that join are one mark, called by the word.
func TestJoinedLettersAreOneMark(t *testing.T) {
	got := names(t, "نسم", "sans arabic bold") // a word whose three letters join
	if len(got) == 0 || !slices.Contains(got, "نسم") {
		t.Errorf("%q", got)
	}
}

// Art without letters is told by what it is, a number, and its file.
func TestMarksOfADrawing(t *testing.T) {
	f := &Forecast{Marks: []Mark{
		{Kind: "raised", Of: -1, WidthMM: 10, HeightMM: 1, NarrowMM: 1},
		{Kind: "hole", Of: 0, WidthMM: 0.5, HeightMM: 0.5, NarrowMM: 0.5},
		{Kind: "raised", Of: -1, WidthMM: 2, HeightMM: 2, NarrowMM: 2},
		{Kind: "raised", Of: -1, WidthMM: 1, HeightMM: 9, NarrowMM: 1},
	}}
	f.nameMarks(&piece.Piece{Scale: 1}, piece.Choices{Art: []artwork.Choices{{File: "bee.svg", Side: "raised"}}})
	for i, want := range []string{"stroke 1 of bee.svg", "hole of stroke 1 of bee.svg", "island 1 of bee.svg", "stroke 2 of bee.svg"} {
		if f.Marks[i].Name != want || f.Marks[i].Art != 0 {
			t.Errorf("%+v, want %q", f.Marks[i], want)
		}
	}
}
