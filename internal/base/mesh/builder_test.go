package mesh

import (
	"context"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// A tile in small: a base with walls, pieces standing on it that share their rings
// with the plane between them, an underside with engraving.
func TestATileOfPiecesIsClosed(t *testing.T) {
	o := geom.Outline{circle(0, 0, 3)}
	f := sampled(field.Around(o.Bounds(), 0.05), func(x, y float64) float64 { return max(0, 2-math.Hypot(x, y)*2/3) })
	piece, err := ReliefEdge(context.Background(), f, o, ToleranceMM, 0)
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		edge := geom.Outline{rectangle(-5, -5, 20, 12)}
		top, bottom := Level(edge, 3), Level(edge, 0)
		var b Builder
		b.Wall(top, bottom)
		n := rapid.IntRange(0, 6).Draw(t, "pieces")
		for k := range n {
			turn := rapid.Float64Range(0, 360).Draw(t, "turn")
			x, y := float64(k%3)*7, float64(k/3)*7
			p, err := piece.Placed(turn, x, y, 3)
			if err != nil {
				t.Fatal(err)
			}
			b.Up(p)
			top = append(top, piece.Rings[0].Placed(turn, x, y, 3).Reversed())
		}
		base, err := Plane(top)
		if err != nil {
			t.Fatal(err)
		}
		b.Up(base)
		under, err := Plane(bottom)
		if err != nil {
			t.Fatal(err)
		}
		b.Down(under)
		m, err := b.Mesh()
		if err != nil {
			t.Fatal(err)
		}
		if r := m.Check(); !r.Closed() || r.Triangles != len(m.T) {
			t.Fatalf("%+v", r)
		}
		want := 25*17*3 + float64(n)*piece.Volume()
		if got := m.Volume(); math.Abs(got-want) > 1e-4*want { // the pieces are snapped anew
			t.Fatalf("volume %v, want %v", got, want)
		}
		if touching, err := m.SelfTouching(context.Background()); err != nil || len(touching) > 0 {
			t.Fatalf("%d pairs touch, %v", len(touching), err)
		}
	})
}

// Top and bottom need different vertices along the same edges, and meet at two corners.
func TestSlabJoinsDifferentEdges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(-1, 1).Draw(t, "a"), rapid.Float64Range(0.5, 4).Draw(t, "b")
		hole := polygon(0.1, 0.2, 0.7, rapid.IntRange(3, 9).Draw(t, "corners"))
		reverse(hole)
		o := geom.Outline{rectangle(-2, -1.5, 2, 1.5), hole}
		g := field.Around(o.Bounds(), 0.05)
		top := sampled(g, func(x, y float64) float64 { return 1.2 + 0.3*math.Sin(b*x+y) })
		bottom := sampled(g, func(x, y float64) float64 { return a*0.2*x*x - 0.5 })
		m, err := Slab(context.Background(), o, top, bottom, ToleranceMM)
		if err != nil {
			t.Fatal(err)
		}
		if touching, err := m.SelfTouching(context.Background()); err != nil || len(touching) > 0 {
			t.Fatalf("%d pairs touch, %v", len(touching), err)
		}
	})
}

func TestSlabThatEndsInAnEdge(t *testing.T) {
	o := geom.Outline{rectangle(0, 0, 2, 2)}
	g := field.Around(o.Bounds(), 0.05)
	// A wedge: no wall at x = 0, one at x = 2.
	m, err := Slab(context.Background(), o, sampled(g, func(x, y float64) float64 { return x / 2 }), field.New(g), ToleranceMM)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "volume", m.Volume(), 2, volumeShare)
	_, err = Slab(context.Background(), o, field.New(g), sampled(g, func(x, y float64) float64 { return x - 1 }), ToleranceMM)
	if err == nil || !strings.Contains(err.Error(), "below its lower one") {
		t.Errorf("top below the bottom: %v", err)
	}
}

func TestBuilderErrorsNameThePlace(t *testing.T) {
	square := Level(geom.Outline{rectangle(0, 0, 2, 2)}, 1)
	low := Level(geom.Outline{rectangle(0, 0, 2, 2)}, 0)
	s, err := Plane(square)
	if err != nil {
		t.Fatal(err)
	}
	cases := []struct {
		name string
		make func(b *Builder)
		want string
	}{
		{"nothing", func(b *Builder) {}, "without triangles"},
		{"open", func(b *Builder) { b.Up(s) }, "an edge of one triangle at (0.0000, 2.0000, 1.0000)"},
		{"inside out", func(b *Builder) {
			u, _ := Plane(low)
			b.Down(s)
			b.Up(u)
			b.Wall(low, low)
		}, "not a closed solid"},
		{"rings of different shape", func(b *Builder) {
			b.Wall(square, Level(geom.Outline{rectangle(0, 0, 2, 3)}, 0))
		}, "share 2 corners"},
		{"rings out of order", func(b *Builder) { b.Wall(square, []Ring3{low[0].Reversed()}) }, "leaves its edge at (0.0000, 2.0000)"},
		{"more rings above", func(b *Builder) { b.Wall(square, nil) }, "1 upper and 0 lower"},
		{"a bulge", func(b *Builder) {
			b.Wall([]Ring3{{{0, 0, 1}, {1, -0.5, 1}, {2, 0, 1}, {2, 2, 1}, {0, 2, 1}}}, low)
		}, "leaves its edge at (1.0000, -0.5000)"},
	}
	for _, c := range cases {
		var b Builder
		c.make(&b)
		if _, err := b.Mesh(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q", c.name, err, c.want)
		}
	}
}

func TestCheckNamesEachDefect(t *testing.T) {
	prism := func() *Mesh {
		m, err := Prism(geom.Outline{rectangle(0, 0, 1, 1)}, 0, 1)
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	cases := []struct {
		name  string
		spoil func(m *Mesh)
		want  func(r Report) bool
	}{
		{"sound", func(m *Mesh) {}, Report.Closed},
		{"a hole", func(m *Mesh) { m.T = m.T[1:] }, func(r Report) bool { return r.Open == 3 }},
		{"a flipped triangle", func(m *Mesh) { m.T[0][0], m.T[0][1] = m.T[0][1], m.T[0][0] }, func(r Report) bool { return r.Flipped == 3 }},
		{"a fin", func(m *Mesh) {
			m.V = append(m.V, [3]float32{5, 5, 5})
			m.T = append(m.T, [3]uint32{m.T[0][0], m.T[0][1], uint32(len(m.V) - 1)})
		}, func(r Report) bool { return r.NonManifold == 1 && r.Open == 2 }},
		{"two boxes at one corner", func(m *Mesh) {
			o := prism()
			o.Move(1, 1, 1)
			var soup [][3][3]float32
			for _, part := range []*Mesh{prism(), o} {
				for _, c := range part.T {
					soup = append(soup, [3][3]float32{part.V[c[0]], part.V[c[1]], part.V[c[2]]})
				}
			}
			*m = *FromTriangles(soup)
		}, func(r Report) bool { return r.Pinched == 1 && r.Open+r.NonManifold+r.Flipped == 0 }},
		{"no area", func(m *Mesh) { m.V[m.T[0][0]] = m.V[m.T[0][1]] }, func(r Report) bool { return r.Degenerate > 0 }},
		{"a missing vertex", func(m *Mesh) { m.T[2][1] = 99 }, func(r Report) bool { return r.BadIndex == 1 }},
		{"NaN", func(m *Mesh) { m.V[3][2] = float32(math.NaN()) }, func(r Report) bool { return r.NotFinite == 1 }},
		{"an unused vertex", func(m *Mesh) { m.V = append(m.V, [3]float32{}) }, func(r Report) bool { return r.Unused == 1 }},
		{"inside out", func(m *Mesh) {
			for i, c := range m.T {
				m.T[i] = [3]uint32{c[1], c[0], c[2]}
			}
		}, func(r Report) bool { return r.VolumeMM3 < 0 && !r.Closed() }},
	}
	for _, c := range cases {
		m := prism()
		c.spoil(m)
		if r := m.Check(); !c.want(r) {
			t.Errorf("%s: %+v", c.name, r)
		}
	}
}

func TestMeasures(t *testing.T) {
	m, err := Prism(geom.Outline{rectangle(0, 0, 2, 3)}, 0, 4)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "volume", m.Volume(), 24, 1e-12)
	near(t, "area", m.Area(), 2*(6+8+12), 1e-12)
	m.Scale(2)
	m.Move(1, 0, -1)
	near(t, "volume of the double", m.Volume(), 192, 1e-12)
	if lo, hi := m.Bounds(); lo != [3]float32{1, 0, -1} || hi != [3]float32{5, 6, 7} {
		t.Errorf("bounds %v %v", lo, hi)
	}
	other := &Mesh{}
	other.Append(m)
	other.Append(m)
	near(t, "volume of two", other.Volume(), 384, 1e-12)
}

// One vertex of very many triangles must not make the check slow.
func TestCheckOfAConeWithManySides(t *testing.T) {
	const n = 200000
	m := &Mesh{V: [][3]float32{{0, 0, 1}, {0, 0, 0}}}
	for k := range n {
		s, c := math.Sincos(2 * math.Pi * float64(k) / n)
		m.V = append(m.V, [3]float32{float32(100 * c), float32(100 * s), 0})
		a, b := uint32(2+k), uint32(2+(k+1)%n)
		m.T = append(m.T, [3]uint32{a, b, 0}, [3]uint32{b, a, 1})
	}
	if err := m.Check().Err(); err != nil {
		t.Error(err)
	}
	near(t, "volume", m.Volume(), math.Pi*1e4/3, 1e-5) // float32 corners
}
