package geom

import "math"

// Nearest is the point of the outline's edges nearest to p and its distance in
// mm, exact to rounding; +Inf for an outline without edges. For many points of
// one outline make a Finder.
func (o Outline) Nearest(p Vec) (Vec, float64) { return NewFinder(o).Nearest(p) }

// Finder answers many questions about one outline in about logarithmic time.
type Finder struct{ t *tree }

// NewFinder prepares the outline, which must not change afterwards.
func NewFinder(o Outline) *Finder { return &Finder{newTree(o)} }

// Nearest is as Outline.Nearest.
func (f *Finder) Nearest(p Vec) (Vec, float64) {
	q, d2, ok := f.t.nearest(p, math.Inf(1))
	if !ok {
		return q, math.Inf(1)
	}
	return q, math.Sqrt(d2)
}

// Distance is the smallest distance in mm between the filled areas of two
// settled outlines: 0 when they touch or overlap, +Inf when one is empty.
func Distance(a, b Outline) float64 {
	for _, r := range a {
		if len(r) > 0 && b.Contains(r[0]) {
			return 0
		}
	}
	for _, r := range b {
		if len(r) > 0 && a.Contains(r[0]) {
			return 0
		}
	}
	s, t := newTree(a), newTree(b)
	best := math.Inf(1)
	s.join(t, best, func(i, j int) float64 {
		best = math.Min(best, segmentDistance(s.edges[i], t.edges[j]))
		if best == 0 {
			return -1
		}
		return best
	})
	return best
}

// segmentDistance is the distance between two segments.
func segmentDistance(e, f edge) float64 {
	if orient(e.a, e.b, f.a)*orient(e.a, e.b, f.b) < 0 && orient(f.a, f.b, e.a)*orient(f.a, f.b, e.b) < 0 {
		return 0
	}
	d := onSegment(e.a, f.a, f.b).Sub(e.a).Len()
	d = math.Min(d, onSegment(e.b, f.a, f.b).Sub(e.b).Len())
	d = math.Min(d, onSegment(f.a, e.a, e.b).Sub(f.a).Len())
	return math.Min(d, onSegment(f.b, e.a, e.b).Sub(f.b).Len())
}

// orient is twice the signed area of the triangle abp.
func orient(a, b, p Vec) float64 { return b.Sub(a).Cross(p.Sub(a)) }

// crossing reports whether two edges cross inside both of them, or one ends
// inside the other or runs along it, by more than the rounding of touchMM. Edges
// that only share end points do not cross.
func crossing(e, f edge) bool {
	shared := e.a == f.a || e.a == f.b || e.b == f.a || e.b == f.b
	o1, o2 := orient(e.a, e.b, f.a), orient(e.a, e.b, f.b)
	o3, o4 := orient(f.a, f.b, e.a), orient(f.a, f.b, e.b)
	le, lf := touchMM*e.b.Sub(e.a).Len(), touchMM*f.b.Sub(f.a).Len()
	clear := func(p, q, l float64) bool { return p > l && q < -l || p < -l && q > l }
	if clear(o1, o2, le) && clear(o3, o4, lf) {
		return true
	}
	return !shared && segmentDistance(e, f) <= touchMM
}

// touchMM is the distance at which edges count as touching (our choice: far
// above the rounding of a coordinate of 100 mm in 64 bits, 1.4e-14, far below SettleMM).
const touchMM = 1e-9
