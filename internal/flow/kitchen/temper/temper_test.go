package temper

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
)

// R. L. Wille, E. S. Lutton, JAOCS 43 (1966) 491, as quoted; 0.5 K.
func TestForms(t *testing.T) {
	for i, want := range [6]float64{17.3, 23.3, 25.5, 27.3, 33.8, 36.3} {
		if math.Abs(material.CocoaFormC[i]-want) > 0.5 || i > 0 && material.CocoaFormC[i] <= material.CocoaFormC[i-1] {
			t.Errorf("form %d: %g", i+1, material.CocoaFormC[i])
		}
	}
	overlap := map[string][2]float64{"dark": {31, 32}, "milk": {29, 31}, "white": {28, 30}}
	for kind, c := range Curves {
		if !(c.WorkC.Low > material.CocoaFormC[3] && c.WorkC.High < material.CocoaFormC[4]) {
			t.Errorf("%s is worked outside forms IV and V", kind)
		}
		if o := overlap[kind]; c.WorkC.Likely < o[0] || c.WorkC.Likely > o[1] {
			t.Errorf("%s: likely %g °C lies outside the overlap of the tables", kind, c.WorkC.Likely)
		}
		if !(c.MeltC.Low > c.WorkC.High && c.WorkC.Low > c.SeedC.High-1e-9) || !c.MeltC.Ordered() || !c.SeedC.Ordered() || !c.WorkC.Ordered() {
			t.Errorf("%s: %+v", kind, c)
		}
	}
}

// By hand: melt 45, work 31, room 20 °C, 30 % fat, 3 % kept: (1.67 14 + 0.03 47.1) /
// (1.67 14 + 1.59 11 + 47.1) = 24.793/87.97 = 0.2818.
func TestSeed(t *testing.T) {
	f, err := Seed(45, 31, 20, 30, 0.03)
	if err != nil || math.Abs(f-0.28184) > 1e-4 {
		t.Errorf("%g %v", f, err)
	}
	for _, bad := range [][2]float64{{30, 31}, {45, 34}, {45, 27}, {45, 19}} {
		if _, err := Seed(bad[0], bad[1], 20, 30, 0.03); err == nil {
			t.Errorf("melt %g, work %g is taken", bad[0], bad[1])
		}
	}
}

// Heat in is heat out, whatever the temperatures; warmer melts take more seed, warmer
// rooms too.
func TestSeedBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		add, work, room := rapid.Float64Range(36, 60).Draw(t, "add"), rapid.Float64Range(28, 33).Draw(t, "work"), rapid.Float64Range(10, 26).Draw(t, "room")
		fat, kept := rapid.Float64Range(20, 45).Draw(t, "fat"), rapid.Float64Range(0, 0.05).Draw(t, "kept")
		f, err := Seed(add, work, room, fat, kept)
		if err != nil || !(f > 0 && f < 1) {
			t.Fatal(f, err)
		}
		out := (1 - f) * material.LiquidChocolateJGK * (add - work)
		in := f*(material.ChocolateJGK*(work-room)+material.CocoaButterJG*fat/100) - kept*material.CocoaButterJG*fat/100
		if math.Abs(in-out) > 1e-9 {
			t.Fatalf("%g J/g out, %g in", out, in)
		}
		if g, _ := Seed(add+1, work, room, fat, kept); g <= f {
			t.Fatal("a warmer melt takes less seed")
		}
		if g, _ := Seed(add, work, room+1, fat, kept); g <= f {
			t.Fatal("warmer seed is less of it")
		}
	})
	for kind, c := range Curves {
		r, err := c.Seeding(20, unit.Between(30, 34, 38))
		if err != nil || !r.Ordered() || r.Low < 0.1 || r.High > 0.45 { // a quarter to a third is common practice
			t.Errorf("%s: %v %v", kind, r, err)
		}
	}
}

// Worked example 5.1 of Incropera et al.: a junction of 0.706 mm (h 400, c 400, density
// 8500) from 25 to 199 °C in gas of 200 °C takes 5.16-5.17 s. And a slab of chocolate of
// 10 mm from 31 to 18 °C in air of 12 °C at h 10: 1191 s, at Bi 0.19, so not exact.
func TestLumped(t *testing.T) {
	d := 7.06e-4
	v, a := math.Pi*d*d*d/6, math.Pi*d*d
	s, exact := Lumped(8500*v*400, 400, a, v, 20, 25, 199, 200)
	if math.Abs(s/5.165-1) > 0.005 || !exact {
		t.Errorf("%.3f s, %v", s, exact)
	}
	s, exact = Lumped(1300*1590*0.005, 10, 1, 0.005, 0.26, 31, 18, 12)
	if math.Abs(s-1191) > 1 || exact {
		t.Errorf("%.1f s, %v", s, exact)
	}
}

func TestWorkMin(t *testing.T) {
	c := Curves["dark"]
	small, large := c.WorkMin(300, 1.2, 20), c.WorkMin(2000, 1.2, 20)
	if !small.Ordered() || !(large.Likely > small.Likely) || small.Likely < 1 || large.High > 120 {
		t.Errorf("%v, %v", small, large)
	}
	// It stays a liquid well beyond its band, and a kilogram is not left for an hour (common
	// practice, no source).
	if thick := c.ThickMin(1000, 1.2, 20); !thick.Ordered() || !(thick.Low > c.WorkMin(1000, 1.2, 20).Low) || thick.Likely < 15 || thick.Likely > 70 {
		t.Errorf("thick after %v", thick)
	}
}
