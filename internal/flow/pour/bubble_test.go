package pour

import (
	"math"
	"testing"

	"mouldwright/internal/base/unit"
)

// G. G. Stokes's law at 1.1 g/ml, computed outside the program.
func TestStokesTable(t *testing.T) {
	for _, c := range []struct{ mm, mu, want float64 }{
		{1, 1, 0.5993}, {1, 3, 0.1998}, {1, 10, 0.05993}, {1, 25, 0.02397}, {0.1, 3, 0.001998},
	} {
		if v := stokes(c.mm, 1.1, c.mu); math.Abs(v/c.want-1) > 1e-3 {
			t.Errorf("%g mm in %g Pa s: %.6f mm/s, want %g", c.mm, c.mu, v, c.want)
		}
	}
	// 30 mm take a bubble of 1 mm 150.2 s at 3 Pa s and 500.6 s at 10 Pa s.
	for mu, s := range map[float64]float64{3: 150.2, 10: 500.6} {
		if d := smallestOut(30, s, 1.1, mu, 1); math.Abs(d-1) > 1e-3 {
			t.Errorf("in %g s at %g Pa s: %.4f mm, want 1", s, mu, d)
		}
	}
}

func TestSmallestOutBounds(t *testing.T) {
	if d := smallestOut(30, 0, 1.1, 3, 1); d != 30 {
		t.Errorf("no time: %g mm", d)
	}
	if d := smallestOut(0, 0, 1.1, 3, 1); d != 0 {
		t.Errorf("no depth: %g mm", d)
	}
}

// Under vacuum a bubble of one tenth of a millimetre grows to the cube root of 27 = 3
// times its size and is out as soon as one of 0.3 mm would be.
func TestChamber(t *testing.T) {
	w := Times{WorkingTimeMin: unit.Sure(40), Thickening: unit.Sure(1)}
	in := unit.Sure(1.1)
	none := bubbles(w, in, unit.Sure(3), 20, 50, 4, 4, 6, 27)
	if none.ChamberMM != none.FrameMM || none.BothMM != none.FrameMM {
		t.Errorf("without vacuum: %+v", none)
	}
	some := bubbles(w, in, unit.Sure(3), 20, 50, 4, 9, 11, 27)
	if want := smallestOut(50, 300, 1.1, 3, 1) / 3; math.Abs(some.ChamberMM.Likely-want) > 1e-12 {
		t.Errorf("chamber %g mm, want %g", some.ChamberMM.Likely, want)
	}
	if want := smallestOut(20, 29*60, 1.1, 3, 1); math.Abs(some.FrameMM.Likely-want) > 1e-12 {
		t.Errorf("frame %g mm, want %g", some.FrameMM.Likely, want)
	}
	for _, r := range []unit.Range{some.FrameMM, some.ChamberMM, some.BothMM} {
		if !r.Ordered() {
			t.Errorf("%+v", some)
		}
	}
}

// The smallest bubble that is out is the one that rises just its depth: with as many
// sizes as there are, those above it rise farther, those below less. A bubble twice as
// wide rises four times as far (Stokes), under vacuum likewise.
func TestRises(t *testing.T) {
	w := Times{WorkingTimeMin: unit.Sure(40), Thickening: unit.Sure(4)}
	b := bubbles(w, unit.Sure(1.1), unit.Sure(3), 20, 50, 4, 9, 11, 27)
	if len(b.Sizes) != len(shownMM) {
		t.Fatalf("%d sizes", len(b.Sizes))
	}
	for _, r := range b.Sizes {
		if out := r.FrameMM.Likely >= 20; out != (r.DiameterMM >= b.FrameMM.Likely) {
			t.Errorf("%g mm rises %g of 20 mm, the smallest that is out is %g mm", r.DiameterMM, r.FrameMM.Likely, b.FrameMM.Likely)
		}
		if out := r.ChamberMM.Likely >= 50; out != (r.DiameterMM >= b.ChamberMM.Likely) {
			t.Errorf("%g mm rises %g of 50 mm in the chamber, the smallest that is out is %g mm", r.DiameterMM, r.ChamberMM.Likely, b.ChamberMM.Likely)
		}
		if !r.FrameMM.Ordered() || !r.ChamberMM.Ordered() {
			t.Errorf("%+v", r)
		}
	}
	if q := b.Sizes[1].FrameMM.Likely / b.Sizes[0].FrameMM.Likely; q < 3.999 || q > 4.001 {
		t.Errorf("twice as wide rises %g times as far", q)
	}
}
