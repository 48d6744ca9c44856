package plate

import (
	"context"
	"math"

	"mouldwright/internal/base/mesh"
)

// middleMM is the height at which layer k, from 0, is cut: its middle.
func middleMM(k int, layerMM float64) float64 { return (float64(k) + 0.5) * layerMM }

// segment is a straight piece of a slice's edge from a to b, the solid on its left.
type segment struct{ ax, ay, bx, by float64 }

// slicer finds the triangles that a layer's middle cuts. It is a segment tree over the
// layers: each triangle stands in the few nodes that together make up its span (at
// most 2 log2 of the layers), and the nodes over a layer hold its triangles and no
// others.
type slicer struct {
	mesh    *mesh.Mesh
	layerMM float64
	layers  int
	start   []int    // of each node's triangles in tri
	tri     []uint32 // indices into mesh.T
}

// newSlicer sorts a mesh's triangles for a number of layers.
func newSlicer(ctx context.Context, m *mesh.Mesh, layers int, layerMM float64) (*slicer, error) {
	s := &slicer{mesh: m, layerMM: layerMM, layers: layers, start: make([]int, 2*layers+1)}
	// First count, then place each triangle in front of those that are there already.
	err := s.each(ctx, func(node int, _ uint32) { s.start[node]++ })
	if err != nil {
		return nil, err
	}
	n := 0
	for i := range s.start {
		n += s.start[i]
		s.start[i] = n
	}
	s.tri = make([]uint32, n)
	return s, s.each(ctx, func(node int, t uint32) {
		s.start[node]--
		s.tri[s.start[node]] = t
	})
}

// each calls do for every triangle with every node that it stands in.
func (s *slicer) each(ctx context.Context, do func(node int, t uint32)) error {
	for t := range s.mesh.T {
		if t%65536 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		from, to := s.span(s.mesh.T[t])
		for l, r := from+s.layers, to+s.layers; l < r; l, r = l/2, r/2 {
			if l%2 == 1 {
				do(l, uint32(t))
				l++
			}
			if r%2 == 1 {
				r--
				do(r, uint32(t))
			}
		}
	}
	return nil
}

// span is the layers whose middles cut a triangle: from and up to before to.
func (s *slicer) span(t [3]uint32) (from, to int) {
	a, b, c := s.mesh.V[t[0]][2], s.mesh.V[t[1]][2], s.mesh.V[t[2]][2]
	return s.above(min(a, b, c)), s.above(max(a, b, c))
}

// above is the first layer whose middle is not below z. A vertex in the very middle of
// a layer counts as below it, for every triangle at this vertex: so a slice is closed
// wherever it lies.
func (s *slicer) above(z float32) int {
	k := int(math.Ceil(float64(z)/s.layerMM - 0.5))
	for k > 0 && middleMM(k-1, s.layerMM) >= float64(z) {
		k--
	}
	for middleMM(k, s.layerMM) < float64(z) {
		k++
	}
	return max(0, min(k, s.layers))
}

// cut adds the edge of the slice at the middle of layer k to out, in no order.
func (s *slicer) cut(k int, out []segment) []segment {
	z := middleMM(k, s.layerMM)
	for node := k + s.layers; node > 0; node /= 2 {
		for _, t := range s.tri[s.start[node]:s.start[node+1]] {
			out = append(out, s.across(s.mesh.T[t], z))
		}
	}
	return out
}

// across cuts one triangle, which reaches from z or below it to above it. Seen from
// outside the solid its corners run counter-clockwise, and so the slice runs from the
// side that goes down to the side that goes up.
func (s *slicer) across(t [3]uint32, z float64) (out segment) {
	for i := range 3 {
		a, b := s.mesh.V[t[i]], s.mesh.V[t[(i+1)%3]]
		switch low := float64(a[2]) <= z; {
		case low && float64(b[2]) > z:
			out.bx, out.by = between(a, b, z)
		case !low && float64(b[2]) <= z:
			out.ax, out.ay = between(b, a, z)
		}
	}
	return out
}

// between is where the line from low up to high passes z. Both triangles of an edge
// ask for it with the same numbers, so that neighbours meet exactly.
func between(low, high [3]float32, z float64) (x, y float64) {
	f := (z - float64(low[2])) / (float64(high[2]) - float64(low[2]))
	return float64(low[0]) + f*(float64(high[0])-float64(low[0])), float64(low[1]) + f*(float64(high[1])-float64(low[1]))
}
