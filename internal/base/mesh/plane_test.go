package mesh

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/geom"
)

// planTwice is twice the sheet's area in plan in grid units², and fails for a triangle
// that does not run counter-clockwise.
func planTwice(t rapid.TB, s *Sheet) (sum int64) {
	t.Helper()
	for _, c := range s.T {
		var p [3]point
		for i, v := range c {
			p[i] = point{snap(float64(s.V[v][0])), snap(float64(s.V[v][1]))}
		}
		a := orient(p[0], p[1], p[2])
		if a <= 0 {
			t.Fatalf("triangle %v at %v has area %d", c, s.V[c[0]], a)
		}
		sum += a
	}
	return sum
}

// ringsTwice is the same from the rings: the exact area that triangles must fill.
func ringsTwice(rings []Ring3) (sum int64) {
	for _, r := range rings {
		for i, v := range r {
			w := r[(i+1)%len(r)]
			sum += int64(snap(float64(v[0])))*int64(snap(float64(w[1]))) - int64(snap(float64(w[0])))*int64(snap(float64(v[1])))
		}
	}
	return sum
}

// star is a ring around (x, y) with corners at rising angles less than half a turn
// apart, so that it cannot cross itself.
func star(t *rapid.T, x, y, least, most float64) geom.Ring {
	n := rapid.IntRange(5, 40).Draw(t, "corners")
	var r geom.Ring
	for k := range n {
		a := 2 * math.Pi * (float64(k) + rapid.Float64Range(0, 0.8).Draw(t, "angle")) / float64(n)
		d := rapid.Float64Range(least, most).Draw(t, "radius")
		r = append(r, geom.Vec{X: x + d*math.Cos(a), Y: y + d*math.Sin(a)})
	}
	return r
}

// holed is a star with star-shaped holes. With five corners a side passes the middle at
// 20 cos(65°) = 8.5 mm or more, and the holes reach out to 4.2 mm.
func holed(t *rapid.T) geom.Outline {
	o := geom.Outline{star(t, 0, 0, 20, 30)}
	n := rapid.IntRange(0, 9).Draw(t, "holes")
	for k := range n {
		h := star(t, float64(k%3-1)*2, float64(k/3-1)*2, 0.1, 0.9)
		reverse(h)
		o = append(o, h)
	}
	return o
}

func TestPlaneFillsItsRingsExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := holed(t)
		rings := Level(o, 1)
		s, err := Plane(rings)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := planTwice(t, s), ringsTwice(rings); got != want {
			t.Fatalf("twice the area %d, want %d", got, want)
		}
		// Euler's formula for a region with holes and no inner vertices.
		if got, want := len(s.T), len(s.V)+2*(len(o)-1)-2; got != want {
			t.Fatalf("%d triangles, want %d", got, want)
		}
	})
}

// Right-angled rings on a coarse grid: every point has others on its line and circle.
func TestPlaneWithManyPointsOnALine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 30).Draw(t, "columns")
		r := geom.Ring{}
		for k := range n + 1 {
			r = append(r, geom.Vec{X: float64(k)})
		}
		for k := n - 1; k >= 0; k-- {
			h := float64(rapid.IntRange(1, 6).Draw(t, "height"))
			r = append(r, geom.Vec{X: float64(k) + 1, Y: h}, geom.Vec{X: float64(k), Y: h})
		}
		rings := Level(geom.Outline{r}, 0)
		s, err := Plane(rings)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := planTwice(t, s), ringsTwice(rings); got != want {
			t.Fatalf("twice the area %d, want %d", got, want)
		}
	})
}

func TestPrismsAreClosed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := holed(t)
		m, err := Prism(o, -1, 2)
		if err != nil {
			t.Fatal(err)
		}
		want := float64(ringsTwice(Level(o, 0))) / 2 / unitsPerMM / unitsPerMM * 3
		if got := m.Volume(); math.Abs(got-want) > 1e-9*want { // sums of doubles
			t.Fatalf("volume %v, want %v", got, want)
		}
		if touching, err := m.SelfTouching(context.Background()); err != nil || len(touching) > 0 {
			t.Fatalf("%d pairs touch, %v", len(touching), err)
		}
	})
}

// The base of a tile: a large rectangle with many detailed holes, whose long sides
// cross many edges of the first triangulation.
func tray(columns, rows int) []Ring3 {
	o := geom.Outline{rectangle(0, 0, 45*float64(columns), 36*float64(rows))}
	for j := range rows {
		for i := range columns {
			h := roundedRectangle(36, 28, 4)
			reverse(h)
			o = append(o, geom.Outline{h}.Transform(geom.Move(22.5+45*float64(i), 18+36*float64(j)))...)
		}
	}
	return Level(o, 3)
}

func TestPlaneOfATray(t *testing.T) {
	rings := tray(6, 8)
	s, err := Plane(rings)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := planTwice(t, s), ringsTwice(rings); got != want {
		t.Errorf("twice the area %d, want %d", got, want)
	}
	for i, r := range rings {
		for j, v := range r {
			if s.Rings[i][j] != v {
				t.Fatalf("ring %d changed at %v", i, v)
			}
		}
	}
}

func TestPlaneOfScatteredTriangles(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	o := geom.Outline{rectangle(-1, -1, 101, 101)}
	for j := range 50 {
		for i := range 50 {
			h := polygon(float64(2*i)+1, float64(2*j)+1, 0.2+0.7*r.Float64(), 3)
			reverse(h)
			o = append(o, h)
		}
	}
	rings := Level(o, 0)
	s, err := Plane(rings)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := planTwice(t, s), ringsTwice(rings); got != want {
		t.Errorf("twice the area %d, want %d", got, want)
	}
}

func TestPlaneErrorsNameThePlace(t *testing.T) {
	square := rectangle(0, 0, 10, 10)
	cases := []struct {
		name string
		o    geom.Outline
		want string
	}{
		{"bow tie", geom.Outline{{{X: 0, Y: 0}, {X: 4, Y: 4}, {X: 4, Y: 0}, {X: 0, Y: 4}}}, "cross at (2.0000, 2.0000)"},
		{"crossing rings", geom.Outline{square, rectangle(5, 5, 15, 12)}, "cross at (10.0000, 5.0000)"},
		{"corner on an edge", geom.Outline{square, {{X: 4, Y: 5}, {X: 10, Y: 5}, {X: 4, Y: 4}}}, "touches another edge at (10.0000, 5.0000)"},
		{"outer ring in an outer ring", geom.Outline{square, rectangle(2, 2, 3, 3)}, "is not the edge of the region"},
		{"clockwise", geom.Outline{{{X: 0, Y: 0}, {X: 0, Y: 4}, {X: 4, Y: 0}}}, "is not the edge of the region"},
		{"two points", geom.Outline{{{X: 0, Y: 0}, {X: 0, Y: 4}}}, "2 different points"},
		{"nothing", nil, "without rings"},
		{"far out", geom.Outline{rectangle(0, 0, 2000, 1)}, "(2000, 0)"},
	}
	for _, c := range cases {
		_, err := Plane(Level(c.o, 0))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q", c.name, err, c.want)
		}
	}
	twice := Level(geom.Outline{square}, 0)
	twice = append(twice, Ring3{{0, 0, 1}, {-1, 0, 1}, {-1, -1, 1}})
	if _, err := Plane(twice); err == nil || !strings.Contains(err.Error(), "two heights") {
		t.Errorf("two heights at a place: %v", err)
	}
}

func TestPlaneMakesAChamfer(t *testing.T) {
	outer, inner := Level(geom.Outline{rectangle(-5, -5, 5, 5)}, 0), Level(geom.Outline{rectangle(-4, -4, 4, 4)}, 1)
	s, err := Plane([]Ring3{outer[0], inner[0].Reversed()})
	if err != nil {
		t.Fatal(err)
	}
	// A frustum of a pyramid without its core: h/3 (A + sqrt(AB) + B) - B h.
	near(t, "volume below the strip", s.Volume(), (100.0+80+64)/3-64, 1e-9)
}

func BenchmarkPlane(b *testing.B) {
	rings := tray(6, 8)
	var s *Sheet
	for b.Loop() {
		var err error
		if s, err = Plane(rings); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(s.T)), "triangles")
}
