package sheet

import (
	"math"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// The length of a hatching's lines times their distance is the area: exactly for a
// rectangle of whole gaps, within one line's share for other shapes.
func TestHatchCoversTheArea(t *testing.T) {
	ring := geom.Circle(10)[0]
	hole := geom.Circle(4)[0]
	for name, o := range map[string]geom.Outline{
		"rectangle": geom.Rectangle(20, 12),
		"ring":      {ring, hole},
	} {
		area := math.Abs(o.Area())
		if name == "ring" {
			area = math.Pi * (100 - 16)
		}
		h := hatch{deg: 30, gapMM: 0.5}
		var sum float64
		for _, l := range hatchLines(o, h, 2) { // at 2 : 1 lines lie 0.25 mm apart in the thing
			sum += length(l) * 0.25
		}
		if math.Abs(sum-area) > 0.01*area {
			t.Errorf("%s: %.2f mm², want %.2f", name, sum, area)
		}
	}
}

// Shell, filling and cap share the section without gap or overlap.
func TestSectionAddsUp(t *testing.T) {
	f := field.New(field.Around(geom.Rectangle(24, 8).Bounds().Grow(1), 0.1))
	room := field.New(f.Grid)
	for j := range f.H {
		for i := range f.W {
			x := math.Abs(f.XY(i, j).X)
			f.Z[j*f.W+i] = float32(math.Max(0, math.Min(10, (12-x)*6)))
			room.Z[j*f.W+i] = float32(math.Max(0, math.Min(8, (10-x)*6)))
		}
	}
	s := cut(f, room, 1.8)
	area := func(o geom.Outline) float64 { return math.Abs(o.Area()) }
	// The outside is a trapezium of 24 mm below and 24 - 2·10/6 above, the room one of
	// 20 and 20 - 2·8/6.
	outer, inner := (24+24-20.0/6)/2*10, (20+20-16.0/6)/2*8
	// A step of 0.06 mm at each of the steep sides leaves up to 0.06·10 mm².
	if a := area(s.Shell()); math.Abs(a-(outer-inner)) > 0.8 {
		t.Errorf("shell %.2f mm², want %.2f", a, outer-inner)
	}
	if a := area(s.Filling()) + area(s.Cap()); math.Abs(a-inner) > 0.6 {
		t.Errorf("filling and cap %.2f mm², want %.2f", a, inner)
	}
	if b := s.Cap().Bounds(); math.Abs(b.Max.Y-1.8) > 1e-9 {
		t.Errorf("cap up to %.3f mm, want 1.8", b.Max.Y)
	}
}

// The level lines of a cone are circles.
func TestLevelsOfACone(t *testing.T) {
	f := field.New(field.Around(geom.Circle(10).Bounds(), 0.1))
	for j := range f.H {
		for i := range f.W {
			f.Z[j*f.W+i] = float32(10 - f.XY(i, j).Len())
		}
	}
	lines := levels(f, 4)
	if len(lines) != 1 {
		t.Fatalf("%d lines, want one circle", len(lines))
	}
	l := lines[0]
	if l[0] != l[len(l)-1] {
		t.Error("the circle is open")
	}
	for _, p := range l {
		// A chord of a cell departs from the circle by at most pitch²/(8·radius), and
		// linear interpolation of the cone by as much.
		if math.Abs(p.Len()-6) > 1e-3 {
			t.Fatalf("radius %.4f, want 6", p.Len())
		}
	}
	if d := math.Abs(length(l) - 12*math.Pi); d > 0.02 {
		t.Errorf("length off by %.4f mm", d)
	}
}

func TestScales(t *testing.T) {
	for _, c := range []struct {
		w, h, roomW, roomH, want float64
		text                     string
	}{
		{36, 28, 170, 100, 2, "2 : 1"},
		{36, 28, 70, 100, 1, "1 : 1"},
		{200, 150, 170, 230, 0.5, "1 : 2"},
		{900, 150, 170, 230, 0.1, "1 : 10"},
	} {
		s := scaleFor(c.w, c.h, c.roomW, c.roomH)
		if s != c.want || scaleText(s) != c.text {
			t.Errorf("%v: %g, %q", c, s, scaleText(s))
		}
	}
}

func TestLinesFit(t *testing.T) {
	f, err := newFaces()
	if err != nil {
		t.Fatal(err)
	}
	text := "Weigh 412 g of A into the 1-litre cup, then B on top; Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft. " + strings.Repeat("ß", 400)
	for _, w := range []float64{12, 40, 118} {
		var all strings.Builder
		for _, l := range f.lines(text, f.text(), w) {
			if got := f.width(l, f.text()); got > w+1e-9 {
				t.Errorf("%q is %.2f mm wide, room %.0f", l, got, w)
			}
			all.WriteString(l)
		}
		// Nothing is lost but the spaces at which lines were broken.
		if got, want := all.String(), text; strings.ReplaceAll(got, " ", "") != strings.ReplaceAll(want, " ", "") {
			t.Errorf("width %.0f: text changed", w)
		}
	}
	for _, s := range []string{"Ysoline", "Ailbheachta von und zu Übermaß an Länge", "महिमानी महिमानी महिमानी", ""} {
		short := f.short(s, f.text(), 25)
		if w := f.width(short, f.text()); w > 25 {
			t.Errorf("%q is %.2f mm wide", short, w)
		}
		if !utf8.ValidString(short) {
			t.Errorf("%q is torn", short)
		}
	}
}

func TestManyWords(t *testing.T) {
	for _, c := range []struct {
		n    int
		name string
		want string
	}{
		{12, "bee", "twelve bees"}, {1, "heart", "one heart"}, {24, "plaque", "twenty-four plaques"},
		{3, "box", "three boxes"}, {4, "leaf", "four leaves"}, {2, "daisy", "two daisies"}, {2, "key", "two keys"},
		{120, "bee", "120 bees"}, {2, "name plaque", "two name plaques"}, {6, "pears", "six pears"}, {2, "Biene", "two of “Biene”"}, {2, "crest 2", "two of “crest 2”"},
	} {
		if got := many(c.n, c.name); strings.ReplaceAll(got, "\u00a0", " ") != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// A number and its unit stay on one line, however wide that is.
func TestNumbersKeepTheirUnits(t *testing.T) {
	f, err := newFaces()
	if err != nil {
		t.Fatal(err)
	}
	for w := 12.0; w < 80; w++ {
		for _, l := range f.lines("nine hollows narrower than 3 mm and 0.5 mm², 20 µm deep, hold 40 ml at 4 °C for 12 min, that is 13 % of 5 kg", f.text(), w) {
			if first, _, _ := strings.Cut(l, " "); slices.Contains([]string{"mm", "mm²,", "µm", "ml", "°C", "min,", "%", "kg"}, first) {
				t.Errorf("%g mm wide: a line begins with %q", w, first)
			}
		}
	}
}
