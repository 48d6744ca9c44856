package mesh

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
)

// Report counts what keeps a mesh from being a closed, oriented 2-manifold. Self
// contact is another question; see SelfTouching.
type Report struct {
	Triangles   int
	Open        int        // edges with one triangle
	NonManifold int        // edges with more than two triangles
	Flipped     int        // edges whose two triangles run the same way: one faces inwards
	Degenerate  int        // triangles without area
	Pinched     int        // vertices where two parts of the surface meet in a point
	Unused      int        // vertices without triangle
	BadIndex    int        // triangles that name a vertex that is not there
	NotFinite   int        // vertices with NaN or infinite coordinates
	VolumeMM3   float64    // meaningful when there are no open and flipped edges
	Where       [3]float32 // mm
	What        string     // the first defect, at Where
}

// Closed reports whether the mesh is a closed, oriented 2-manifold without degenerate
// triangles that encloses a positive volume.
func (r Report) Closed() bool { return r.What == "" }

// Err words the first defect, or is nil.
func (r Report) Err() error {
	if r.Closed() {
		return nil
	}
	return &finding.Error{
		Found: fmt.Sprintf("the mesh is not a closed solid: %s at (%.4f, %.4f, %.4f) mm (in all %d open, %d non-manifold, %d flipped edges, %d degenerate triangles, %d pinched vertices)",
			r.What, r.Where[0], r.Where[1], r.Where[2], r.Open, r.NonManifold, r.Flipped, r.Degenerate, r.Pinched),
		Allowed: "every edge between exactly two triangles that face the same way",
	}
}

// Check judges the mesh.
func (m *Mesh) Check() Report {
	r := Report{Triangles: len(m.T)}
	note := func(count *int, what string, at [3]float32) {
		*count++
		if r.What == "" {
			r.What, r.Where = what, at
		}
	}
	for _, v := range m.V {
		if s := v[0] + v[1] + v[2]; s-s != 0 {
			note(&r.NotFinite, "a vertex that is not finite", v)
		}
	}
	for _, t := range m.T {
		if n := uint32(len(m.V)); t[0] >= n || t[1] >= n || t[2] >= n {
			note(&r.BadIndex, "a triangle with a missing vertex", [3]float32{})
		}
	}
	if r.BadIndex+r.NotFinite > 0 {
		return r
	}
	f := m.fans()
	for _, t := range m.T {
		if n := m.normal(t); t[0] == t[1] || t[1] == t[2] || t[2] == t[0] || n == [3]float64{} {
			note(&r.Degenerate, "a triangle without area", m.V[t[0]])
		}
	}
	for v := range m.V {
		out := f.out(v)
		if len(out) == 0 {
			r.Unused++
			continue
		}
		for n := 0; n < len(out); {
			w := f.end(out[n])
			same := f.count(out[n:], w)
			n += same
			back := f.count(f.out(int(w)), uint32(v))
			if uint32(v) > w && back > 0 {
				continue // counted at its other end
			}
			switch {
			case same+back > 2:
				note(&r.NonManifold, "an edge of more than two triangles", m.V[v])
			case same == 2:
				note(&r.Flipped, "an edge between triangles that face opposite ways", m.V[v])
			case back == 0:
				note(&r.Open, "an edge of one triangle", m.V[v])
			}
		}
	}
	if r.Open+r.NonManifold+r.Flipped == 0 {
		for v := range m.V {
			if out := f.out(v); len(out) > 0 && f.turn(out[0]) != len(out) {
				note(&r.Pinched, "a vertex where two parts of the surface meet", m.V[v])
			}
		}
		r.VolumeMM3 = m.Volume()
		if r.What == "" && !(r.VolumeMM3 > 0) {
			r.What = "no positive volume, so a surface inside out"
			if len(m.V) > 0 {
				r.Where = m.V[0]
			}
		}
	}
	if math.IsNaN(r.VolumeMM3) {
		r.What = "a volume that is not a number"
	}
	return r
}

// fans lists for each vertex the half-edges that start there, sorted by where they end;
// half-edge 3k+i runs from corner i of triangle k to the next.
type fans struct {
	m     *Mesh
	start []uint32
	edges []uint32
}

func (m *Mesh) fans() *fans {
	f := &fans{m, make([]uint32, len(m.V)+2), make([]uint32, 3*len(m.T))}
	for _, t := range m.T {
		for _, v := range t {
			f.start[v+2]++
		}
	}
	for i := 2; i < len(f.start); i++ {
		f.start[i] += f.start[i-1]
	}
	for k, t := range m.T {
		for i, v := range t {
			f.edges[f.start[v+1]] = uint32(3*k + i)
			f.start[v+1]++
		}
	}
	for v := range m.V {
		slices.SortFunc(f.out(v), func(a, b uint32) int { return cmp.Compare(f.end(a), f.end(b)) })
	}
	return f
}

func (f *fans) out(v int) []uint32 { return f.edges[f.start[v]:f.start[v+1]] }

// end is the vertex where half-edge e ends.
func (f *fans) end(e uint32) uint32 { return f.m.T[e/3][(e%3+1)%3] }

// find gives the place of the first of the sorted half-edges that ends at w or beyond.
func (f *fans) find(out []uint32, w uint32) int {
	n, _ := slices.BinarySearchFunc(out, w, func(e, w uint32) int { return cmp.Compare(f.end(e), w) })
	return n
}

// count gives how many of the sorted half-edges end at w.
func (f *fans) count(out []uint32, w uint32) int {
	out = out[f.find(out, w):]
	n := 0
	for n < len(out) && f.end(out[n]) == w {
		n++
	}
	return n
}

// turn counts the triangles around the start of half-edge e, from neighbour to
// neighbour; every edge has exactly two triangles.
func (f *fans) turn(e uint32) int {
	v := f.m.T[e/3][e%3]
	n := 0
	for at := e; ; {
		n++
		third := f.m.T[at/3][(at%3+2)%3] // the neighbour across the edge third-v starts with v-third
		out := f.out(int(v))
		at = out[f.find(out, third)]
		if at == e {
			return n
		}
	}
}
