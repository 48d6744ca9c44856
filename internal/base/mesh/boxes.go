package mesh

import (
	"cmp"
	"math"
	"slices"
)

// box is an axis-parallel box.
type box struct{ lo, hi [3]float32 }

func (a box) join(b box) box {
	for i := range 3 {
		a.lo[i], a.hi[i] = min(a.lo[i], b.lo[i]), max(a.hi[i], b.hi[i])
	}
	return a
}

func (a box) meets(b box) bool {
	for i := range 3 {
		if a.lo[i] > b.hi[i] || b.lo[i] > a.hi[i] {
			return false
		}
	}
	return true
}

// away is the squared distance from p to the box.
func (a box) away(p [3]float64) float64 {
	var s float64
	for i := range 3 {
		d := max(float64(a.lo[i])-p[i], p[i]-float64(a.hi[i]), 0)
		s += d * d
	}
	return s
}

// boxTree sorts triangles into boxes of boxes. A node covers list[from:to] and is a
// leaf when it covers few.
type boxTree struct {
	v     [][3]float32
	t     [][3]uint32
	boxes []box // per triangle
	list  []uint32
	nodes []boxNode
}

type boxNode struct {
	box
	from, to, right int32 // right: the second child; the first is the next node; 0 for a leaf
}

const leafTriangles = 4 // in a leaf of the tree (common practice, no source)

func newBoxTree(v [][3]float32, t [][3]uint32) *boxTree {
	b := &boxTree{v: v, t: t, boxes: make([]box, len(t)), list: make([]uint32, len(t))}
	for k, c := range t {
		b.list[k] = uint32(k)
		bb := box{v[c[0]], v[c[0]]}
		b.boxes[k] = bb.join(box{v[c[1]], v[c[1]]}).join(box{v[c[2]], v[c[2]]})
	}
	if len(t) > 0 {
		b.build(0, int32(len(t)))
	}
	return b
}

func (b *boxTree) build(from, to int32) int32 {
	n := int32(len(b.nodes))
	bb := b.boxes[b.list[from]]
	for _, k := range b.list[from+1 : to] {
		bb = bb.join(b.boxes[k])
	}
	b.nodes = append(b.nodes, boxNode{box: bb, from: from, to: to})
	if to-from <= leafTriangles {
		return n
	}
	axis := 0
	for i := range 3 {
		if bb.hi[i]-bb.lo[i] > bb.hi[axis]-bb.lo[axis] {
			axis = i
		}
	}
	slices.SortFunc(b.list[from:to], func(p, q uint32) int {
		return cmp.Or(cmp.Compare(b.boxes[p].lo[axis]+b.boxes[p].hi[axis], b.boxes[q].lo[axis]+b.boxes[q].hi[axis]), cmp.Compare(p, q))
	})
	mid := (from + to) / 2
	b.build(from, mid)
	b.nodes[n].right = b.build(mid, to)
	return n
}

// distance is the distance from p to the nearest triangle if it is below limit, else
// limit.
func (b *boxTree) distance(p [3]float64, limit float64) float64 {
	best := limit * limit
	var visit func(n int32)
	visit = func(n int32) {
		node := &b.nodes[n]
		if node.right == 0 {
			for _, k := range b.list[node.from:node.to] {
				if b.boxes[k].away(p) < best {
					t := b.t[k]
					best = min(best, toTriangle(p, wide(b.v[t[0]]), wide(b.v[t[1]]), wide(b.v[t[2]])))
				}
			}
			return
		}
		first, second := n+1, node.right
		d1, d2 := b.nodes[first].away(p), b.nodes[second].away(p)
		if d2 < d1 {
			first, second, d1, d2 = second, first, d2, d1
		}
		if d1 < best {
			visit(first)
		}
		if d2 < best {
			visit(second)
		}
	}
	if len(b.nodes) > 0 {
		visit(0)
	}
	return math.Sqrt(best)
}

// toTriangle is the squared distance from p to the triangle abc (Ericson 2005,
// "Real-Time Collision Detection", 5.1.5).
func toTriangle(p, a, b, c [3]float64) float64 {
	ab, ac, ap := sub(b, a), sub(c, a), sub(p, a)
	to := func(s, t float64) float64 { // to a + s*ab + t*ac
		d := [3]float64{ap[0] - s*ab[0] - t*ac[0], ap[1] - s*ab[1] - t*ac[1], ap[2] - s*ab[2] - t*ac[2]}
		return dot(d, d)
	}
	d1, d2 := dot(ab, ap), dot(ac, ap)
	if d1 <= 0 && d2 <= 0 {
		return to(0, 0)
	}
	bp := sub(p, b)
	d3, d4 := dot(ab, bp), dot(ac, bp)
	if d3 >= 0 && d4 <= d3 {
		return to(1, 0)
	}
	vc := d1*d4 - d3*d2
	if vc <= 0 && d1 >= 0 && d3 <= 0 {
		return to(d1/(d1-d3), 0)
	}
	cp := sub(p, c)
	d5, d6 := dot(ab, cp), dot(ac, cp)
	if d6 >= 0 && d5 <= d6 {
		return to(0, 1)
	}
	vb := d5*d2 - d1*d6
	if vb <= 0 && d2 >= 0 && d6 <= 0 {
		return to(0, d2/(d2-d6))
	}
	va := d3*d6 - d5*d4
	if va <= 0 && d4 >= d3 && d5 >= d6 {
		w := (d4 - d3) / ((d4 - d3) + (d5 - d6))
		return to(1-w, w)
	}
	sum := va + vb + vc
	return to(vb/sum, vc/sum)
}
