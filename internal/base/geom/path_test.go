package geom

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// farthest is the greatest distance of points of a curve, given by its
// parameter, from the polyline that is to stand for it.
func farthest(p []Vec, curve func(t float64) Vec) float64 {
	worst := 0.0
	for k := 0; k <= 4000; k++ {
		at := curve(float64(k) / 4000)
		best := math.Inf(1)
		for i := 0; i+1 < len(p); i++ {
			best = math.Min(best, onSegment(at, p[i], p[i+1]).Sub(at).Len())
		}
		worst = math.Max(worst, best)
	}
	return worst
}

func polyline(t *testing.T, b *Path) []Vec {
	t.Helper()
	parts, err := b.Polylines()
	if err != nil || len(parts) != 1 {
		t.Fatalf("%d parts, error %v", len(parts), err)
	}
	return parts[0].P
}

// Curves against their definition (Bernstein polynomials), drawn in other units.
func TestFlatteningOfBezierCurves(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	to := Turn(20).Then(Scale(0.26, -0.26)).Then(Move(3, 4))
	for range 60 {
		size := math.Pow(10, 3*r.Float64()-1)
		v := func() Vec { return Vec{size * r.Float64(), size * r.Float64()} }
		a, b, c, d := v(), v(), v(), v()
		q := NewPath(to)
		q.MoveTo(a)
		q.QuadTo(b, c)
		e := farthest(polyline(t, q), func(t float64) Vec {
			s := 1 - t
			return to.Apply(a.Times(s * s).Add(b.Times(2 * s * t)).Add(c.Times(t * t)))
		})
		if e > FlattenMM+1e-9 {
			t.Errorf("quadratic of size %g is off by %g mm", size, e)
		}
		p := NewPath(to)
		p.MoveTo(a)
		p.CubicTo(b, c, d)
		e = farthest(polyline(t, p), func(t float64) Vec {
			s := 1 - t
			return to.Apply(a.Times(s * s * s).Add(b.Times(3 * s * s * t)).Add(c.Times(3 * s * t * t)).Add(d.Times(t * t * t)))
		})
		if e > FlattenMM+1e-9 {
			t.Errorf("cubic of size %g is off by %g mm", size, e)
		}
		if n := len(polyline(t, p)); float64(n) > 8+20*math.Sqrt(size) {
			t.Errorf("cubic of size %g has %d points", size, n)
		}
	}
}

// The worked arcs of SVG 1.1, section 8.3.8: "M 125,75 a100,50 0 ?,? 100,50" with
// the four pairs of flags; a quarter or three quarters of one of two ellipses.
func TestArcsOfSVG(t *testing.T) {
	for _, c := range []struct {
		large, sweep bool
		centre       Vec
		share        float64 // of the whole ellipse
	}{
		{false, false, Vec{225, 75}, .25},
		{false, true, Vec{125, 125}, .25},
		{true, false, Vec{125, 125}, .75},
		{true, true, Vec{225, 75}, .75},
	} {
		b := NewPath(Identity)
		b.MoveTo(Vec{125, 75})
		b.ArcTo(100, 50, 0, c.large, c.sweep, Vec{225, 125})
		p := polyline(t, b)
		if p[len(p)-1] != (Vec{225, 125}) {
			t.Errorf("ends at %v", p[len(p)-1])
		}
		area := 0.0 // swept around the centre: share * pi * a * b
		for i, v := range p {
			if x, y := (v.X-c.centre.X)/100, (v.Y-c.centre.Y)/50; math.Abs(math.Hypot(x, y)-1) > 1e-9 {
				t.Fatalf("%+v: point %v is not on the ellipse", c, v)
			}
			if i > 0 {
				area += p[i-1].Sub(c.centre).Cross(v.Sub(c.centre)) / 2
			}
		}
		want := c.share * math.Pi * 100 * 50
		if !c.sweep {
			want = -want
		}
		if math.Abs(area-want) > 1 { // perimeter of 480 times 2 µm
			t.Errorf("%+v: swept area %g, want %g", c, area, want)
		}
	}
	// Radii too small are grown to reach (SVG 2, B.2.5); a turned ellipse stays within the tolerance.
	b := NewPath(Scale(2, 0.5))
	b.MoveTo(Vec{-5, 0})
	b.ArcTo(1, 1, 30, false, true, Vec{5, 0})
	e := farthest(polyline(t, b), func(t float64) Vec {
		s, c := math.Sincos(math.Pi * (1 + t))
		return Vec{10 * c, 2.5 * s}
	})
	if e > FlattenMM {
		t.Errorf("grown arc is off by %g mm", e)
	}
}

func TestPathMistakesAndLimits(t *testing.T) {
	for name, c := range map[string]struct {
		draw func(b *Path)
		want string
	}{
		"not a number": {func(b *Path) { b.CubicTo(Vec{math.NaN(), 0}, Vec{1, 1}, Vec{2, 2}) }, "numbers from"},
		"infinite":     {func(b *Path) { b.ArcTo(math.Inf(1), 1, 0, true, true, Vec{1, 1}) }, "numbers from"},
		"too far":      {func(b *Path) { b.LineTo(Vec{0, 20000}) }, "numbers from"},
		"too many": {func(b *Path) {
			for i := range MaxPoints + 10 {
				b.LineTo(Vec{float64(i % 7), float64(i % 5)})
			}
		}, "at most 500000 points"},
	} {
		b := NewPath(Identity)
		b.MoveTo(Vec{})
		c.draw(b)
		b.LineTo(Vec{1, 1}) // still does not panic
		b.Close()
		if _, err := b.Outline(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v", name, err)
		}
	}
	// Open and empty parts, closing twice, going on after closing.
	b := NewPath(Identity)
	b.Close()
	b.MoveTo(Vec{9, 9})
	b.MoveTo(Vec{0, 0})
	b.LineTo(Vec{2, 0})
	b.LineTo(Vec{2, 2})
	b.Close()
	b.Close()
	b.LineTo(Vec{-1, 0})
	b.LineTo(Vec{-1, -1})
	o, err := b.Outline()
	if err != nil || len(o) != 2 || o[0].Area() != 2 || o[1].Area() != .5 {
		t.Errorf("%v, %v", o, err)
	}
	if parts, _ := b.Polylines(); !parts[0].Closed || parts[1].Closed {
		t.Error("the first part is closed, the second open")
	}
}
