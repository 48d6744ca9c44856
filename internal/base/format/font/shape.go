package font

import (
	"fmt"

	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/harfbuzz"
	"github.com/go-text/typesetting/language"
)

// Run is a stretch of text in one font, one script and one direction. Text around
// it is given so that letters join across runs.
type Run struct {
	Font       *Font
	Text       []rune // the whole line
	Start, End int    // the run is Text[Start:End]
	RTL        bool
	Script     language.Script
	Plain      bool // without optional ligatures, as letter-spaced text wants it
}

// Placed is a glyph at its place: X, Y is its origin from the pen, the pen then
// moves by Advance. All in font units. Cluster is the index in Text of the first
// character that the glyph belongs to.
type Placed struct {
	Glyph   GID
	Cluster int
	X, Y    float64
	Advance float64
}

// Shaper turns runs into glyphs. It keeps what it learnt about each font, is meant
// to be used again, and is not safe for concurrent use.
type Shaper struct {
	buf   *harfbuzz.Buffer
	fonts map[*Font]*harfbuzz.Font
}

// NewShaper makes a shaper.
func NewShaper() *Shaper {
	return &Shaper{buf: harfbuzz.NewBuffer(), fonts: map[*Font]*harfbuzz.Font{}}
}

// plain switches optional ligatures off (CSS Text 3, section 8.2: letter spacing
// suppresses optional ligatures).
var plain = []harfbuzz.Feature{
	{Tag: opentype.MustNewTag("liga"), End: harfbuzz.FeatureGlobalEnd},
	{Tag: opentype.MustNewTag("clig"), End: harfbuzz.FeatureGlobalEnd},
}

// Shape gives a run's glyphs from left to right, with ligatures, marks, joined
// forms, reordering and kerning as the font asks. The work is bounded by the
// length of the run (64 glyphs and 1,024 steps for each character).
func (s *Shaper) Shape(r Run) (glyphs []Placed, err error) {
	defer func() {
		if p := recover(); p != nil {
			s.buf = harfbuzz.NewBuffer()
			glyphs, err = nil, bad(r.Font.Name, fmt.Sprintf("its tables for %q are damaged (%v)", string(r.Text[r.Start:r.End]), p))
		}
	}()
	hb := s.fonts[r.Font]
	if hb == nil {
		hb = r.Font.newHarfbuzz()
		s.fonts[r.Font] = hb
	}
	s.buf.Clear()
	s.buf.AddRunes(r.Text, r.Start, r.End-r.Start)
	s.buf.Props.Direction = harfbuzz.LeftToRight
	if r.RTL {
		s.buf.Props.Direction = harfbuzz.RightToLeft
	}
	s.buf.Props.Script = r.Script
	// No language: it is not known, and a guess from the machine's settings would
	// make the same job differ from one machine to the next.
	s.buf.Props.Language = language.NewLanguage("und")
	var features []harfbuzz.Feature
	if r.Plain {
		features = plain
	}
	r.Font.tables.RLock()
	defer r.Font.tables.RUnlock()
	s.buf.Shape(hb, features)
	glyphs = make([]Placed, len(s.buf.Info))
	for i, g := range s.buf.Info {
		p := s.buf.Pos[i]
		glyphs[i] = Placed{Glyph: g.Glyph, Cluster: g.Cluster,
			X: float64(p.XOffset), Y: float64(p.YOffset), Advance: float64(p.XAdvance)}
	}
	return glyphs, nil
}

// Ignorable reports whether a character may stay without a glyph: joiners,
// variation selectors, marks of direction.
func Ignorable(r rune) bool { return harfbuzz.IsDefaultIgnorable(r) }
