package geom

import (
	"math"
	"testing"
)

// Areas against their closed forms. The points lie on the curves, so an area may
// be short by perimeter * FlattenMM and never over.
func TestShapesAgainstClosedForms(t *testing.T) {
	for _, c := range []struct {
		name       string
		o          Outline
		area, w, d float64
	}{
		{"circle", Circle(15), math.Pi * 225, 30, 30},
		{"ellipse", Ellipse(30, 20), math.Pi * 150, 30, 20},
		{"rectangle", Rectangle(30, 20), 600, 30, 20},
		{"rounded rectangle", RoundedRectangle(36, 28, 4), 36*28 - (4-math.Pi)*16, 36, 28},
		{"fully rounded", RoundedRectangle(30, 20, 99), 10*20 + math.Pi*100, 30, 20},
		{"without radius", RoundedRectangle(30, 20, 0), 600, 30, 20},
		{"hexagon", Polygon(6, 10, 0), 1.5 * math.Sqrt(3) * 100, 20, 10 * math.Sqrt(3)},
		// A corner of inner angle 120 degrees loses r² (tan 30 - pi/6).
		{"rounded hexagon", Polygon(6, 10, 2), 1.5*math.Sqrt(3)*100 - 6*4*(math.Tan(math.Pi/6)-math.Pi/6), 20 - 4/math.Cos(math.Pi/6) + 4, 10 * math.Sqrt(3)},
		{"fully rounded square", Polygon(4, 10*math.Sqrt2, 99), math.Pi * 100, 20, 20},
	} {
		checkSettled(t, c.o)
		if short := c.area - c.o.Area(); short < -1e-9 || short > c.o.Perimeter()*FlattenMM {
			t.Errorf("%s: area %g, closed form %g", c.name, c.o.Area(), c.area)
		}
		// An arc's outermost point lies between two points, at most FlattenMM out.
		if b := c.o.Bounds(); math.Abs(b.W()-c.w) > 2*FlattenMM || math.Abs(b.H()-c.d) > 2*FlattenMM {
			t.Errorf("%s: %g x %g mm, want %g x %g", c.name, b.W(), b.H(), c.w, c.d)
		}
		if again, err := Settle(c.o, NonZero); err != nil || len(again) != 1 || math.Abs(again.Area()-c.o.Area()) > 1e-5*c.o.Perimeter() {
			t.Errorf("%s: settling changes it: %v", c.name, err)
		}
		if p := c.o.Centroid(); p.Len() > 1e-9 {
			t.Errorf("%s: centroid %v", c.name, p)
		}
	}
	h := Heart(30, 26)
	checkSettled(t, h)
	if b := h.Bounds(); math.Abs(b.W()-30) > 2*FlattenMM || math.Abs(b.H()-26) > 2*FlattenMM || b.Center().Len() > FlattenMM {
		t.Errorf("heart: %v", b)
	}
	if again, err := Settle(h, NonZero); err != nil || len(again) != 1 || math.Abs(again.Area()-h.Area()) > 1e-3 {
		t.Errorf("heart: settling changes it: %v", err)
	}
	for _, o := range []Outline{Circle(0), Circle(math.NaN()), Ellipse(1, -1), Polygon(2, 1, 0), Heart(math.Inf(1), 1), RoundedRectangle(0, 1, 1)} {
		if len(o) != 0 {
			t.Errorf("a shape without size has rings: %v", o)
		}
	}
}

func TestMeasures(t *testing.T) {
	// Half a disc: centroid at 4r/3pi from its straight side.
	half, err := Intersect(Circle(9), Rectangle(40, 40).Transform(Move(0, 20)))
	if err != nil {
		t.Fatal(err)
	}
	if c := half.Transform(Move(7, 5)).Centroid(); c.Sub(Vec{7, 5 + 4*9/(3*math.Pi)}).Len() > FlattenMM {
		t.Errorf("centroid %v", c)
	}
	if p := Circle(9).Perimeter(); math.Abs(p-18*math.Pi) > 1e-4*p {
		t.Errorf("perimeter %g", p)
	}
	if q, d := Circle(9).Nearest(Vec{20, 0}); q != (Vec{9, 0}) || d != 11 {
		t.Errorf("nearest %v at %g", q, d)
	}
	if _, d := Outline(nil).Nearest(Vec{}); !math.IsInf(d, 1) {
		t.Errorf("distance to nothing is %g", d)
	}
	for _, c := range []struct{ x, want float64 }{{15, 6}, {9, 0}, {7, 0}, {0, 0}} {
		if d := Distance(Circle(5), Circle(4).Transform(Move(c.x, 0))); math.Abs(d-c.want) > 1e-9 {
			t.Errorf("circles %g apart: distance %g, want %g", c.x, d, c.want)
		}
	}
	ring, err := Subtract(Circle(10), Circle(8))
	if err != nil {
		t.Fatal(err)
	}
	if d := Distance(ring, Circle(3).Transform(Move(2, 0))); math.Abs(d-3) > FlattenMM {
		t.Errorf("a circle in a ring: %g, want 3", d)
	}
	if d := Distance(ring, nil); !math.IsInf(d, 1) {
		t.Errorf("distance to nothing is %g", d)
	}
}
