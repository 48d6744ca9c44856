package mesh

import (
	"context"
	"slices"
	"sync"
)

// MaxTouches bounds the list that SelfTouching gives (our choice: nobody reads more).
const MaxTouches = 1000

// SelfTouching gives pairs of triangles that meet anywhere but in the vertices and
// edges they share, lower number first, in order, at most MaxTouches of them. All
// decisions are exact on the float32 coordinates. The mesh must have finite
// coordinates; degenerate triangles are reported by Check.
func (m *Mesh) SelfTouching(ctx context.Context) ([][2]uint32, error) {
	tree := newBoxTree(m.V, m.T)
	var mu sync.Mutex
	var out [][2]uint32
	err := parallel(ctx, len(m.T), 256, func(lo, hi int) {
		var found [][2]uint32
		for k := lo; k < hi && len(found) < MaxTouches; k++ {
			tree.meeting(uint32(k), func(other uint32) {
				if m.touch(m.T[k], m.T[other]) {
					found = append(found, [2]uint32{uint32(k), other})
				}
			})
		}
		mu.Lock()
		out = append(out, found...)
		mu.Unlock()
	})
	slices.SortFunc(out, func(a, b [2]uint32) int { return slices.Compare(a[:], b[:]) })
	return out[:min(len(out), MaxTouches)], err
}

// meeting calls do for every triangle after k whose box meets k's.
func (b *boxTree) meeting(k uint32, do func(uint32)) {
	mine := b.boxes[k]
	var visit func(n int32)
	visit = func(n int32) {
		node := &b.nodes[n]
		if !node.meets(mine) {
			return
		}
		if node.right != 0 {
			visit(n + 1)
			visit(node.right)
			return
		}
		for _, o := range b.list[node.from:node.to] {
			if o > k && b.boxes[o].meets(mine) {
				do(o)
			}
		}
	}
	visit(0)
}

// touch reports whether two triangles meet beyond what they share.
func (m *Mesh) touch(s, t [3]uint32) bool {
	// Turn both so that shared vertices come first.
	shared := 0
	for i := range 3 {
		for j := shared; j < 3; j++ {
			if s[i] == t[j] {
				s[i], s[shared] = s[shared], s[i]
				t[j], t[shared] = t[shared], t[j]
				shared++
				break
			}
		}
	}
	var p, q [3][3]float32
	for i := range 3 {
		p[i], q[i] = m.V[s[i]], m.V[t[i]]
	}
	switch shared {
	case 0:
		for i := range 3 {
			if segmentMeets(p[i], p[(i+1)%3], q) || segmentMeets(q[i], q[(i+1)%3], p) {
				return true
			}
		}
		return false
	case 1:
		// Whatever else they share reaches an edge opposite to the shared vertex.
		return segmentMeets(p[1], p[2], q) || segmentMeets(q[1], q[2], p)
	case 2:
		if side(p[0], p[1], p[2], q[2]) != 0 {
			return false
		}
		// In one plane: they overlap when both third vertices lie on the same side.
		axis := flatAxis(p)
		return turn2(p[0], p[1], p[2], axis)*turn2(p[0], p[1], q[2], axis) > 0
	}
	return true
}

// flatAxis is a coordinate that can be left out without flattening the triangle.
func flatAxis(t [3][3]float32) int {
	for axis := 2; axis > 0; axis-- {
		if turn2(t[0], t[1], t[2], axis) != 0 {
			return axis
		}
	}
	return 0
}

// segmentMeets reports whether segment ab and the closed triangle t have a point in
// common.
func segmentMeets(a, b [3]float32, t [3][3]float32) bool {
	sa, sb := side(t[0], t[1], t[2], a), side(t[0], t[1], t[2], b)
	if sa*sb > 0 {
		return false
	}
	if sa == 0 && sb == 0 {
		return segmentMeetsFlat(a, b, t)
	}
	// The line through a and b passes the triangle when it turns the same way around
	// all three sides; an end in the plane is a case of this.
	pos, neg := false, false
	for i := range 3 {
		switch s := side(a, b, t[i], t[(i+1)%3]); {
		case s > 0:
			pos = true
		case s < 0:
			neg = true
		}
	}
	return !(pos && neg)
}

// segmentMeetsFlat is segmentMeets for a segment in the triangle's plane.
func segmentMeetsFlat(a, b [3]float32, t [3][3]float32) bool {
	axis := flatAxis(t)
	inside := func(p [3]float32) bool {
		pos, neg := false, false
		for i := range 3 {
			switch s := turn2(t[i], t[(i+1)%3], p, axis); {
			case s > 0:
				pos = true
			case s < 0:
				neg = true
			}
		}
		return !(pos && neg)
	}
	if inside(a) || inside(b) {
		return true
	}
	// Both ends are outside: the segment must cross a side, or pass through a corner.
	for i := range 3 {
		c, d := t[i], t[(i+1)%3]
		if turn2(a, b, c, axis)*turn2(a, b, d, axis) <= 0 && turn2(c, d, a, axis)*turn2(c, d, b, axis) <= 0 &&
			!(turn2(a, b, c, axis) == 0 && turn2(a, b, d, axis) == 0) {
			return true
		}
	}
	return false
}
