package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Set operations by their definition, point by point.
func TestCombineByPoints(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for n := range 80 {
		var a, b Outline
		if n%2 == 0 {
			a, b = Outline{lattice(r, 12)}, Outline{lattice(r, 9), lattice(r, 5)}
		} else {
			a, b = Outline{star(r, 14, 8)}, append(Circle(3), star(r, 9, 8))
		}
		for _, c := range []struct {
			name string
			op   func(a, b Outline) (Outline, error)
			in   func(a, b bool) bool
		}{
			{"union", Union, func(a, b bool) bool { return a || b }},
			{"intersection", Intersect, func(a, b bool) bool { return a && b }},
			{"difference", Subtract, func(a, b bool) bool { return a && !b }},
		} {
			out, err := c.op(a, b)
			if err != nil {
				t.Fatalf("case %d, %s: %v", n, c.name, err)
			}
			checkSettled(t, out)
			for range 150 {
				p := Vec{10*r.Float64() - 3, 10*r.Float64() - 3}
				if out.Contains(p) != c.in(a.Contains(p), b.Contains(p)) && !near(a, p) && !near(b, p) {
					t.Fatalf("case %d, %s: wrong at %v", n, c.name, p)
				}
			}
		}
	}
}

func TestCombineWithNothing(t *testing.T) {
	c := Circle(3)
	for name, got := range map[string]func() (Outline, error){
		"union":      func() (Outline, error) { return Union(c, nil) },
		"union back": func() (Outline, error) { return Union(nil, c) },
		"difference": func() (Outline, error) { return Subtract(c, nil) },
	} {
		if o, err := got(); err != nil || math.Abs(o.Area()-c.Area()) > 1e-3 {
			t.Errorf("%s: %v, %v", name, o, err)
		}
	}
	for name, got := range map[string]func() (Outline, error){
		"intersection": func() (Outline, error) { return Intersect(c, nil) },
		"difference":   func() (Outline, error) { return Subtract(c, Circle(4)) },
		"both nothing": func() (Outline, error) { return Union(nil, nil) },
		"apart":        func() (Outline, error) { return Intersect(c, c.Transform(Move(20, 0))) },
		"offset":       func() (Outline, error) { return Offset(c, -3.1) },
		"of nothing":   func() (Outline, error) { return Offset(nil, 1) },
	} {
		if o, err := got(); err != nil || len(o) != 0 {
			t.Errorf("%s: %v, %v", name, o, err)
		}
	}
}

// Offsets against Steiner's formulas for a convex shape, A + P d + pi d² outwards,
// and by the distance of points.
func TestOffset(t *testing.T) {
	base := Polygon(5, 10, 0)
	for _, d := range []float64{0.05, 0.8, 3, 40} {
		o, err := Offset(base, d)
		if err != nil {
			t.Fatal(err)
		}
		checkSettled(t, o)
		want := base.Area() + base.Perimeter()*d + math.Pi*d*d
		if e := math.Abs(o.Area() - want); e > o.Perimeter()*FlattenMM {
			t.Errorf("offset %g: area %g, want %g", d, o.Area(), want)
		}
	}
	ring, err := Subtract(Heart(24, 22), Circle(4))
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(9, 10))
	for _, d := range []float64{-2, -0.3, 0.3, 2, 5} {
		o, err := Offset(ring, d)
		if err != nil {
			t.Fatal(err)
		}
		checkSettled(t, o)
		for range 2000 {
			p := Vec{40*r.Float64() - 20, 40*r.Float64() - 20}
			_, e := ring.Nearest(p)
			if !ring.Contains(p) {
				e = -e
			}
			if math.Abs(e+d) > 2*FlattenMM && o.Contains(p) != (e+d > 0) {
				t.Fatalf("offset %g: point %v at %g is wrong", d, p, e)
			}
		}
	}
	if _, err := Offset(ring, math.NaN()); err == nil {
		t.Error("an offset that is no number is taken")
	}
}

// Dropped points lie within the tolerance; rings neither cross nor change sides.
func TestSimplify(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for n := range 60 {
		in := Outline{star(r, 20, 10)}
		if n%2 == 0 { // a thin ring, whose two sides are closer than the tolerance
			var err error
			if in, err = Subtract(Circle(5), Circle(4.9)); err != nil {
				t.Fatal(err)
			}
			in = append(in, Circle(0.03).Transform(Move(4.95, 0))...)
		}
		in, err := Settle(in, EvenOdd)
		if err != nil {
			t.Fatal(err)
		}
		for _, tol := range []float64{0.01, 0.1, 1} {
			out := Simplify(in, tol)
			checkSettled(t, out)
			if len(out) != len(in) {
				t.Fatalf("%d rings became %d", len(in), len(out))
			}
			for i := range in {
				if (in[i].Area() > 0) != (out[i].Area() > 0) {
					t.Errorf("ring %d turned over", i)
				}
				for _, p := range in[i] {
					if _, d := (Outline{out[i]}).Nearest(p); d > tol+1e-9 {
						t.Errorf("tolerance %g: a point is %g away", tol, d)
					}
				}
			}
		}
	}
	if n := Simplify(Circle(10), 0.05).Points(); n > 40 {
		t.Errorf("a circle of 10 mm within 50 µm keeps %d points", n)
	}
	// The hole sits in a bump that the tolerance would cut off.
	bump := Outline{
		{{0, 0}, {10, 0}, {10, 5}, {6, 5}, {5, 6}, {4, 5}, {0, 5}},
		{{4.9, 5.3}, {5, 5.6}, {5.1, 5.3}},
	}
	if out := Simplify(bump, 2); !out[:1].Contains(Vec{5, 5.4}) {
		t.Errorf("the hole lost its outer ring: %v", out)
	}
}

func BenchmarkOffset(b *testing.B) {
	ring, _ := Subtract(Heart(24, 22), Circle(4))
	for b.Loop() {
		if _, err := Offset(ring, -1); err != nil {
			b.Fatal(err)
		}
	}
}
