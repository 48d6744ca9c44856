package artwork

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/font"
	"mouldwright/internal/base/geom"
)

// Fonts are the fonts that a job's texts can name: the built-in ones and its own
// files. It keeps every glyph's outline, so that the next name that uses it costs
// little. It is safe for concurrent use; what it has kept never changes a result.
type Fonts struct {
	own     map[string]*font.Font
	shapers sync.Pool // of *font.Shaper

	mu     sync.Mutex
	glyphs map[glyphKey]*glyphShape
	joins  map[*font.Font]bool
}

// glyphKey names a glyph flattened for texts of up to 2^Step mm to the em.
type glyphKey struct {
	Font  *font.Font
	Glyph font.GID
	Step  int
}

// glyphShape is a glyph's settled outline in ems.
type glyphShape struct {
	Outline geom.Outline
	Box     geom.Rect
}

// NewFonts makes the set of the built-in fonts and the job's own, by their names.
func NewFonts(own ...*font.Font) *Fonts {
	f := &Fonts{own: map[string]*font.Font{}, glyphs: map[glyphKey]*glyphShape{}, joins: map[*font.Font]bool{}}
	f.shapers.New = func() any { return font.NewShaper() }
	for _, o := range own {
		f.own[o.Name] = o
	}
	return f
}

// Find gives the font of that name; the error is a *finding.Error that lists the
// built-in ones.
func (f *Fonts) Find(name string) (*font.Font, error) {
	if o := f.own[name]; o != nil {
		return o, nil
	}
	if b := font.Builtin(name); b != nil {
		return b, nil
	}
	return nil, &finding.Error{Key: "font", Found: fmt.Sprintf("no font %q", name),
		Allowed: strings.Join(font.Names(), ", ") + ", or a TTF or OTF file beside the job file",
		Do:      "name one of these"}
}

// step is the flattening class for a text of so many mm to the em: the smallest
// power of two that is not less, so that a glyph is flattened at most twice as
// finely as geom.FlattenMM asks.
func step(emMM float64) int { return int(math.Ceil(math.Log2(emMM))) }

// glyph gives a glyph's settled outline in ems, flattened finely enough for texts
// of up to 2^step mm to the em.
func (f *Fonts) glyph(ft *font.Font, g font.GID, step int) (*glyphShape, error) {
	key := glyphKey{ft, g, step}
	f.mu.Lock()
	s := f.glyphs[key]
	f.mu.Unlock()
	if s != nil {
		return s, nil
	}
	drawn, err := ft.Glyph(g)
	if err != nil {
		return nil, err
	}
	em := math.Ldexp(1, step)
	scale := em / ft.UnitsPerEm
	path := geom.NewPath(geom.Scale(scale, scale))
	for i, seg := range drawn.Segments {
		switch seg.Op {
		case 'M':
			if i > 0 {
				path.Close()
			}
			path.MoveTo(seg.P[0])
		case 'L':
			path.LineTo(seg.P[0])
		case 'Q':
			path.QuadTo(seg.P[0], seg.P[1])
		case 'C':
			path.CubicTo(seg.P[0], seg.P[1], seg.P[2])
		}
	}
	path.Close()
	o, err := path.Outline()
	if err == nil {
		o, err = geom.Settle(o, geom.NonZero)
	}
	if err != nil {
		return nil, &finding.Error{File: ft.Name, Found: fmt.Sprintf("glyph %d cannot be drawn", g), Err: err,
			Do: "take another copy of the font, or name a built-in one"}
	}
	o = o.Transform(geom.Scale(1/em, 1/em))
	s = &glyphShape{Outline: o, Box: o.Bounds()}
	f.mu.Lock()
	f.glyphs[key] = s
	f.mu.Unlock()
	return s, nil
}

// joined reports whether a font's small letters join to each other, as in
// handwriting: the ink of an n reaches to that of the n beside it.
func (f *Fonts) joined(ft *font.Font, sh *font.Shaper) (bool, error) {
	f.mu.Lock()
	j, known := f.joins[ft]
	f.mu.Unlock()
	if known {
		return j, nil
	}
	if ft.Has('n') {
		glyphs, err := sh.Shape(font.Run{Font: ft, Text: []rune("nn"), End: 2, Script: latin})
		if err != nil {
			return false, err
		}
		if len(glyphs) == 2 {
			a, err := f.glyph(ft, glyphs[0].Glyph, probeStep)
			if err != nil {
				return false, err
			}
			b, err := f.glyph(ft, glyphs[1].Glyph, probeStep)
			if err != nil {
				return false, err
			}
			j = !a.Box.Empty() && !b.Box.Empty() && a.Box.Max.X >= glyphs[0].Advance/ft.UnitsPerEm+b.Box.Min.X
		}
	}
	f.mu.Lock()
	f.joins[ft] = j
	f.mu.Unlock()
	return j, nil
}

// probeStep flattens a glyph for measuring (our choice: that of 8 mm to the em, since
// only boxes and distances are asked for).
const probeStep = 3
