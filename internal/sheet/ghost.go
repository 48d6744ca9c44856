package sheet

import (
	"bytes"
	"encoding/binary"
	"slices"
	"unicode"

	"github.com/tdewolff/canvas"
	"golang.org/x/text/unicode/bidi"
)

// A script that the sheets' typefaces lack is drawn as outlines, which carry no text: a
// reader of the PDF, a search, or a voice would find nothing there. So its letters are
// set once more in a font without ink, each over its share of the drawing. Shaping such
// scripts and writing their glyphs as text would not do: joined forms and vowel signs
// set before their consonant come out of a PDF in the order of their ink.

// ghostParts is what the font without ink has: Unicode's first plane from the space on,
// without the dotted circle, which a shaper puts under a lone vowel sign, and without the
// joined forms of Hebrew and Arabic, which it would take in place of the letters. The
// glyph for r is r - ghostFirst + 1.
var ghostParts = [][2]int{{ghostFirst, 0x25CB}, {0x25CD, 0xFAFF}, {0xFE00, 0xFE6F}, {0xFF00, ghostLast}}

const (
	ghostFirst = 0x20
	ghostLast  = 0xFFFD
	ghostEm    = 1000
	ghostWide  = 500
)

// ghostFont is a TrueType font whose glyphs are all empty and equally wide (OpenType
// 1.9: the required tables).
func ghostFont() []byte {
	n := ghostLast - ghostFirst + 2
	be := binary.BigEndian
	u16 := func(v ...int) []byte {
		var b []byte
		for _, x := range v {
			b = be.AppendUint16(b, uint16(x))
		}
		return b
	}
	head := make([]byte, 54)
	be.PutUint32(head[0:], 0x00010000)
	be.PutUint32(head[4:], 0x00010000)
	be.PutUint32(head[12:], 0x5F0F3CF5)
	be.PutUint16(head[18:], ghostEm)
	be.PutUint16(head[46:], 8)
	be.PutUint16(head[48:], 2)
	hhea := make([]byte, 36)
	be.PutUint32(hhea, 0x00010000)
	copy(hhea[4:], u16(800, -200&0xffff, 0, ghostWide))
	be.PutUint16(hhea[34:], 1)
	maxp := make([]byte, 32)
	be.PutUint32(maxp, 0x00010000)
	be.PutUint16(maxp[4:], uint16(n))
	be.PutUint16(maxp[14:], 2) // maxZones
	hmtx := make([]byte, 4+2*(n-1))
	be.PutUint16(hmtx, ghostWide)
	// Segments that take r to r - ghostFirst + 1, and the one that ends the table.
	var ends, starts, deltas, zeros []int
	for _, p := range append(slices.Clone(ghostParts), [2]int{0xFFFF, 0xFFFF}) {
		starts, ends, deltas, zeros = append(starts, p[0]), append(ends, p[1]), append(deltas, (1-ghostFirst)&0xffff), append(zeros, 0)
	}
	segs := len(ends)
	deltas[segs-1] = 1
	sub := u16(4, 16+8*segs, 0, 2*segs, 8, 2, 2*segs-8) // five segments: the search's figures are for four
	sub = append(append(sub, u16(ends...)...), u16(0)...)
	sub = append(append(append(sub, u16(starts...)...), u16(deltas...)...), u16(zeros...)...)
	cmap := append(u16(0, 1, 3, 1, 0, 12), sub...)
	text := "Ghost"
	var wide []byte
	for _, c := range text {
		wide = be.AppendUint16(wide, uint16(c))
	}
	name := append(u16(0, 2, 6+2*12, 3, 1, 0x409, 1, len(wide), 0, 3, 1, 0x409, 6, len(wide), 0), wide...)
	post := make([]byte, 32)
	be.PutUint32(post, 0x00030000)
	os2 := make([]byte, 96)
	copy(os2, u16(4, ghostWide, 400, 5))
	copy(os2[64:], u16(ghostFirst, ghostLast, 800, -200&0xffff, 0, 800, 200))
	tables := []struct {
		tag  string
		data []byte
	}{{"OS/2", os2}, {"cmap", cmap}, {"glyf", []byte{0, 0, 0, 0}}, {"head", head}, {"hhea", hhea}, {"hmtx", hmtx}, {"loca", make([]byte, 2*(n+1))}, {"maxp", maxp}, {"name", name}, {"post", post}}
	var out, body bytes.Buffer
	out.Write([]byte{0, 1, 0, 0})
	out.Write(u16(len(tables), 128, 3, 16*len(tables)-128))
	for _, t := range tables {
		d := slices.Clone(t.data)
		for len(d)%4 != 0 {
			d = append(d, 0)
		}
		out.WriteString(t.tag)
		_ = binary.Write(&out, be, []uint32{sum32(d), uint32(12 + 16*len(tables) + body.Len()), uint32(len(t.data))}) // a buffer takes everything
		body.Write(d)
	}
	font := append(out.Bytes(), body.Bytes()...)
	fixFontTime(font)
	return font
}

// say sets a text without ink over the width w at (x, y): letters of a script that runs
// to the left from the right, since readers of a PDF take text by its place.
func (p *page) say(x, y, w float64, s string) {
	rs := []rune(s)
	if len(rs) == 0 || w <= 0 {
		return
	}
	if leftwards(rs) {
		slices.Reverse(rs)
	}
	step := w / float64(len(rs))
	face := p.f.ghost.Face(step*ghostEm/ghostWide/mmPerPt, ink)
	for i, r := range rs {
		if r < ghostFirst || r > ghostLast {
			continue
		}
		p.c.DrawText(x+float64(i)*step, p.height-y, canvas.NewTextLine(face, string(r), canvas.Left))
	}
}

// leftwards tells whether a text runs to the left: by its first letter (Unicode Standard
// Annex 9, P2 and P3).
func leftwards(rs []rune) bool {
	for _, r := range rs {
		if !unicode.IsLetter(r) {
			continue
		}
		p, _ := bidi.LookupRune(r)
		return p.Class() == bidi.R || p.Class() == bidi.AL
	}
	return false
}
