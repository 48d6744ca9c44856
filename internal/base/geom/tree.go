package geom

import (
	"cmp"
	"slices"
)

// edge is one side of a ring.
type edge struct {
	a, b Vec
	ring int32
}

func (e edge) box() Rect {
	return Rect{Vec{min(e.a.X, e.b.X), min(e.a.Y, e.b.Y)}, Vec{max(e.a.X, e.b.X), max(e.a.Y, e.b.Y)}}
}

// fan is how many children a node of the tree has (common practice, no source).
const fan = 8

// tree holds an outline's edges under nested boxes. The edges are put in an order
// in which neighbours lie close together; then each box simply holds the next
// eight of the level below.
type tree struct {
	edges  []edge   // as in the outline
	order  []int32  // leaf to edge
	levels [][]Rect // levels[0] are the leaves' boxes; the last has one box
}

func newTree(o Outline) *tree {
	var edges []edge
	for ri, r := range o {
		for i, p := range r {
			if q := r[(i+1)%len(r)]; p != q {
				edges = append(edges, edge{p, q, int32(ri)})
			}
		}
	}
	return treeOf(edges)
}

func treeOf(edges []edge) *tree {
	t := &tree{edges: edges}
	if len(t.edges) == 0 {
		return t
	}
	all := EmptyRect()
	for _, e := range edges {
		all.Add(e.a)
		all.Add(e.b)
	}
	t.order = alongCurve(t.edges, all)
	level := make([]Rect, len(t.edges))
	for i, e := range t.order {
		level[i] = t.edges[e].box()
	}
	t.levels = append(t.levels, level)
	for len(level) > 1 {
		up := make([]Rect, (len(level)+fan-1)/fan)
		for i := range up {
			b := EmptyRect()
			for _, c := range level[i*fan : min((i+1)*fan, len(level))] {
				b.Add(c.Min)
				b.Add(c.Max)
			}
			up[i] = b
		}
		t.levels = append(t.levels, up)
		level = up
	}
	return t
}

// alongCurve orders edges by the place of their middles on the curve of Morton
// (1966), which fills the rectangle: the bits of x and y taken in turn.
func alongCurve(edges []edge, in Rect) []int32 {
	type key struct {
		code uint32
		edge int32
	}
	keys := make([]key, len(edges))
	scale := 65535 / max(in.W(), in.H(), SettleMM)
	for i, e := range edges {
		p := e.a.Lerp(e.b, .5).Sub(in.Min).Times(scale)
		keys[i] = key{spread(uint32(p.X)) | spread(uint32(p.Y))<<1, int32(i)}
	}
	slices.SortFunc(keys, func(p, q key) int {
		return cmp.Or(cmp.Compare(p.code, q.code), cmp.Compare(p.edge, q.edge))
	})
	order := make([]int32, len(keys))
	for i, k := range keys {
		order[i] = k.edge
	}
	return order
}

// spread puts a zero between each two of the lower 16 bits.
func spread(v uint32) uint32 {
	v = (v | v<<8) & 0x00ff00ff
	v = (v | v<<4) & 0x0f0f0f0f
	v = (v | v<<2) & 0x33333333
	return (v | v<<1) & 0x55555555
}

// nearest finds the point of the edges next to p and its squared distance, if it
// is below limit2.
func (t *tree) nearest(p Vec, limit2 float64) (Vec, float64, bool) {
	best, found := Vec{}, false
	if len(t.edges) == 0 {
		return best, limit2, false
	}
	var visit func(level, i int)
	visit = func(level, i int) {
		if level == 0 {
			e := t.edges[t.order[i]]
			q := onSegment(p, e.a, e.b)
			if d := q.Sub(p).Dot(q.Sub(p)); d < limit2 {
				best, limit2, found = q, d, true
			}
			return
		}
		// Children by distance, the nearest first.
		var order [fan]int
		var dist [fan]float64
		n := 0
		for c := i * fan; c < min((i+1)*fan, len(t.levels[level-1])); c++ {
			d := t.levels[level-1][c].distance2(p)
			k := n
			for k > 0 && dist[k-1] > d {
				order[k], dist[k] = order[k-1], dist[k-1]
				k--
			}
			order[k], dist[k] = c, d
			n++
		}
		for k := 0; k < n && dist[k] < limit2; k++ {
			visit(level-1, order[k])
		}
	}
	visit(len(t.levels)-1, 0)
	return best, limit2, found
}

// join calls do for every pair of an edge of t and one of u whose boxes, grown
// by the current reach, meet; do returns the new reach, negative to stop. When u
// is t, each pair of different edges comes once.
func (t *tree) join(u *tree, reach float64, do func(i, j int) float64) {
	if len(t.edges) == 0 || len(u.edges) == 0 {
		return
	}
	var visit func(li, i, lj, j int)
	visit = func(li, i, lj, j int) {
		if reach < 0 || t.levels[li][i].gap2(u.levels[lj][j]) > reach*reach {
			return
		}
		switch {
		case li == 0 && lj == 0:
			if t != u || i < j {
				reach = do(int(t.order[i]), int(u.order[j]))
			}
		case t == u && li == lj && i > j:
			return // the mirrored pair comes by itself
		case li >= lj && li > 0:
			for c := i * fan; c < min((i+1)*fan, len(t.levels[li-1])); c++ {
				if t == u && li == lj { // go down on both sides together
					for d := j * fan; d < min((j+1)*fan, len(u.levels[lj-1])); d++ {
						visit(li-1, c, lj-1, d)
					}
					continue
				}
				visit(li-1, c, lj, j)
			}
		default:
			for d := j * fan; d < min((j+1)*fan, len(u.levels[lj-1])); d++ {
				visit(li, i, lj-1, d)
			}
		}
	}
	visit(len(t.levels)-1, 0, len(u.levels)-1, 0)
}

// distance2 is the squared distance from p to the rectangle.
func (r Rect) distance2(p Vec) float64 {
	dx := max(0, r.Min.X-p.X, p.X-r.Max.X)
	dy := max(0, r.Min.Y-p.Y, p.Y-r.Max.Y)
	return dx*dx + dy*dy
}

// gap2 is the squared distance between two rectangles.
func (r Rect) gap2(s Rect) float64 {
	dx := max(0, r.Min.X-s.Max.X, s.Min.X-r.Max.X)
	dy := max(0, r.Min.Y-s.Max.Y, s.Min.Y-r.Max.Y)
	return dx*dx + dy*dy
}

// onSegment is the point of the segment ab nearest to p.
func onSegment(p, a, b Vec) Vec {
	d := b.Sub(a)
	l := d.Dot(d)
	if l == 0 {
		return a
	}
	t := p.Sub(a).Dot(d) / l
	switch {
	case t <= 0:
		return a
	case t >= 1:
		return b
	}
	return a.Add(d.Times(t))
}
