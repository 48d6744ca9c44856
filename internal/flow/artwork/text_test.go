package artwork

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/font"
	"mouldwright/internal/base/geom"
)

// plainText is a text as the job file's defaults would have it, 30 mm wide.
func plainText(text, font string) TextSpec {
	return TextSpec{Text: text, Font: font, Align: "centre", Leading: 1.2, WidthMM: 30}
}

func mustText(t testing.TB, c TextSpec, f *Fonts) (geom.Outline, []finding.Finding) {
	t.Helper()
	o, notes, err := Text(c, f)
	if err != nil {
		t.Fatalf("%q: %v", c.Text, err)
	}
	return o, notes
}

// settleTol is how far settling twice moves points: geom.Settle promises 1.5 SettleMM
// each time, and glyphs are settled at up to twice their size.
const settleTol = 4 * geom.SettleMM

func TestTextFits(t *testing.T) {
	f := NewFonts()
	for _, c := range []TextSpec{
		{Text: "ORCHARD", WidthMM: 30},
		{Text: "ORCHARD", HeightMM: 5},
		{Text: "ORCHARD\nand more", WidthMM: 30, HeightMM: 4},
		{Text: "नाम", WidthMM: 12},
		{Text: "نورهان", WidthMM: 12, HeightMM: 30},
		{Text: "i", HeightMM: 60},
	} {
		c.Font, c.Align, c.Leading = "sans bold", "centre", 1.2
		o, _ := mustText(t, c, f)
		b := o.Bounds()
		wide, high := c.WidthMM > 0 && math.Abs(b.W()-c.WidthMM) < settleTol, c.HeightMM > 0 && math.Abs(b.H()-c.HeightMM) < settleTol
		if !wide && !high || c.WidthMM > 0 && b.W() > c.WidthMM+settleTol || c.HeightMM > 0 && b.H() > c.HeightMM+settleTol {
			t.Errorf("%q is %g x %g mm in a box of %g x %g", c.Text, b.W(), b.H(), c.WidthMM, c.HeightMM)
		}
		if m := b.Center(); m.Len() > 1e-9 {
			t.Errorf("%q is centred on %v", c.Text, m)
		}
		if a := settledArea(t, o); math.Abs(a-o.Area()) > settleTol*o.Perimeter() {
			t.Errorf("%q is not settled: area %g, settled %g", c.Text, o.Area(), a)
		}
	}
}

func settledArea(t *testing.T, o geom.Outline) float64 {
	s, err := geom.Settle(o, geom.NonZero)
	if err != nil {
		t.Fatal(err)
	}
	return s.Area()
}

// TestTextSize: without a box the em has the given size. Noto Sans' capital I is a
// bar of 714/1000 of an em (capital height in its OS/2 table).
func TestTextSize(t *testing.T) {
	o, _ := mustText(t, TextSpec{Text: "H", Font: "sans bold", Align: "centre", Leading: 1, SizeMM: 10}, NewFonts())
	if h := o.Bounds().H(); math.Abs(h-7.14) > geom.FlattenMM {
		t.Errorf("a capital of 10 mm letters is %g mm high, want 7.14", h)
	}
}

func TestAlign(t *testing.T) {
	f := NewFonts()
	// Bars, so that the ink of both lines has the same side bearings.
	for align, want := range map[string][3]bool{"left": {true, false, false}, "right": {false, false, true}, "centre": {false, true, false}} {
		o, _ := mustText(t, TextSpec{Text: "IIIII\nI", Font: "sans bold", Align: align, Leading: 1.5, SizeMM: 10}, f)
		long, short := geom.EmptyRect(), geom.EmptyRect()
		for _, r := range o {
			b := geom.Outline{r}.Bounds()
			to := &long
			if b.Center().Y < 0 { // the second line
				to = &short
			}
			to.Add(b.Min)
			to.Add(b.Max)
		}
		near := func(a, b float64) bool { return math.Abs(a-b) < 2*geom.FlattenMM }
		got := [3]bool{near(long.Min.X, short.Min.X), near(long.Center().X, short.Center().X), near(long.Max.X, short.Max.X)}
		if got != want {
			t.Errorf("%s: lines meet at left, middle, right: %v, want %v", align, got, want)
		}
		if d := long.Min.Y - short.Min.Y; !near(d, 15) {
			t.Errorf("lines are %g mm apart, want 1.5 ems of 10 mm", d)
		}
	}
}

// TestOrder: letters of a line that goes right to left, with a number inside, stand
// in the order of Unicode Annex 9; the letters are told by their glyphs.
func TestOrder(t *testing.T) {
	for text, want := range map[string]string{
		"abc":           "abc",
		"אבג":           "גבא",
		"אב 12 גד":      "דג 12 בא",
		"ab אב 12 גד c": "ab דג 12 בא c",
		"(אב)":          "(בא)", // the brackets are mirrored: the left one still opens
		"12 אב":         "בא 12",
	} {
		s := &setter{fonts: NewFonts(), shaper: font.NewShaper(), font: font.Builtin("sans bold")}
		runs, err := s.items([]rune(text), 1)
		if err != nil {
			t.Fatal(err)
		}
		var got []rune
		for _, r := range runs {
			part := slices.Clone(r.Text[r.Start:r.End])
			if r.RTL {
				slices.Reverse(part)
				for i, c := range part {
					part[i] = map[rune]rune{'(': ')', ')': '('}[c]
					if part[i] == 0 {
						part[i] = c
					}
				}
			}
			got = append(got, part...)
		}
		if string(got) != want {
			t.Errorf("%q is set as %q, want %q", text, string(got), want)
		}
	}
}

func TestStandIn(t *testing.T) {
	f := NewFonts()
	for _, c := range []struct{ text, font, says string }{
		{"नाम", "sans", "'नाम' set in sans devanagari: sans lacks its letters"},
		{"Ysoline नाम", "serif bold", "'नाम' set in serif devanagari bold"},
		{"محمد Ysoline", "sans bold", "'محمد' set in sans arabic bold"},
		{"Жанна", "rounded", "'Жанна' set in sans bold"},
		{"e\u0301 plain", "rounded", ""}, // é is made of its parts
		{"24 & more", "script", ""},
	} {
		_, notes := mustText(t, plainText(c.text, c.font), f)
		if c.says == "" && len(notes) > 0 || c.says != "" && (len(notes) != 1 || !strings.Contains(notes[0].What, c.says) || notes[0].Severity != finding.Note) {
			t.Errorf("%q in %s: %v, want %q", c.text, c.font, notes, c.says)
		}
	}
}

func TestTextRefuses(t *testing.T) {
	f := NewFonts()
	long := strings.Repeat("a", MaxTextRunes+1)
	for _, c := range []struct {
		change func(*TextSpec)
		says   string
	}{
		{func(c *TextSpec) { c.Text = "" }, "without a visible character"},
		{func(c *TextSpec) { c.Text = " \n\u200d " }, "without a visible character"},
		{func(c *TextSpec) { c.Text = "ab\ncd\te" }, "U+0009 in line 2, character 3"},
		{func(c *TextSpec) { c.Text = "a\x00" }, "U+0000 in line 1, character 2"},
		{func(c *TextSpec) { c.Text = "a\u2028b" }, "U+2028"},
		{func(c *TextSpec) { c.Text = "a\xff" }, "not UTF-8"},
		{func(c *TextSpec) { c.Text = "one\nmy 😀" }, "'😀' (U+1F600) in line 2, character 4"},
		{func(c *TextSpec) { c.Text = "👩\u200d🍳" }, "U+1F469"},
		{func(c *TextSpec) { c.Text = "한" }, "U+D55C"},
		{func(c *TextSpec) { c.Text = long }, "2001 characters"},
		{func(c *TextSpec) { c.Text = strings.Repeat("a\n", MaxTextLines) }, "51 lines"},
		{func(c *TextSpec) { c.Font = "sanserif" }, `no font "sanserif"`},
		{func(c *TextSpec) { c.Align = "justify" }, `"justify"`},
		{func(c *TextSpec) { c.WidthMM = math.NaN() }, "NaN"},
		{func(c *TextSpec) { c.WidthMM = -3 }, "-3"},
		{func(c *TextSpec) { c.WidthMM = 0 }, "without a size"},
		{func(c *TextSpec) { c.WidthMM, c.SizeMM, c.ArcRadiusMM, c.Text = 0, 8, -4, "b" }, "half-way to the centre"},
		{func(c *TextSpec) {
			c.WidthMM, c.SizeMM, c.ArcRadiusMM, c.Text = 0, 4, 5, "much too long for so small a circle"
		}, "its circle only 31.42 mm"},
	} {
		spec := plainText("abc", "sans bold")
		spec.Where = "piece[1].art[2]"
		c.change(&spec)
		_, _, err := Text(spec, f)
		var fe *finding.Error
		if !errors.As(err, &fe) || !strings.Contains(err.Error(), c.says) || !strings.HasPrefix(fe.Key, "piece[1].art[2]") || fe.Do == "" {
			t.Errorf("%.40q: %v, want %q", spec.Text, err, c.says)
		}
	}
}

// TestMarks: a letter with its accent as two characters gives the outline of the
// one character, as canonical equivalence asks (Unicode Annex 15).
func TestMarks(t *testing.T) {
	f := NewFonts()
	for _, font := range []string{"sans bold", "serif", "slab", "rounded"} {
		a, _ := mustText(t, plainText("Ze\u0301no\u0308", font), f)
		b, _ := mustText(t, plainText("Zénö", font), f)
		if math.Abs(a.Area()-b.Area()) > 1e-9*b.Area() {
			t.Errorf("%s: area %g with combining marks, %g without", font, a.Area(), b.Area())
		}
	}
}

// TestTracking: n letters get n-1 times the extra space, and no ligature stays;
// joined letters stay as they are.
func TestTracking(t *testing.T) {
	f := NewFonts()
	width := func(text, font string, tracking float64) float64 {
		o, _ := mustText(t, TextSpec{Text: text, Font: font, Align: "left", Leading: 1, Tracking: tracking, SizeMM: 10}, f)
		return o.Bounds().W()
	}
	for _, c := range []struct {
		text, font string
		gaps       float64
	}{{"HHH", "sans bold", 2}, {"e\u0301e\u0301", "sans bold", 1}, {"محمد", "sans bold", 0}, {"श्री", "sans bold", 0}, {"mine", "script", 0}, {"محمد محمد", "sans bold", 2}} {
		got := width(c.text, c.font, 0.3) - width(c.text, c.font, 0)
		if math.Abs(got-c.gaps*3) > 2*geom.FlattenMM {
			t.Errorf("%q in %s grew by %g mm, want %g", c.text, c.font, got, c.gaps*3)
		}
	}
	for text, want := range map[string]int{"محمد": 2, "HHH": 0} { // 2: the font that stood in, and the tracking
		_, notes := mustText(t, TextSpec{Text: text, Font: "sans", Align: "left", Leading: 1, Tracking: 0.3, SizeMM: 10}, f)
		if len(notes) != want {
			t.Errorf("%q tracked: notes %v", text, notes)
		}
	}
	spaced, _ := mustText(t, TextSpec{Text: "fi", Font: "serif", Align: "left", Leading: 1, Tracking: 0.5, SizeMM: 10}, f)
	if len(spaced) != 3 { // f, i and its dot
		t.Errorf("a tracked fi has %d rings, want f, i and the dot", len(spaced))
	}
}

// TestArc places a bar on a circle: its corners are known in closed form.
func TestArc(t *testing.T) {
	f := NewFonts()
	straight, _ := mustText(t, TextSpec{Text: "I I", Font: "sans bold", Align: "centre", Leading: 1, SizeMM: 10}, f)
	for _, radius := range []float64{20, -20} {
		o, _ := mustText(t, TextSpec{Text: "I I", Font: "sans bold", Align: "centre", Leading: 1, SizeMM: 10, ArcRadiusMM: radius}, f)
		if math.Abs(o.Area()-straight.Area()) > settleTol*o.Perimeter() {
			t.Errorf("letters of %g mm² became %g mm² on an arc", straight.Area(), o.Area())
		}
		// Sides of the two bars, drawn on, meet in the circle's centre: the angle
		// between them is the distance of the bars along the baseline over the radius.
		var tilt [2]float64
		for i, r := range o[:2] {
			b := longest(r)
			tilt[i] = math.Atan2(math.Abs(b.X), math.Abs(b.Y))
		}
		along := math.Abs(geom.Outline{straight[1]}.Bounds().Center().X - geom.Outline{straight[0]}.Bounds().Center().X)
		if got, want := tilt[0]+tilt[1], along/20; math.Abs(got-want) > 1e-3 { // FlattenMM over the 7 mm of a bar, thrice
			t.Errorf("radius %g: bars lean by %g rad in all, want %g", radius, got, want)
		}
		// Their centres lie half a capital (714/2000 em) above the baseline's circle,
		// away from its centre over the top and towards it under the bottom.
		mid := 20 + math.Copysign(3.57, radius)
		apart := geom.Outline{o[1]}.Centroid().Sub(geom.Outline{o[0]}.Centroid()).Len()
		if want := 2 * mid * math.Sin(along/40); math.Abs(apart-want) > 2*geom.FlattenMM {
			t.Errorf("radius %g: bars are %g mm apart, want %g", radius, apart, want)
		}
	}
}

// TestArcFits: bent words are as large as the same words laid straight, unless the
// circle is full before, and stand on the circle about the origin. Letters that join are
// bent, which keeps every point's height above the baseline.
func TestArcFits(t *testing.T) {
	f := NewFonts()
	for _, text := range []string{"ORCHARD", "o", "pip", "a line of many small words"} {
		for _, radius := range []float64{6, -6, 18, -18, 200} {
			for _, box := range [][2]float64{{12, 0}, {0, 5}, {25, 9}} {
				c := TextSpec{Text: text, Font: "script", Align: "centre", Leading: 1.2, WidthMM: box[0], HeightMM: box[1]}
				straight, _ := mustText(t, c, f)
				c.ArcRadiusMM = radius
				o, notes, err := Text(c, f)
				if err != nil {
					t.Errorf("%q on %g in %v: %v", text, radius, box, err)
					continue
				}
				full := slices.ContainsFunc(notes, func(n finding.Finding) bool { return strings.Contains(n.What, "fills its circle") })
				near, far := math.Inf(1), 0.0
				for _, r := range o {
					for _, p := range r {
						near, far = math.Min(near, p.Len()), math.Max(far, p.Len())
					}
				}
				// The size is found with letters flattened to FlattenMM, as the result is;
				// the flat inside of a bent edge lies as much nearer.
				tol := 4 * geom.FlattenMM
				if high, want := far-near, straight.Bounds().H(); high > want+tol || !full && high < want-tol {
					t.Errorf("%q on %g in %v stands %.4f mm high, straight %.4f (circle full: %v)", text, radius, box, high, want, full)
				}
				if r := math.Abs(radius); near > r || far < r {
					t.Errorf("%q on %g in %v lies %.3f to %.3f mm from the middle", text, radius, box, near, far)
				}
			}
		}
	}
}

// longest is the longest edge of a ring.
func longest(r geom.Ring) geom.Vec {
	var best geom.Vec
	for i, p := range r {
		if e := r[(i+1)%len(r)].Sub(p); e.Len() > best.Len() {
			best = e
		}
	}
	return best
}

// TestBend: a strip of height h bent on its lower edge of radius r is a piece of a
// ring, of area length * (h + h²/2r) over the top and length * (h - h²/2r) under
// the bottom.
func TestBend(t *testing.T) {
	strip := geom.Outline{{{X: -8, Y: 0}, {X: 8, Y: 0}, {X: 8, Y: 3}, {X: -8, Y: 3}}}
	for _, up := range []float64{1, -1} {
		o := bend(strip, 12, up)
		want := 16 * (3 + up*9./24)
		if math.Abs(o.Area()-want) > geom.FlattenMM*o.Perimeter() {
			t.Errorf("up %g: a bent strip of %g mm², want %g", up, o.Area(), want)
		}
	}
}

// TestTextSame: the order in which names are set, and on how many cores, leaves no
// trace in the outlines.
func TestTextSame(t *testing.T) {
	names := sampleNames(40)
	first := NewFonts()
	want := make([]string, len(names))
	for i, n := range names {
		o, _ := mustText(t, plainText(n, "script"), first)
		want[i] = fmt.Sprint(o)
	}
	second := NewFonts()
	var wg sync.WaitGroup
	for k := range 2 {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := len(names) - 1 - k; i >= 0; i -= 2 {
				o, _, err := Text(plainText(names[i], "script"), second)
				if err != nil || fmt.Sprint(o) != want[i] {
					t.Errorf("%q differs (%v)", names[i], err)
				}
			}
		}()
	}
	wg.Wait()
}

// sampleNames invents names in several scripts, none twice.
func sampleNames(n int) []string {
	start := []string{"Yso", "Quil", "Żel", "Þor", "Наде", "Ελε", "نور", "רות", "श्री"}
	end := []string{"line", "dor", "mira", "vin", "жда", "νη", "هان", "לי", "देवी"}
	var out []string
	for i := range n {
		j := i % len(start)
		out = append(out, start[j]+strings.Repeat(end[j], 1+i/len(start)%3)+fmt.Sprint(" ", i))
	}
	return out
}

// BenchmarkName sets one of 2,000 different names in seven scripts.
func BenchmarkName(b *testing.B) {
	for _, font := range []string{"sans bold", "script"} {
		for shape, radius := range map[string]float64{"straight": 0, "arc": 18} {
			b.Run(font+"/"+shape, func(b *testing.B) {
				f := NewFonts()
				names := sampleNames(2000)
				i := 0
				for b.Loop() {
					c := plainText(names[i%len(names)], font)
					c.ArcRadiusMM = radius
					mustText(b, c, f)
					i++
				}
			})
		}
	}
}

// FuzzText: no text and no row makes setting fail otherwise than by a finding.Error.
func FuzzText(f *testing.F) {
	for _, s := range []string{"Orchard", "a\nb", "אב 12 גד", "محمد", "श्री", "e\u0301\u0323", "👩\u200d🍳", "\u202eabc\u202c", "a\u200d", "{name}", "\u0301", "ﷺ"} {
		f.Add(s)
	}
	fonts := NewFonts()
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 60 {
			return
		}
		o, _, err := Text(plainText(text, "sans bold"), fonts)
		var fe *finding.Error
		switch {
		case err != nil && !errors.As(err, &fe):
			t.Fatalf("%q: an error without a place: %v", text, err)
		case err == nil && !(o.Bounds().W() <= 30+settleTol):
			t.Fatalf("%q: %g mm wide", text, o.Bounds().W())
		}
	})
}
