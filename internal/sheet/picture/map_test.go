package picture

import (
	"image/color"
	"math"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// lightness is a colour's CIE L*, as a printer without colours has it.
func lightness(c color.NRGBA) float64 {
	lin := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	y := 0.2126*lin(c.R) + 0.7152*lin(c.G) + 0.0722*lin(c.B) // IEC 61966-2-1
	if y <= 216.0/24389 {
		return y * 24389 / 27
	}
	return 116*math.Cbrt(y) - 16
}

// In grey a map says the same: the farther off, the darker, on both sides; what is missing
// is hatched, what is too much is not; nothing is neither blue nor brown. Looks of a finish lie
// far enough apart to be told.
func TestTonesAreReadInGrey(t *testing.T) {
	const hatch = 8
	tone := Off(100, hatch)
	last := [2]float64{101, 101}
	for v := 10.0; v <= 100; v += 10 {
		for k, sign := range []float64{1, -1} {
			l := lightness(tone(sign*v, hatch/2, 0)) // beside a hatch line
			if l >= last[k]-4 {
				t.Errorf("%g µm is of L* %.1f after %.1f", sign*v, l, last[k])
			}
			last[k] = l
		}
	}
	if a, b := lightness(tone(-60, 0, 0)), lightness(tone(-60, hatch/2, 0)); a-b < 20 {
		t.Errorf("hatch of L* %.1f on %.1f", a, b)
	}
	if tone(60, 0, 0) != tone(60, hatch/2, 0) {
		t.Error("too much is hatched")
	}
	if c := tone(0, 3, 3); int(c.R)-int(c.B) > 4 || int(c.B)-int(c.R) > 4 {
		t.Errorf("nothing is %v", c)
	}
	for v := 1.0; v <= 3; v++ {
		if a, b := lightness(Looks(v-1, 0, 0)), lightness(Looks(v, 0, 0)); a-b < 12 {
			t.Errorf("look %g is of L* %.1f after %.1f", v, b, a)
		}
	}
}

// A line a sample wide is seen on a map of a quarter of the samples.
func TestNarrowLineIsSeen(t *testing.T) {
	f := field.New(field.Grid{W: 400, H: 400, PitchMM: 0.05})
	for j := range f.H {
		f.Z[j*f.W+203] = -50
	}
	o := geom.Outline{{{X: 0, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 20}, {X: 0, Y: 20}}}
	seen := 0
	m, b, err := Map(t.Context(), f, o, func(v float64, _, _ int) color.NRGBA {
		if v < 0 {
			return color.NRGBA{0, 0, 0, 255}
		}
		return color.NRGBA{255, 255, 255, 255}
	}, 100)
	if err != nil {
		t.Fatal(err)
	}
	for x := range m.Bounds().Dx() {
		if r, _, _, _ := m.At(x, 50).RGBA(); r < 0x8000 {
			seen++
			if at := b.Min.X + (float64(x)+0.5)*b.W()/float64(m.Bounds().Dx()); math.Abs(at-203*0.05) > 0.15 {
				t.Errorf("line at %.2f mm, drawn at %.2f", 203*0.05, at)
			}
		}
	}
	if seen != 1 {
		t.Errorf("the line is seen in %d pixels", seen)
	}
}
