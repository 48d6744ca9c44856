package font

import (
	"slices"

	ot "github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype/tables"
	"github.com/go-text/typesetting/harfbuzz"
)

// newHarfbuzz prepares a font for one shaper.
//
// The shaper passes over a lookup when a filter of 3 x 64 bits says that it covers
// no glyph at hand. The library fills the filter wrongly from ranges (its
// setDigest.addRange gives up as soon as one of the three is full, HarfBuzz's only
// when all are), and so forgets kerning and ligatures of large fonts; TestShape has
// such fonts. While the filters are made, the ranges they are made from are
// therefore widened to all glyphs, which makes a filter that lets everything
// through. The real ranges decide afterwards, as always.
func (f *Font) newHarfbuzz() *harfbuzz.Font {
	f.tables.Lock()
	defer f.tables.Unlock()
	var restore []func()
	defer func() {
		for _, r := range slices.Backward(restore) {
			r()
		}
	}()
	for _, l := range f.font.GSUB.Lookups {
		restore = append(restore, widen(l.Subtables)...)
	}
	for _, l := range f.font.GPOS.Lookups {
		restore = append(restore, widen(l.Subtables)...)
	}
	return harfbuzz.NewFont(ot.NewFace(f.font))
}

// widen makes every coverage by ranges in a lookup's subtables cover all glyphs,
// and gives what takes it back. A lookup of fewer than 64 glyphs cannot fill a
// filter of 64 bits and is left as it is.
func widen[T interface{ Cov() tables.Coverage }](subtables []T) []func() {
	covered := 0
	for _, s := range subtables {
		covered += s.Cov().Len()
	}
	if covered < 64 {
		return nil
	}
	var restore []func()
	for _, s := range subtables {
		if c, ok := s.Cov().(tables.Coverage2); ok && len(c.Ranges) > 0 {
			was := c.Ranges[0]
			c.Ranges[0].StartGlyphID, c.Ranges[0].EndGlyphID = 0, 0xFFFF
			restore = append(restore, func() { c.Ranges[0] = was })
		}
	}
	return restore
}
