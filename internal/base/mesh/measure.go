package mesh

import "math"

// Volume is the enclosed volume in mm³ of a closed, oriented mesh: the sum of the
// signed tetrahedra towards the first vertex (divergence theorem).
func (m *Mesh) Volume() float64 {
	if len(m.T) == 0 {
		return 0
	}
	o := wide(m.V[0])
	var sum float64
	for _, t := range m.T {
		a, b, c := sub(wide(m.V[t[0]]), o), sub(wide(m.V[t[1]]), o), sub(wide(m.V[t[2]]), o)
		sum += dot(a, cross(b, c))
	}
	return sum / 6
}

// Area is the surface in mm².
func (m *Mesh) Area() float64 {
	var sum float64
	for _, t := range m.T {
		n := m.normal(t)
		sum += math.Sqrt(dot(n, n))
	}
	return sum / 2
}

// Volume is the volume in mm³ between the sheet and the plane z = 0.
func (s *Sheet) Volume() float64 {
	var sum float64
	for _, t := range s.T {
		a, b, c := wide(s.V[t[0]]), wide(s.V[t[1]]), wide(s.V[t[2]])
		sum += cross(sub(b, a), sub(c, a))[2] * (a[2] + b[2] + c[2])
	}
	return sum / 6
}

// Bounds gives the smallest box around all vertices; min > max when there are none.
func (m *Mesh) Bounds() (min, max [3]float32) { return bounds(m.V) }

// Bounds gives the smallest box around all vertices; min > max when there are none.
func (s *Sheet) Bounds() (min, max [3]float32) { return bounds(s.V) }

func bounds(v [][3]float32) (lo, hi [3]float32) {
	inf := float32(math.Inf(1))
	lo, hi = [3]float32{inf, inf, inf}, [3]float32{-inf, -inf, -inf}
	for _, p := range v {
		for i, x := range p {
			lo[i], hi[i] = min(lo[i], x), max(hi[i], x)
		}
	}
	return lo, hi
}

// Append adds a copy of another mesh beside what is there.
func (m *Mesh) Append(other *Mesh) {
	n := uint32(len(m.V))
	m.V = append(m.V, other.V...)
	for _, t := range other.T {
		m.T = append(m.T, [3]uint32{t[0] + n, t[1] + n, t[2] + n})
	}
}

// Move shifts every vertex, in mm.
func (m *Mesh) Move(x, y, z float64) {
	for i, v := range m.V {
		m.V[i] = [3]float32{float32(float64(v[0]) + x), float32(float64(v[1]) + y), float32(float64(v[2]) + z)}
	}
}

// Scale multiplies every coordinate by a factor above 0.
func (m *Mesh) Scale(f float64) {
	for i, v := range m.V {
		m.V[i] = [3]float32{float32(float64(v[0]) * f), float32(float64(v[1]) * f), float32(float64(v[2]) * f)}
	}
}

// normal is the triangle's normal; its length is twice the area.
func (m *Mesh) normal(t [3]uint32) [3]float64 {
	a := wide(m.V[t[0]])
	return cross(sub(wide(m.V[t[1]]), a), sub(wide(m.V[t[2]]), a))
}

func wide(v [3]float32) [3]float64 { return [3]float64{float64(v[0]), float64(v[1]), float64(v[2])} }
func sub(a, b [3]float64) [3]float64 {
	return [3]float64{a[0] - b[0], a[1] - b[1], a[2] - b[2]}
}
func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}
