package artwork

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/font"
	"mouldwright/internal/base/geom"
)

// TextSpec is one text to be set. At least one of WidthMM, HeightMM and SizeMM is
// above zero.
type TextSpec struct {
	Where string // the art's key in the job file, "piece[2].art[1]"; stands in errors and findings

	Text        string  // the words with variables replaced; a line break starts a new line
	Font        string  // a name that Fonts.Find knows
	Align       string  // left, centre or right
	Leading     float64 // distance of baselines, in ems
	Tracking    float64 // extra space between letters, in ems
	ArcRadiusMM float64 // 0 for straight lines, see Text

	WidthMM, HeightMM float64 // the ink box, laid straight, fits into these; 0 for no bound
	SizeMM            float64 // mm to the em, when there is neither width nor height
}

// Limits of one text (our choice: a page of a book, some 2,000 characters).
const (
	MaxTextRunes = 2000
	MaxTextLines = 50
	maxEmMM      = 2000 // a full stop 200 mm wide; larger comes only from mistakes
)

// TextSpec is what a piece of art asks for, with the words after substitution and
// the size in mm to the em that is taken when the art has neither width nor height.
func (c Choices) TextSpec(where, text string, sizeMM float64) TextSpec {
	return TextSpec{Where: where, Text: text, Font: c.Font, Align: c.Align, Leading: c.Leading,
		Tracking: c.Tracking, ArcRadiusMM: c.ArcRadiusMM, WidthMM: c.WidthMM, HeightMM: c.HeightMM, SizeMM: sizeMM}
}

// Text sets a text: shaped by its fonts' rules (ligatures, marks, joined and
// reordered letters, kerning), each line in its own direction by its first letter.
// The outline is settled, in mm, its ink box centred on the origin.
//
// With a width or a height the text is as large as its ink box allows. On an arc that
// is the box of the same text laid straight, and the origin is the middle of the
// circle, so that words of any length stand on one circle. The first baseline is a
// circle of that radius: a positive one runs over the top, lines following inwards; a
// negative one under the bottom, lines following outwards. Letters stand on it
// upright; letters that join (Arabic, letters that hang from a line as Devanagari,
// handwriting) are bent with it, so that the joints stay closed. For the same reason
// there is no tracking inside joined words.
//
// Letters that the font lacks are set, word by word, in the built-in font nearest
// to it in character; a finding notes which. Errors are *finding.Error: a character
// that no font has, a control character, a text without ink or too long for its
// limits or its circle.
func Text(c TextSpec, fonts *Fonts) (geom.Outline, []finding.Finding, error) {
	t, notes, err := Set(c, fonts)
	return t.Outline, notes, err
}

// Letter is one glyph of a text where it was set: usually a letter.
type Letter struct {
	Text    string       // its characters: one, or those of a ligature
	Word    string       // the word that it stands in
	Outline geom.Outline // in mm, not settled
}

// Setting is a text that was set, and its letters, which the outline unites.
type Setting struct {
	Outline geom.Outline
	Letters []Letter
}

// Moved is the text elsewhere.
func (s Setting) Moved(to geom.Affine) Setting {
	letters := make([]Letter, len(s.Letters))
	for i, l := range s.Letters {
		letters[i] = Letter{l.Text, l.Word, l.Outline.Transform(to)}
	}
	return Setting{s.Outline.Transform(to), letters}
}

// Set is Text that also tells the letters apart, in the order in which they are seen.
func Set(c TextSpec, fonts *Fonts) (Setting, []finding.Finding, error) {
	if c.Where == "" {
		c.Where = "text"
	}
	t, notes, err := setText(c, fonts)
	if err != nil {
		if e, ok := err.(*finding.Error); ok && e.File == "" {
			at := *e
			if at.Key = c.Where; e.Key != "" && e.Key != c.Where {
				at.Key += "." + e.Key
			}
			return Setting{}, nil, &at
		}
		return Setting{}, nil, err
	}
	return t, notes, nil
}

func setText(c TextSpec, fonts *Fonts) (Setting, []finding.Finding, error) {
	if err := checkSpec(c); err != nil {
		return Setting{}, nil, err
	}
	lines, err := textLines(c.Text)
	if err != nil {
		return Setting{}, nil, err
	}
	ft, err := fonts.Find(c.Font)
	if err != nil {
		return Setting{}, nil, err
	}
	sh := fonts.shapers.Get().(*font.Shaper)
	defer fonts.shapers.Put(sh)
	s := &setter{fonts: fonts, shaper: sh, font: ft, tracking: c.Tracking}
	l := layout{fonts: fonts, align: c.Align, leading: c.Leading, radiusMM: c.ArcRadiusMM}
	for i, line := range lines {
		set, err := s.line(line, i+1)
		if err != nil {
			return Setting{}, nil, err
		}
		l.lines = append(l.lines, set)
	}
	notes := s.notes(c.Where)
	o, fitted, err := l.fit(c)
	if err != nil {
		return Setting{}, nil, err
	}
	if !fitted {
		notes = append(notes, finding.Finding{Severity: finding.Note, Where: c.Where,
			What: "the text fills its circle before it fills the given width and height",
			Do:   "a larger arc_radius_mm makes it larger"})
	}
	if l.radiusMM != 0 {
		return Setting{o, l.letters}, notes, nil
	}
	b := o.Bounds().Center()
	return Setting{o, l.letters}.Moved(geom.Move(-b.X, -b.Y)), notes, nil
}

func checkSpec(c TextSpec) error {
	for _, v := range [...]struct {
		key         string
		value       float64
		least, most float64
	}{
		{"line_spacing", c.Leading, 0.1, 10},
		{"tracking", c.Tracking, -0.5, 10},
		{"arc_radius_mm", c.ArcRadiusMM, -1000, 1000},
		{"width_mm", c.WidthMM, 0, 1000},
		{"height_mm", c.HeightMM, 0, 1000},
		{"size_mm", c.SizeMM, 0, maxEmMM},
	} {
		if !(v.value >= v.least && v.value <= v.most) { // also not a number
			return &finding.Error{Key: v.key, Found: fmt.Sprintf("%g", v.value),
				Allowed: fmt.Sprintf("%g to %g", v.least, v.most), Do: "change the value"}
		}
	}
	if !(c.WidthMM > 0 || c.HeightMM > 0 || c.SizeMM > 0) {
		return &finding.Error{Key: "width_mm", Found: "a text without a size",
			Allowed: "a width, a height, or both", Do: "say how wide or how high the text shall be"}
	}
	switch c.Align {
	case "left", "centre", "right":
		return nil
	}
	return &finding.Error{Key: "align", Found: fmt.Sprintf("%q", c.Align), Allowed: "left, centre, right", Do: "use one of these"}
}

// textLines splits a text at its line breaks and refuses what cannot be set.
func textLines(text string) ([][]rune, error) {
	if !utf8.ValidString(text) {
		return nil, &finding.Error{Found: "a text that is not UTF-8", Allowed: "UTF-8", Do: "save the file as UTF-8"}
	}
	text = strings.ReplaceAll(text, "\r\n", "\n")
	if n := utf8.RuneCountInString(text); n > MaxTextRunes {
		return nil, &finding.Error{Found: fmt.Sprintf("a text of %d characters", n),
			Allowed: fmt.Sprintf("at most %d", MaxTextRunes), Do: "shorten it"}
	}
	parts := strings.Split(text, "\n")
	if len(parts) > MaxTextLines {
		return nil, &finding.Error{Found: fmt.Sprintf("a text of %d lines", len(parts)),
			Allowed: fmt.Sprintf("at most %d", MaxTextLines), Do: "shorten it"}
	}
	lines := make([][]rune, len(parts))
	empty := true
	for i, p := range parts {
		lines[i] = []rune(p)
		for j, r := range lines[i] {
			if unicode.In(r, unicode.Cc, unicode.Zl, unicode.Zp) {
				return nil, &finding.Error{Found: fmt.Sprintf("the control character U+%04X in line %d, character %d", r, i+1, j+1),
					Allowed: "letters, signs, spaces and line breaks", Do: "delete it"}
			}
			empty = empty && (unicode.IsSpace(r) || font.Ignorable(r))
		}
	}
	if empty {
		return nil, &finding.Error{Found: "a text without a visible character", Allowed: "at least one letter or sign", Do: "write the words, or leave the art out"}
	}
	return lines, nil
}

// sizeLimit is the largest em in mm that a spec's own bounds leave.
func sizeLimit(c TextSpec, box geom.Rect) float64 {
	size := math.Inf(1)
	if c.WidthMM > 0 {
		size = math.Min(size, c.WidthMM/box.W())
	}
	if c.HeightMM > 0 {
		size = math.Min(size, c.HeightMM/box.H())
	}
	if math.IsInf(size, 1) {
		size = c.SizeMM
	}
	return size
}
