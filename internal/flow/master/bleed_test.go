package master

import (
	"context"
	"math"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// A cone's levels are circles: a bleed of b takes b off each radius, so that the cone
// gets lower by b over its slope. Closed form; the directions see it to 2 % of b.
func TestDrawnInMovesEveryWallByTheBleed(t *testing.T) {
	const slope, radius = 2.0, 3.0
	f := field.New(field.Around(geom.Rect{Min: geom.Vec{X: -4, Y: -4}, Max: geom.Vec{X: 4, Y: 4}}, 0.025))
	cone := func(p geom.Vec, r float64) float64 { return math.Min(3, math.Max(0, slope*(r-p.Len()))) }
	for j := range f.H {
		for i := range f.W {
			f.Z[j*f.W+i] = float32(cone(f.XY(i, j), radius))
		}
	}
	for _, b := range []float64{0.01, 0.034, 0.1, -0.034} {
		got, err := drawnIn(context.Background(), f, b)
		if err != nil {
			t.Fatal(err)
		}
		for j := range f.H {
			for i := range f.W {
				p := f.XY(i, j)
				want := cone(p, radius-b)
				// The edges of foot and plateau are rounded by a sample.
				if l := p.Len(); math.Abs(l-radius) < 0.2 || math.Abs(l-1.5) < 0.2 || l > 3.8 {
					continue
				}
				if d := math.Abs(float64(got.At(i, j)) - want); d > slope*(0.02*math.Abs(b)+0.0005) {
					t.Fatalf("bleed %g at %v: %g, want %g", b, p, got.At(i, j), want)
				}
			}
		}
	}
	if same, err := drawnIn(context.Background(), f, 0); err != nil || same != f {
		t.Error("no bleed changes the relief")
	}
}

// What prints is what the mask has, let out by the bleed: with it a tile has the outline
// it would have without any bleed, key gaps included, and a piece its volume. Every
// part is a closed solid all the same.
func TestBledPartsPrintAsDrawn(t *testing.T) {
	const bleed = 0.05
	c := choices()
	foot := geom.RoundedRectangle(30, 20, 3)
	p := frustum(t, "plain", foot, 8, 10)
	plain := surface(t, p, c, 0.001, 4)
	drawn, err := Surface(context.Background(), p, c, 0.001, bleed, c.ToleranceMM)
	if err != nil {
		t.Fatal(err)
	}
	drawn.Cavities = 4
	// The fillet bleeds too: a quarter circle's run of 0.4 mm, outwards by 0.05 mm, is not
	// made up for; it is 0.1 % of this piece.
	if rel := drawn.VolumeMM3/plain.VolumeMM3 - 1; math.Abs(rel) > 1.5e-3 {
		t.Errorf("volume as printed %g mm3, without bleed %g mm3", drawn.VolumeMM3, plain.VolumeMM3)
	}
	if w, want := drawn.Outline.Bounds().W(), plain.Outline.Bounds().W()-2*bleed; math.Abs(w-want) > 2*ringMM {
		t.Errorf("the mask is %g mm wide, want %g mm", w, want)
	}
	for _, build := range []string{"tiles", "loose"} {
		c.Build = build
		print := smallPlate
		without, _, err := Make(context.Background(), []Item{drawn}, c, print, "TESTED1", letters(t))
		if err != nil || without == nil {
			t.Fatal(err)
		}
		print.BleedMM = bleed
		with, found, err := Make(context.Background(), []Item{drawn}, c, print, "TESTED1", letters(t))
		if err != nil || with == nil || len(with.Parts) != len(without.Parts) {
			t.Fatalf("%v %v", found, err)
		}
		for i, p := range with.Parts {
			checkPart(t, p)
			if p.Kind != "tile" {
				continue
			}
			printed, err := geom.Offset(p.Outline, bleed)
			if err != nil {
				t.Fatal(err)
			}
			// Corners are rounded by the bleed: 0.21 b² each, and a tile has a few dozen.
			if a, want := printed.Area(), without.Parts[i].Outline.Area(); math.Abs(a-want) > 40*0.22*bleed*bleed {
				t.Errorf("%s prints with %g mm2, wanted %g mm2", p.Name, a, want)
			}
		}
		for i, tr := range with.Trays {
			// Of loose pieces seats and pockets, 0.8 mm high, are not booked: 0.2 %.
			tol := map[string]float64{"tiles": 1e-3, "loose": 2.5e-3}[build]
			if want := without.Trays[i].SolidMM3; math.Abs(tr.SolidMM3/want-1) > tol {
				t.Errorf("tray %d as cured: %g mm3, without bleed %g mm3", tr.Number, tr.SolidMM3, want)
			}
		}
	}
}
