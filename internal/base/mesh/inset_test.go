package mesh

import (
	"math"
	"testing"
)

// prism is a closed prism over a convex ring, counter-clockwise, h mm high.
func prism(ring [][2]float64, h float64) *Mesh {
	m := &Mesh{}
	n := uint32(len(ring))
	for _, z := range [...]float64{0, h} {
		for _, p := range ring {
			m.V = append(m.V, [3]float32{float32(p[0]), float32(p[1]), float32(z)})
		}
	}
	for i := range n {
		j := (i + 1) % n
		m.T = append(m.T, [3]uint32{i, j, n + j}, [3]uint32{i, n + j, n + i})
		if i > 0 && i+1 < n {
			m.T = append(m.T, [3]uint32{0, i + 1, i}, [3]uint32{n, n + i, n + i + 1})
		}
	}
	return m
}

// By hand: the walls of a box across x go in by 20 µm and those across y out by 20 µm.
func TestInsetBox(t *testing.T) {
	m := prism([][2]float64{{0, 0}, {40, 0}, {40, 10}, {0, 10}}, 3)
	m.Inset(0.02, 0, -0.02)
	if err := m.Check().Err(); err != nil {
		t.Fatal(err)
	}
	lo, hi := m.Bounds()
	for i, want := range [3]float64{40 - 0.04, 10 + 0.04, 3} {
		// Within leastShare of the amount, and the rounding of float32 at 40 mm.
		if got := float64(hi[i] - lo[i]); math.Abs(got-want) > 0.04*0.001+1e-5 {
			t.Errorf("axis %d: %g mm, want %g mm", i, got, want)
		}
	}
}

// The same amounts on a turned box, given in the box's own frame: turning back gives the
// upright box. The tensor turns as T' = R T Rᵀ.
func TestInsetTurned(t *testing.T) {
	s, c := math.Sincos(math.Pi / 6)
	var ring [][2]float64
	for _, p := range [][2]float64{{0, 0}, {40, 0}, {40, 10}, {0, 10}} {
		ring = append(ring, [2]float64{c*p[0] - s*p[1], s*p[0] + c*p[1]})
	}
	m := prism(ring, 3)
	const a, b = 0.03, -0.01
	m.Inset(a*c*c+b*s*s, (a-b)*s*c, a*s*s+b*c*c)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range m.V {
		x := c*float64(v[0]) + s*float64(v[1])
		lo, hi = math.Min(lo, x), math.Max(hi, x)
	}
	if got := hi - lo; math.Abs(got-(40-2*a)) > 2*a*0.001+1e-5 {
		t.Errorf("%g mm along the box, want %g mm", got, 40-2*a)
	}
}

// A round post, in equal amounts all round, is drawn in to the smaller radius: its area in
// plan is that of the inner circle. A hole, whose walls face inwards, grows by as much.
func TestInsetRound(t *testing.T) {
	const r, n, in = 8.0, 180, 0.025
	var ring [][2]float64
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / n)
		ring = append(ring, [2]float64{r * c, r * s})
	}
	m := prism(ring, 20)
	before := m.Volume()
	m.Inset(in, 0, in)
	want := before * (r - in) * (r - in) / (r * r)
	// The chords' corners lie on the circle and move to the inner one: a chord's sagitta
	// shrinks with it. The rest is float32.
	if got := m.Volume(); math.Abs(got-want) > 0.002*(before-want) {
		t.Errorf("%g mm³, want %g mm³", got, want)
	}
	m = prism(ring, 20)
	for i, tri := range m.T { // inside out: the wall of a hole
		m.T[i] = [3]uint32{tri[0], tri[2], tri[1]}
	}
	m.Inset(in, 0, in)
	_, hi := m.Bounds()
	if got := float64(hi[0]); math.Abs(got-(r+in)) > 0.002*in {
		t.Errorf("the hole's radius is %g mm, want %g mm", got, r+in)
	}
}
