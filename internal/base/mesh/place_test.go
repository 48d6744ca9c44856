package mesh

import (
	"context"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/geom"
)

func TestPlacedSheetsStaySound(t *testing.T) {
	f, _ := waves(200)
	o := geom.Outline{star7()}
	s, err := Relief(context.Background(), f, o, ToleranceMM)
	if err != nil {
		t.Fatal(err)
	}
	area := float64(planTwice(t, s))
	rapid.Check(t, func(t *rapid.T) {
		turn := rapid.Float64Range(-360, 360).Draw(t, "turn")
		x, y := rapid.Float64Range(-300, 300).Draw(t, "x"), rapid.Float64Range(-300, 300).Draw(t, "y")
		p, err := s.Placed(turn, x, y, 3)
		if err != nil {
			t.Fatal(err)
		}
		got, rings := planTwice(t, p), ringsTwice(p.Rings)
		if got != rings {
			t.Fatalf("twice the area %d, rings %d", got, rings)
		}
		// Each vertex moves by up to 0.7 steps; the ring is some 60,000 steps around.
		if math.Abs(float64(got)-area) > 2*60000 {
			t.Fatalf("area changed from %v to %v", area, got)
		}
		if !slices.Equal(p.Rings[0], s.Rings[0].Placed(turn, x, y, 3)) {
			t.Fatal("the ring placed alone differs")
		}
	})
}

// star7 lies within the field of waves(200), 1.99 mm wide.
func star7() geom.Ring {
	r := polygon(0, 0, 1, 14)
	for i := range r {
		d := 0.95
		if i%2 == 1 {
			d = 0.4
		}
		r[i] = geom.Vec{X: 0.995 + d*r[i].X, Y: 0.995 + d*r[i].Y}
	}
	return r
}

func TestQuarterTurnsAreExact(t *testing.T) {
	s, err := Plane(Level(geom.Outline{rectangle(1, 2, 3.3, 4.7)}, 1))
	if err != nil {
		t.Fatal(err)
	}
	p, err := s.Placed(90, 10, 0, 1)
	if err != nil {
		t.Fatal(err)
	}
	for i, v := range s.V {
		if p.V[i] != [3]float32{10 - v[1], v[0], 2} {
			t.Errorf("%v went to %v", v, p.V[i])
		}
	}
	if again, _ := p.Placed(-90, 0, 10, -1); !slices.Equal(again.V, s.V) {
		t.Errorf("turned back: %v, want %v", again.V, s.V)
	}
}

// A triangle thinner than the grid turns over when it is placed: the sheet must come
// out whole all the same.
func TestPlacedTriangulatesAnewWhereATriangleTurnsOver(t *testing.T) {
	u := float32(1.0 / unitsPerMM)
	// The last point stands a third of a billionth of a square millimetre over the lower side.
	s := &Sheet{
		V:     [][3]float32{{0, 0, 0}, {9, 3 * u, 0}, {10, 10, 0}, {0, 10, 0}, {3 - u, u, 0}},
		Rings: []Ring3{{{0, 0, 0}, {9, 3 * u, 0}, {10, 10, 0}, {0, 10, 0}}},
		T:     [][3]uint32{{0, 1, 4}, {4, 1, 2}, {4, 2, 3}, {0, 4, 3}},
	}
	planTwice(t, s)
	turned := false
	for deg := 1.0; deg < 90; deg++ {
		p, err := s.Placed(deg, 0.3, 0.7, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := planTwice(t, p), ringsTwice(p.Rings); got != want {
			t.Errorf("%v degrees: twice the area %d, want %d", deg, got, want)
		}
		turned = turned || !slices.Equal(p.T, s.T)
	}
	if !turned {
		t.Error("no turn put the sheet to the test")
	}
}

func TestScaled(t *testing.T) {
	s, err := Plane(Level(geom.Outline{rectangle(-2, -2, 2, 2)}, 3))
	if err != nil {
		t.Fatal(err)
	}
	p, err := s.Scaled(1.5, 2)
	if err != nil {
		t.Fatal(err)
	}
	if lo, hi := p.Bounds(); lo != [3]float32{-3, -3, 6} || hi != [3]float32{3, 3, 6} {
		t.Errorf("bounds %v %v", lo, hi)
	}
	for _, f := range [][2]float64{{0, 1}, {1, -1}, {math.NaN(), 1}} {
		if _, err := s.Scaled(f[0], f[1]); err == nil {
			t.Errorf("no error for %v", f)
		}
	}
}
