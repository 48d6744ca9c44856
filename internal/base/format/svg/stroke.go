package svg

import (
	"math"

	"mouldwright/internal/base/geom"
)

// pen draws lines of a width. All lengths are in the pen's own space, where its
// point is a circle.
type pen struct {
	half       float64 // half the width
	cap, join  string
	miterLimit float64
	tol        float64 // greatest distance of a polygon from its arc
}

// line is a chain of points without repetitions; smooth marks points inside a
// curve, which are always joined round.
type line struct {
	p      []geom.Vec
	smooth []bool
	closed bool
}

// draw gives rings whose non-zero inside is the stroke.
//
// Every ring is a sum of the rectangles beside each edge and the wedges and caps
// at its ends, all turning the same way; so where the stroke folds over itself its
// winding number grows but never cancels, however tight the curve. (The stroker
// of the drawing library in use has a global flattening tolerance, and leaves
// slivers where inner offsets fold.)
func (q pen) draw(l line) geom.Outline {
	n := len(l.p)
	switch {
	case n == 0:
		return nil
	case n == 1:
		return q.dot(l.p[0])
	case l.closed:
		return geom.Outline{q.side(nil, l, false), q.side(nil, l, true)}
	}
	r := q.side(nil, l, false)
	r = q.end(r, l.p[n-1], l.p[n-1].Sub(l.p[n-2]))
	r = q.side(r, l, true)
	return geom.Outline{q.end(r, l.p[0], l.p[0].Sub(l.p[1]))}
}

// folds reports whether the pen is too wide for a bend of the line.
func (q pen) folds(l line) bool {
	n := len(l.p)
	for i := range n {
		if !l.closed && (i == 0 || i == n-1) {
			continue
		}
		d0, d1 := l.p[i].Sub(l.p[(i+n-1)%n]), l.p[(i+1)%n].Sub(l.p[i])
		if turn := math.Abs(math.Atan2(d0.Cross(d1), d0.Dot(d1))); q.half*math.Tan(turn/2) > math.Min(d0.Len(), d1.Len())/2 {
			return true
		}
	}
	return false
}

// pieces draws the line as outlines that overlap by one edge and cover the same.
// Where a wide pen folds over a curve of n edges, its single ring crosses itself n²
// times; settled piece by piece, only the pieces cross.
func (q pen) pieces(l line) []geom.Outline {
	const edges = 12
	n := len(l.p)
	p, smooth := l.p, l.smooth
	if l.closed { // once round, and over the first corner
		p, smooth = append(p[:n:n], p[0], p[1]), append(smooth[:n:n], smooth[0], smooth[1])
	}
	butt := q
	butt.cap = "butt"
	var out []geom.Outline
	for from := 0; from+1 < len(p); from += edges - 1 {
		to := min(from+edges+1, len(p))
		out = append(out, butt.draw(line{p: p[from:to], smooth: smooth[from:to]}))
	}
	if !l.closed {
		for _, e := range [...][2]geom.Vec{{p[0], p[1]}, {p[n-1], p[n-2]}} {
			d := e[0].Sub(e[1])
			v := q.normal(d)
			out = append(out, geom.Outline{append(q.end(geom.Ring{e[0].Add(v)}, e[0], d), e[0].Sub(v))})
		}
	}
	return out
}

// dot is what a line without length leaves: its cap alone (SVG 1.1, 11.4).
func (q pen) dot(at geom.Vec) geom.Outline {
	switch q.cap {
	case "round":
		return geom.Outline{q.turn(nil, at, geom.Vec{Y: q.half}, 2*math.Pi)}
	case "square":
		h := q.half
		return geom.Outline{{at.Add(geom.Vec{X: -h, Y: -h}), at.Add(geom.Vec{X: -h, Y: h}), at.Add(geom.Vec{X: h, Y: h}), at.Add(geom.Vec{X: h, Y: -h})}}
	}
	return nil
}

// end adds the cap behind the last point at, reached in direction d.
func (q pen) end(r geom.Ring, at, d geom.Vec) geom.Ring {
	n := q.normal(d)
	switch q.cap {
	case "round":
		return q.turn(r, at, n, math.Pi)
	case "square":
		f := geom.Vec{X: n.Y, Y: -n.X}
		return append(r, at.Add(n).Add(f), at.Sub(n).Add(f))
	}
	return r
}

// normal is the vector of length half to the left of d.
func (q pen) normal(d geom.Vec) geom.Vec {
	return geom.Vec{X: -d.Y, Y: d.X}.Times(q.half / d.Len())
}

// turn adds the points of an arc around c from c+n clockwise by angle.
func (q pen) turn(r geom.Ring, c, n geom.Vec, angle float64) geom.Ring {
	step := math.Pi / 2
	if q.half > q.tol {
		step = math.Min(step, 2*math.Acos(1-q.tol/q.half))
	}
	k := int(math.Min(math.Ceil(angle/step-1e-9), 10_000))
	for i := 0; i <= k; i++ {
		s, cos := math.Sincos(-angle * float64(i) / float64(max(k, 1)))
		r = append(r, c.Add(geom.Vec{X: cos*n.X - s*n.Y, Y: s*n.X + cos*n.Y}))
	}
	return r
}

// side adds the left side of the line, of the reversed line when back is set.
func (q pen) side(r geom.Ring, l line, back bool) geom.Ring {
	n := len(l.p)
	at := func(i int) int {
		i = (i + n) % n
		if back {
			return n - 1 - i
		}
		return i
	}
	for i := 0; i < n; i++ {
		v := l.p[at(i)]
		switch {
		case !l.closed && i == 0:
			r = append(r, v.Add(q.normal(l.p[at(1)].Sub(v))))
		case !l.closed && i == n-1:
			r = append(r, v.Add(q.normal(v.Sub(l.p[at(i-1)]))))
		default:
			r = q.corner(r, v, v.Sub(l.p[at(i-1)]), l.p[at(i+1)].Sub(v), l.smooth[at(i)])
		}
	}
	return r
}

// corner adds the left side at v, between directions d0 and d1.
func (q pen) corner(r geom.Ring, v, d0, d1 geom.Vec, smooth bool) geom.Ring {
	n0, n1 := q.normal(d0), q.normal(d1)
	turn := math.Atan2(d0.Cross(d1), d0.Dot(d1))
	half := math.Abs(turn) / 2
	mid := n0.Add(n1).Times(1 / (1 + math.Cos(turn))) // where the offset lines meet
	if turn > 0 && turn < math.Pi {                   // inner side
		if q.half*math.Tan(half) <= math.Min(d0.Len(), d1.Len())/2 {
			return append(r, v.Add(mid))
		}
		return append(r, v.Add(n0), v, v.Add(n1))
	}
	switch {
	case smooth || q.join == "round":
		return q.turn(r, v, n0, math.Abs(turn))
	case q.join == "miter" && math.Cos(half)*q.miterLimit >= 1:
		return append(r, v.Add(mid))
	}
	return append(r, v.Add(n0), v.Add(n1))
}

// dashed cuts a line into dashes; list has an even number of lengths >= 0 with a
// positive sum. It stops when limit dashes are reached and says so.
func (l line) dashed(list []float64, offset float64, limit int) (out []line, full bool) {
	sum := 0.0
	for _, d := range list {
		sum += d
	}
	offset = math.Mod(offset, sum)
	if offset < 0 {
		offset += sum
	}
	k := 0
	for offset > 0 && offset >= list[k] {
		offset -= list[k]
		k = (k + 1) % len(list)
	}
	left := list[k] - offset // of dash or gap k
	startsOn := k%2 == 0
	p, smooth := l.p, l.smooth
	if l.closed {
		p, smooth = append(p[:len(p):len(p)], p[0]), append(smooth[:len(smooth):len(smooth)], smooth[0])
	}
	var now line
	if startsOn {
		now.add(p[0], false)
	}
	for i := 1; i < len(p); i++ {
		a, b := p[i-1], p[i]
		length := b.Sub(a).Len()
		done := 0.0
		for length-done > left {
			done += left
			at := a.Lerp(b, done/length)
			if k%2 == 0 {
				now.add(at, false)
				out = append(out, now)
				now = line{}
			} else {
				now.add(at, false)
			}
			if len(out) > limit {
				return out, true
			}
			k = (k + 1) % len(list)
			left = list[k]
		}
		left -= length - done
		if k%2 == 0 {
			now.add(b, smooth[i])
		}
	}
	switch {
	case len(now.p) == 0:
	case l.closed && startsOn && len(out) > 0:
		for i, v := range out[0].p { // the dash over the seam is one
			if i == 0 {
				now.smooth[len(now.smooth)-1] = l.smooth[0]
			}
			now.add(v, out[0].smooth[i])
		}
		out[0] = now
	case l.closed && startsOn:
		out = append(out, l) // one dash is longer than the whole line
	default:
		out = append(out, now)
	}
	return out, false
}

// add appends a point unless it repeats the last.
func (l *line) add(v geom.Vec, smooth bool) {
	if n := len(l.p); n > 0 && l.p[n-1] == v {
		return
	}
	l.p, l.smooth = append(l.p, v), append(l.smooth, smooth)
}
