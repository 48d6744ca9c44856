package mesh

import "math"

// Inset moves the walls of a closed mesh inwards in its plane, each by an amount that
// depends on the way it faces: a wall whose outward direction seen from above is the unit
// vector (x, y) by xx x² + 2 xy x y + yy y² mm (below 0: outwards). So what a printer adds
// to a face across x and to one across y can be taken off again, where the two differ.
// Heights stay.
//
// Each vertex goes where the walls that meet in it ask it to, by least squares with the
// angles that they fill around it as weights: a vertex within a wall moves square to it,
// one on the edge of two walls to where the moved walls meet. What is nearly level hardly
// moves, as a shift within it changes nothing (levelShare). The amounts are to be small
// against what stands on the mesh: triangles are moved and not cut.
func (m *Mesh) Inset(xx, xy, yy float64) {
	// The normal equations of each vertex: sum w n nᵀ d = -sum w t n, with weights w,
	// directions n and amounts t.
	type equation struct{ xx, xy, yy, x, y, angle float32 }
	at := make([]equation, len(m.V))
	for _, t := range m.T {
		n := m.normal(t)
		upright, whole := math.Hypot(n[0], n[1]), math.Sqrt(dot(n, n))
		if whole == 0 {
			continue
		}
		x, y := 0.0, 0.0
		if upright > 0 {
			x, y = n[0]/upright, n[1]/upright
		}
		in := xx*x*x + 2*xy*x*y + yy*y*y
		for k, v := range t {
			angle := m.corner(t, k)
			w := angle * upright / whole
			q := &at[v]
			q.xx, q.xy, q.yy = q.xx+float32(w*x*x), q.xy+float32(w*x*y), q.yy+float32(w*y*y)
			q.x, q.y, q.angle = q.x-float32(w*in*x), q.y-float32(w*in*y), q.angle+float32(angle)
		}
	}
	for i, q := range at {
		still := levelShare * float64(q.angle)
		a, b, c := float64(q.xx)+still, float64(q.xy), float64(q.yy)+still
		det := a*c - b*b
		if !(det > 0) {
			continue
		}
		m.V[i][0] += float32((c*float64(q.x) - b*float64(q.y)) / det)
		m.V[i][1] += float32((a*float64(q.y) - b*float64(q.x)) / det)
	}
}

// corner is a triangle's angle at its corner k.
func (m *Mesh) corner(t [3]uint32, k int) float64 {
	p := wide(m.V[t[k]])
	a, b := sub(wide(m.V[t[(k+1)%3]]), p), sub(wide(m.V[t[(k+2)%3]]), p)
	c := cross(a, b)
	return math.Atan2(math.Sqrt(dot(c, c)), dot(a, b))
}

// levelShare is the weight that holds a vertex where it is, as a share of the angle around
// it. The edge of an upright wall lacks less than three hundredths of its amount, and a
// surface that leans by a tenth of its length still moves by nine tenths of it.
const levelShare = 0.01
