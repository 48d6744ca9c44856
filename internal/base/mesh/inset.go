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
// against what stands on the mesh: triangles are moved and not cut, so that surfaces that
// lay within a micrometre of each other may touch afterwards.
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
	by := make([][2]float32, len(m.V))
	for i, q := range at {
		upright := float64(q.xx+q.yy) / math.Max(float64(q.angle), 1e-9)
		level := math.Max(0, 1-upright/uprightShare)
		still := (levelShare*level*level + leastShare) * float64(q.angle)
		a, b, c := float64(q.xx)+still, float64(q.xy), float64(q.yy)+still
		if det := a*c - b*b; det > 0 {
			by[i] = [2]float32{float32((c*float64(q.x) - b*float64(q.y)) / det), float32((a*float64(q.y) - b*float64(q.x)) / det)}
		}
	}
	m.unfold(by)
	for i, d := range by {
		m.V[i][0] += d[0]
		m.V[i][1] += d[1]
	}
}

// unfoldRounds bounds how often folded triangles are looked for; from its half on moves
// are halved too, so that it comes to an end.
const unfoldRounds = 40

// unfold evens out moves that would turn a triangle over: those smaller than the amounts,
// where two walls that want to go different ways lie so near. Its corners then go together.
func (m *Mesh) unfold(by [][2]float32) {
	moved := func(k uint32) [3]float64 {
		v := m.V[k]
		return [3]float64{float64(v[0] + by[k][0]), float64(v[1] + by[k][1]), float64(v[2])}
	}
	for round := range unfoldRounds {
		folded := false
		for _, t := range m.T {
			if by[t[0]] == by[t[1]] && by[t[1]] == by[t[2]] {
				continue
			}
			n := m.normal(t)
			a := moved(t[0])
			w := cross(sub(moved(t[1]), a), sub(moved(t[2]), a))
			// Half upright or less is as good as turned over: neighbours fold on it.
			if dot(n, w) > 0.5*math.Sqrt(dot(n, n)*dot(w, w)) && dot(w, w) > 0.01*dot(n, n) {
				continue
			}
			folded = true
			var mean [2]float32
			for _, k := range t {
				mean[0], mean[1] = mean[0]+by[k][0]/3, mean[1]+by[k][1]/3
			}
			if round > unfoldRounds/2 {
				mean[0], mean[1] = mean[0]/2, mean[1]/2
			}
			for _, k := range t {
				by[k] = mean
			}
		}
		if !folded {
			return
		}
	}
}

// corner is a triangle's angle at its corner k.
func (m *Mesh) corner(t [3]uint32, k int) float64 {
	p := wide(m.V[t[k]])
	a, b := sub(wide(m.V[t[(k+1)%3]]), p), sub(wide(m.V[t[(k+2)%3]]), p)
	c := cross(a, b)
	return math.Atan2(math.Sqrt(dot(c, c)), dot(a, b))
}

// What holds a vertex where it is, as a share of the angle around it: nothing to speak of
// where that is upright by uprightShare or more, so that walls go the whole way, and up to
// levelShare where all is level and has no direction to go in.
const (
	levelShare   = 0.01
	uprightShare = 0.2
	leastShare   = 1e-4 // along a straight wall, which asks for nothing there
)
