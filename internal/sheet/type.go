package sheet

import (
	"fmt"
	"image/color"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/tdewolff/canvas"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/sheet/typeface"
)

// Ink. The contrast on white paper, by WCAG 2's formula: ink 16, soft 6.0, do 6.9,
// stop 7.0; a rule is no text.
var (
	ink  = color.RGBA{0x2b, 0x1a, 0x12, 255} // brown-black
	soft = color.RGBA{0x74, 0x60, 0x52, 255} // labels
	rule = color.RGBA{0xc9, 0xb9, 0xa8, 255} // hairlines
	tint = color.RGBA{0xf7, 0xf1, 0xe7, 255} // fields to read from, never behind what is written by hand
	do   = color.RGBA{0x1f, 0x62, 0x50, 255} // what can be done
	stop = color.RGBA{0xa3, 0x26, 0x2a, 255} // what must stop
)

// The four sizes of type, in points, and the distance of their lines in mm.
const (
	sizeHead  = 25.0
	sizeBig   = 15.0
	sizeText  = 10.0
	sizeLabel = 7.6

	leadHead  = 10.4
	leadBig   = 6.6
	leadText  = 4.75
	leadLabel = 3.6

	mmPerPt = 25.4 / 72
)

// faces are the typefaces of one book. A PDF writer marks the letters it uses in
// the font, so that each book has its own.
type faces struct {
	serif, italic, bold, sans, sansBold *canvas.Font
	ghost                               *canvas.Font   // without ink
	outlines                            *artwork.Fonts // for every other script
	drawn                               map[string]drawnText
}

// drawnText is a text as outline at 1 mm to the em.
type drawnText struct {
	path  *canvas.Path
	width float64
}

func newFaces() (*faces, error) {
	f := &faces{outlines: artwork.NewFonts(), drawn: map[string]drawnText{}}
	for _, l := range []struct {
		to   **canvas.Font
		data []byte
	}{
		{&f.serif, typeface.Serif}, {&f.italic, typeface.SerifItalic}, {&f.bold, typeface.SerifBold},
		{&f.sans, typeface.Sans}, {&f.sansBold, typeface.SansBold},
	} {
		var err error
		if *l.to, err = canvas.LoadFont(l.data, 0, canvas.FontRegular); err != nil {
			return nil, fmt.Errorf("sheet: typeface: %w", err)
		}
		// Letters stay single, so that a text can be copied out of the PDF.
		(*l.to).SetFeatures("-liga,-dlig,-clig")
	}
	var err error
	if f.ghost, err = canvas.LoadFont(ghostFont(), 0, canvas.FontRegular); err != nil {
		return nil, fmt.Errorf("sheet: font without ink: %w", err)
	}
	return f, nil
}

// style is how a text is set.
type style struct {
	font   *canvas.Font
	sizePt float64
	colour color.RGBA
}

func (s style) in(c color.RGBA) style { s.colour = c; return s }

func (f *faces) head() style      { return style{f.bold, sizeHead, ink} }
func (f *faces) big() style       { return style{f.bold, sizeBig, ink} }
func (f *faces) text() style      { return style{f.serif, sizeText, ink} }
func (f *faces) textBold() style  { return style{f.bold, sizeText, ink} }
func (f *faces) aside() style     { return style{f.italic, sizeText, soft} }
func (f *faces) label() style     { return style{f.sans, sizeLabel, soft} }
func (f *faces) labelBold() style { return style{f.sansBold, sizeLabel, ink} }
func (f *faces) figure() style    { return style{f.serif, sizeLabel, ink} }

// measured finds a number and its unit, which stay on one line.
var measured = regexp.MustCompile(`(\d) ((?:mm|µm|g|kg|ml|h|min|s|hPa|K)\b|%|°C)`)

// spaces sets every kind of space as the one that the typefaces have.
var spaces = strings.NewReplacer("\u202f", " ", "\u00a0", " ", "\t", " ", "\n", " ")

// run is a stretch of text in one font; without a font it is drawn as outline.
type run struct {
	font *canvas.Font
	text string
}

// runs parts a text by the font that has its letters: the style's own, else the
// serif, which has more signs, else none. Spaces and signs between two words of
// another script go with them, so that their order is that script's own.
func (f *faces) runs(s string, st style) (out []run) {
	fontOf := func(r rune) *canvas.Font {
		switch {
		case st.font.SFNT.GlyphIndex(r) != 0:
			return st.font
		case f.serif.SFNT.GlyphIndex(r) != 0:
			return f.serif
		}
		return nil
	}
	for _, r := range s {
		font := fontOf(r)
		if n := len(out); n > 0 && out[n-1].font == font {
			out[n-1].text += string(r)
			continue
		}
		out = append(out, run{font, string(r)})
	}
	for i := 1; i+1 < len(out); {
		if out[i-1].font == nil && out[i+1].font == nil && !strings.ContainsFunc(out[i].text, unicode.IsLetter) {
			out[i-1].text += out[i].text + out[i+1].text
			out = append(out[:i], out[i+2:]...)
			continue
		}
		i++
	}
	return out
}

// width is the length of a line in mm.
func (f *faces) width(s string, st style) float64 {
	var w float64
	for _, r := range f.runs(spaces.Replace(s), st) {
		w += f.runWidth(r, st)
	}
	return w
}

func (f *faces) runWidth(r run, st style) float64 {
	if r.font == nil {
		return f.outline(r.text, st).width * st.sizePt * mmPerPt
	}
	return r.font.Face(st.sizePt, st.colour).TextWidth(r.text)
}

// outline sets a text of any script with the built-in fonts, as the chocolate has
// it. A letter that no font has is shown as a box with its code, since a sheet must
// not fail at a caption.
func (f *faces) outline(s string, st style) drawnText {
	name := "sans"
	switch st.font {
	case f.serif, f.italic:
		name = "serif"
	case f.bold:
		name = "serif bold"
	case f.sansBold:
		name = "sans bold"
	}
	key := name + "\x00" + s
	if d, ok := f.drawn[key]; ok {
		return d
	}
	spec := artwork.TextSpec{Text: s, Font: name, Align: "left", Leading: 1.2, SizeMM: 1}
	o, _, err := artwork.Text(spec, f.outlines)
	if err != nil {
		var b strings.Builder
		for _, r := range s {
			if f.serif.SFNT.GlyphIndex(r) != 0 {
				b.WriteRune(r)
			} else {
				fmt.Fprintf(&b, "[U+%04X]", r)
			}
		}
		spec.Text = b.String()
		if o, _, err = artwork.Text(spec, f.outlines); err != nil {
			o = nil
		}
	}
	d := drawnText{path: &canvas.Path{}}
	if box := o.Bounds(); !box.Empty() {
		// Artwork centres a text on its ink; on a line of type the middle of the ink
		// stands about a third of an em above the base line.
		d.path = pathOf(o.Transform(geom.Move(-box.Min.X, 0.33-box.Center().Y)))
		d.width = box.W()
	}
	f.drawn[key] = d
	return d
}

// pathOf is an outline as a path.
func pathOf(o geom.Outline) *canvas.Path {
	p := &canvas.Path{}
	for _, r := range o {
		for i, q := range r {
			if i == 0 {
				p.MoveTo(q.X, q.Y)
			} else {
				p.LineTo(q.X, q.Y)
			}
		}
		p.Close()
	}
	return p
}

// maxSet bounds the characters of one text; what is longer is cut short.
const maxSet = 2000

// lines breaks a text into lines no wider than width: at spaces, and inside a word
// only where it is wider than a line.
func (f *faces) lines(s string, st style, width float64) []string {
	s = measured.ReplaceAllString(s, "$1\u00a0$2")
	if rs := []rune(s); len(rs) > maxSet {
		s = string(rs[:maxSet]) + "…"
	}
	var out []string
	for _, part := range strings.Split(s, "\n") {
		line, long := "", 0.0
		for _, word := range strings.Split(part, " ") {
			if word == "" {
				continue
			}
			try, w := word, f.width(word, st)
			if line != "" {
				try = line + " " + word
				// The sum of the parts is the whole but for kerning at the space; near the
				// end of the line the whole is measured.
				w += long + f.width(" ", st)
				if w > 0.96*width && w < 1.04*width {
					w = f.width(try, st)
				}
			}
			if w <= width {
				line, long = try, w
				continue
			}
			if line != "" {
				out = append(out, line)
			}
			for f.width(word, st) > width && utf8.RuneCountInString(word) > 1 {
				n := f.fits(word, st, width)
				out = append(out, word[:n])
				word = word[n:]
			}
			line, long = word, f.width(word, st)
		}
		out = append(out, line)
	}
	for i := range out {
		out[i] = spaces.Replace(out[i])
	}
	return out
}

// maxHeadLines bounds a heading; a longer one is cut short.
const maxHeadLines = 4

// headLines breaks a heading.
func (f *faces) headLines(s string, width float64) []string {
	l := f.lines(s, f.head(), width)
	if len(l) > maxHeadLines {
		l = l[:maxHeadLines]
		l[maxHeadLines-1] = f.short(l[maxHeadLines-1]+" …", f.head(), width)
	}
	return l
}

// fits is how many bytes of a word fit into a width: whole letters, at least one.
func (f *faces) fits(word string, st style, width float64) int {
	starts := []int{}
	for i := range word {
		starts = append(starts, i)
	}
	lo, hi := 1, len(starts)-1
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if f.width(word[:starts[mid]], st) <= width {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	return starts[lo]
}

// short cuts a line to a width, with three dots where it was cut.
func (f *faces) short(s string, st style, width float64) string {
	if f.width(s, st) <= width {
		return s
	}
	rs := []rune(s)
	lo, hi := 0, len(rs)
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if f.width(string(rs[:mid])+"…", st) <= width {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	return strings.TrimRight(string(rs[:lo]), " ") + "…"
}
