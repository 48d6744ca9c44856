// Package font reads fonts and shapes runs of text with them.
//
//	TTF, OTF, TTC bytes --Parse--> Font --Glyph--> curves in font units
//	run of text + Font  --Shaper.Shape--> glyphs and positions in font units
//
// A set of open fonts is built in: see Builtin, and files/README.md for where
// they come from. Fonts come from strangers: every reader here has limits, and a
// file that lies gives an error, never a crash.
//
// Only outlines and the OpenType tables that place them are read. Bitmaps, colour,
// hinting, variation axes (a variable font gives its default instance) and Apple's
// own layout tables are left aside.
package font

import (
	"bytes"
	"fmt"
	"sync"

	ot "github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// GID is the number of a glyph in its font; 0 is the glyph for "missing".
type GID = ot.GID

// Font is one face. It is safe for concurrent use.
type Font struct {
	Name       string  // "sans bold", or the file's name
	UnitsPerEm float64 // font units to the em: 1000 or 2048 in most

	font   *ot.Font
	cff    bool         // outlines are PostScript, else TrueType
	faces  sync.Pool    // of *ot.Face, which are not safe for concurrent use
	tables sync.RWMutex // held for reading while shaping: see newHarfbuzz
	mu     sync.Mutex
	glyphs map[GID]*glyphOnce
}

type glyphOnce struct {
	sync.Once
	glyph Glyph
	err   error
}

// Glyph is a shape in font units, y upwards.
type Glyph struct {
	Segments []Segment // empty for a space
}

// Segment is one step of a glyph's contours: Op 'M' (P[0]), 'L' (P[0]),
// 'Q' (control P[0], end P[1]) or 'C' (controls P[0], P[1], end P[2]).
// A contour ends where the next 'M' begins, and is closed.
type Segment struct {
	Op byte
	P  [3]geom.Vec
}

// Limits of a font file and of one glyph (our choice: above any in use). The largest fonts in use (all Han
// characters) have about 20 MiB and 65,535 glyphs; an ornate letter has some
// thousand points.
const (
	MaxBytes       = 32 << 20
	maxTables      = 256
	maxGlyphPoints = 20_000
	maxNesting     = 6 // composites of composites; real fonts use 2
)

// Parse reads a TTF or OTF file, or the first face of a collection. name is what
// a person calls it (the file's name), and stands in errors, which are *finding.Error.
// Loops between composite glyphs and programs that could run without end are refused.
func Parse(name string, data []byte) (f *Font, err error) {
	defer func() {
		if r := recover(); r != nil {
			f, err = nil, bad(name, fmt.Sprintf("a damaged font (%v)", r))
		}
	}()
	if len(data) > MaxBytes {
		return nil, &finding.Error{File: name, Found: fmt.Sprintf("a font of %d bytes", len(data)),
			Allowed: fmt.Sprintf("at most %d bytes", MaxBytes), Do: "cut the font to the scripts you need"}
	}
	d, err := readDirectory(data)
	if err != nil {
		return nil, bad(name, err.Error())
	}
	if err := d.check(); err != nil {
		return nil, bad(name, err.Error())
	}
	ld, err := opentype.NewLoader(bytes.NewReader(d.rebuild()))
	if err != nil {
		return nil, bad(name, "a damaged font: "+err.Error())
	}
	ft, err := ot.NewFont(ld)
	if err != nil {
		return nil, bad(name, "a damaged font: "+err.Error())
	}
	f = &Font{Name: name, UnitsPerEm: float64(ft.Upem()), font: ft, cff: d.has("CFF "), glyphs: map[GID]*glyphOnce{}}
	f.faces.New = func() any { return ot.NewFace(ft) }
	return f, nil
}

func bad(name, found string) error {
	return &finding.Error{File: name, Found: found, Allowed: "a whole TTF, OTF or TTC file with outlines",
		Do: "take another copy of the font, or name a built-in one"}
}

// Has reports whether the font has a glyph of its own for the character.
func (f *Font) Has(r rune) bool {
	g, ok := f.font.Cmap.Lookup(r)
	return ok && g != 0
}

// Index is the glyph for the character alone, 0 when there is none.
func (f *Font) Index(r rune) GID {
	g, _ := f.font.Cmap.Lookup(r)
	return g
}

// Glyph gives a glyph's contours. It is read once and kept; do not change it. The
// error is a *finding.Error about a damaged glyph.
func (f *Font) Glyph(g GID) (Glyph, error) {
	f.mu.Lock()
	once := f.glyphs[g]
	if once == nil {
		once = &glyphOnce{}
		f.glyphs[g] = once
	}
	f.mu.Unlock()
	once.Do(func() { once.glyph, once.err = f.read(g) })
	return once.glyph, once.err
}

func (f *Font) read(g GID) (out Glyph, err error) {
	defer func() {
		if r := recover(); r != nil {
			out, err = Glyph{}, bad(f.Name, fmt.Sprintf("glyph %d is damaged (%v)", g, r))
		}
	}()
	face := f.faces.Get().(*ot.Face)
	defer f.faces.Put(face)
	o, ok := face.GlyphDataOutline(g)
	if !ok {
		return Glyph{}, bad(f.Name, fmt.Sprintf("glyph %d has no readable outline", g))
	}
	if len(o.Segments) > maxGlyphPoints {
		return Glyph{}, bad(f.Name, fmt.Sprintf("glyph %d has %d curves, more than %d", g, len(o.Segments), maxGlyphPoints))
	}
	for _, s := range o.Segments {
		seg := Segment{Op: "MLQC"[s.Op]}
		for i, p := range s.ArgsSlice() {
			seg.P[i] = geom.Vec{X: float64(p.X), Y: float64(p.Y)}
		}
		out.Segments = append(out.Segments, seg)
	}
	return out, nil
}
