package font

import (
	"encoding/binary"
	"errors"
	"image"
	"io/fs"
	"math"
	"os"
	"strings"
	"testing"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"mouldwright/internal/base/finding"
)

func TestBuiltin(t *testing.T) {
	readme, err := os.ReadFile("files/README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range Names() {
		if f := Builtin(name); f.Name != name {
			t.Errorf("%s calls itself %s", name, f.Name)
		}
		if !strings.Contains(string(readme), "`"+name+"`") {
			t.Errorf("files/README.md does not say where %s is from", name)
		}
	}
	if Builtin("sans ") != nil {
		t.Error("a font of no such name")
	}
	var bytes int64
	err = fs.WalkDir(files, "files", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && path != "files" {
			_, ofl := fs.Stat(files, path+"/OFL.txt")
			_, other := fs.Stat(files, path+"/LICENSE.txt")
			if ofl != nil && other != nil {
				t.Errorf("%s has no licence text", path)
			}
		}
		info, err := d.Info()
		bytes += info.Size()
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if bytes > 6<<20 {
		t.Errorf("the built-in fonts take %d bytes", bytes)
	}
}

func TestSubstitutes(t *testing.T) {
	list := Substitutes("serif bold")
	if list[0] != "serif arabic bold" || len(list) != len(Names())-1 {
		t.Errorf("serif bold is followed by %q", list)
	}
	if last := list[len(list)-1]; last != "rounded" {
		t.Errorf("the last resort is %q", last)
	}
}

// TestGlyphArea compares glyphs with another reader of fonts and another way to
// measure: golang.org/x/image's sfnt gives the outline, its rasteriser the covered
// area by the non-zero rule at 256 pixels to the em.
func TestGlyphArea(t *testing.T) {
	const ppem = 256
	for name, text := range map[string]string{"sans bold": "ORCHARD&g8éЖΩ", "serif": "Qgé&", "slab bold": "Rag&8é", "rounded": "Bq&",
		"script": "Yf", "script bold": "Qg", "display": "Wg", "sans arabic": "نهج", "sans hebrew bold": "שא", "serif devanagari": "नक", "sans japanese": "桜さ"} {
		other, err := sfnt.Parse(fileOf(t, name))
		if err != nil {
			t.Fatal(err)
		}
		f := Builtin(name)
		var buf sfnt.Buffer
		for _, r := range text {
			gid, err := other.GlyphIndex(&buf, r)
			if err != nil || gid == 0 || GID(gid) != f.Index(r) {
				t.Fatalf("%s %c: glyph %d here, %d there (%v)", name, r, f.Index(r), gid, err)
			}
			segments, err := other.LoadGlyph(&buf, gid, fixed.I(ppem), nil)
			if err != nil {
				t.Fatal(err)
			}
			theirs := vector.NewRasterizer(3*ppem, 3*ppem)
			at := func(p fixed.Point26_6) (x, y float32) { return ppem + float32(p.X)/64, 2*ppem + float32(p.Y)/64 }
			perimeter := 0.0
			for _, s := range segments {
				x0, y0 := theirs.Pen()
				a, b := at(s.Args[0])
				c, d := at(s.Args[1])
				e, g := at(s.Args[2])
				switch s.Op {
				case sfnt.SegmentOpMoveTo:
					theirs.ClosePath()
					theirs.MoveTo(a, b)
				case sfnt.SegmentOpLineTo:
					theirs.LineTo(a, b)
				case sfnt.SegmentOpQuadTo:
					theirs.QuadTo(a, b, c, d)
				case sfnt.SegmentOpCubeTo:
					theirs.CubeTo(a, b, c, d, e, g)
				}
				if s.Op != sfnt.SegmentOpMoveTo {
					x1, y1 := theirs.Pen()
					perimeter += math.Hypot(float64(x1-x0), float64(y1-y0))
				}
			}
			theirs.ClosePath()
			glyph, err := f.Glyph(GID(gid))
			if err != nil {
				t.Fatal(err)
			}
			ours := vector.NewRasterizer(3*ppem, 3*ppem)
			k := float32(ppem / f.UnitsPerEm)
			for _, s := range glyph.Segments {
				var v [6]float32
				for i, p := range s.P {
					v[2*i], v[2*i+1] = ppem+k*float32(p.X), 2*ppem-k*float32(p.Y)
				}
				switch s.Op {
				case 'M':
					ours.ClosePath()
					ours.MoveTo(v[0], v[1])
				case 'L':
					ours.LineTo(v[0], v[1])
				case 'Q':
					ours.QuadTo(v[0], v[1], v[2], v[3])
				case 'C':
					ours.CubeTo(v[0], v[1], v[2], v[3], v[4], v[5])
				}
			}
			ours.ClosePath()
			a, b := ink(ours), ink(theirs)
			// The other reader rounds points to 1/64 pixel in x and y: up to √2/128 of a
			// pixel all along the perimeter, and 8-bit coverage another 1/512 in its pixels.
			if tol := perimeter * (math.Sqrt2/128 + 1./512); a == 0 || math.Abs(a-b) > tol {
				t.Errorf("%s %c: %.1f pixels here, %.1f there, tolerance %.1f", name, r, a, b, tol)
			}
		}
	}
}

func ink(r *vector.Rasterizer) float64 {
	img := image.NewAlpha(image.Rectangle{Max: r.Size()})
	r.Draw(img, img.Bounds(), image.Opaque, image.Point{})
	sum := 0.0
	for _, v := range img.Pix {
		sum += float64(v) / 255
	}
	return sum
}

// TestParseRefuses gives each kind of damage and what the error must speak of.
func TestParseRefuses(t *testing.T) {
	whole := fileOf(t, "sans")
	entry := func(data []byte, tag string) int {
		for i := range int(binary.BigEndian.Uint16(data[4:])) {
			if string(data[12+16*i:][:4]) == tag {
				return 12 + 16*i
			}
		}
		t.Fatalf("no table %q", tag)
		return 0
	}
	edit := func(f func(data []byte) []byte) []byte { return f(append([]byte(nil), whole...)) }
	for what, c := range map[string]struct {
		data []byte
		says string
	}{
		"empty":       {nil, "too short"},
		"text":        {[]byte("this is no font at all"), "which no font does"},
		"web font":    {append([]byte("wOFF"), make([]byte, 60)...), "WOFF"},
		"cut in half": {whole[:len(whole)/2], "of a file of"},
		"cut head":    {whole[:40], "cut off in its table of contents"},
		"too large":   {make([]byte, MaxBytes+1), "at most"},
		"table past the end": {edit(func(d []byte) []byte {
			binary.BigEndian.PutUint32(d[entry(d, "glyf")+12:], 0xFFFFFFF0)
			return d
		}), "of a file of"},
		"no cmap":     {edit(func(d []byte) []byte { copy(d[entry(d, "cmap"):], "xxxx"); return d }), `no "cmap"`},
		"no outlines": {edit(func(d []byte) []byte { copy(d[entry(d, "glyf"):], "xxxx"); return d }), "no outlines"},
		"glyph in itself": {edit(func(d []byte) []byte {
			return loop(t, d, table(d, entry(d, "glyf")), table(d, entry(d, "loca")), table(d, entry(d, "head")))
		}), "contains itself"},
		"empty collection": {append([]byte("ttcf"), make([]byte, 12)...), "empty font collection"},
	} {
		f, err := Parse("Broken.ttf", c.data)
		var fe *finding.Error
		if f != nil || !errors.As(err, &fe) || fe.File != "Broken.ttf" || !strings.Contains(err.Error(), c.says) || fe.Do == "" {
			t.Errorf("%s: %v, want %q", what, err, c.says)
		}
	}
}

func table(d []byte, entry int) []byte {
	off, n := binary.BigEndian.Uint32(d[entry+8:]), binary.BigEndian.Uint32(d[entry+12:])
	return d[off : off+n]
}

// loop makes the first composite glyph its own component.
func loop(t *testing.T, d, glyf, loca, head []byte) []byte {
	be := binary.BigEndian
	offset := func(g int) int {
		if head[51] == 1 {
			return int(be.Uint32(loca[4*g:]))
		}
		return 2 * int(be.Uint16(loca[2*g:]))
	}
	for g := range 500 {
		if o := offset(g); offset(g+1) > o && int16(be.Uint16(glyf[o:])) < 0 {
			be.PutUint16(glyf[o+12:], uint16(g))
			return d
		}
	}
	t.Fatal("no composite glyph to damage")
	return nil
}

// TestEndlessProgram builds a PostScript font whose ten levels of subroutines each
// call the next 60 times: 60^9 steps for one glyph.
func TestEndlessProgram(t *testing.T) {
	index := func(items ...[]byte) []byte {
		if len(items) == 0 {
			return []byte{0, 0}
		}
		b := []byte{byte(len(items) >> 8), byte(len(items)), 2}
		off := 1
		for i := -1; i < len(items); i++ {
			if i >= 0 {
				off += len(items[i])
			}
			b = append(b, byte(off>>8), byte(off))
		}
		for _, it := range items {
			b = append(b, it...)
		}
		return b
	}
	number := func(v int) byte { return byte(v + 139) }
	var subrs [][]byte
	for level := range 10 {
		var s []byte
		for range 60 {
			if level < 9 {
				s = append(s, number(level+1-107), 29) // callgsubr, bias 107
			}
		}
		subrs = append(subrs, append(s, 11))
	}
	build := func(glyph []byte) []byte {
		head := []byte{1, 0, 4, 2}
		dict := func(off int) []byte { return []byte{29, 0, 0, byte(off >> 8), byte(off), 17} } // CharStrings
		before := func(off int) []byte {
			b := append([]byte(nil), head...)
			b = append(b, index([]byte("A"))...)
			b = append(b, index(dict(off))...)
			b = append(b, index()...)
			return append(b, index(subrs...)...)
		}
		b := before(len(before(0)))
		return append(b, index(glyph)...)
	}
	if err := checkCFF(build([]byte{number(-107), 29, 14})); err == nil || !strings.Contains(err.Error(), "glyph 0 is drawn in more than") {
		t.Errorf("an endless glyph: %v", err)
	}
	if err := checkCFF(build([]byte{number(9 - 107), 29, 14})); err != nil {
		t.Errorf("a short glyph beside endless subroutines: %v", err)
	}
}

// FuzzParse: no file makes the reader or the shaper crash or run without end.
func FuzzParse(f *testing.F) {
	for _, name := range []string{"rounded", "script bold", "sans hebrew"} {
		data := fileOf(f, name)
		f.Add(data)
		f.Add(data[:len(data)*2/3])
	}
	f.Add([]byte("OTTO"))
	f.Add([]byte("ttcf\x00\x01\x00\x00\x00\x00\x00\x01\x00\x00\x00\x10"))
	f.Fuzz(func(t *testing.T, data []byte) {
		ft, err := Parse("fuzz.ttf", data)
		if err != nil {
			var fe *finding.Error
			if !errors.As(err, &fe) {
				t.Fatalf("an error without a place: %v", err)
			}
			return
		}
		text := []rune("fi Äx\u0301שָ")
		glyphs, err := NewShaper().Shape(Run{Font: ft, Text: text, End: len(text), Script: 0x6c61746e})
		if err != nil {
			return
		}
		for _, g := range glyphs {
			if o, err := ft.Glyph(g.Glyph); err == nil && len(o.Segments) > maxGlyphPoints {
				t.Fatalf("a glyph of %d curves", len(o.Segments))
			}
		}
	})
}
