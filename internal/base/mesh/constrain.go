package mesh

import (
	"context"
	"fmt"
	"slices"

	"mouldwright/internal/base/finding"
)

// constrained builds the constrained Delaunay triangulation of the region that the
// rings enclose. rings hold indices into at, counter-clockwise around the region,
// clockwise around holes. Every ring edge must end up on the border with the region
// on its left; crossing, touching and doubly covered rings are errors with a place.
func constrained(ctx context.Context, at []point, rings [][]int32) (*triangulation, error) {
	c := &constrainer{triangulation: triangulation{at: at}}
	if err := c.points(ctx); err != nil {
		return nil, err
	}
	c.spoke = make([]int32, len(c.at))
	for e, v := range c.corner {
		c.spoke[v] = int32(e)
	}
	c.wall = make([]int16, len(c.corner))
	for _, r := range rings {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for i, a := range r {
			if err := c.force(a, r[(i+1)%len(r)]); err != nil {
				return nil, err
			}
		}
	}
	if err := c.keepInside(); err != nil {
		return nil, err
	}
	c.triangulation.settle()
	return &c.triangulation, nil
}

// constrainer is a triangulation that is being given fixed edges.
type constrainer struct {
	triangulation
	spoke []int32 // for each vertex one half-edge that starts there
	wall  []int16 // ring edges along the half-edge minus those against it
}

// points makes the Delaunay triangulation of all points inside a large square, whose
// corners become the last four vertices. Points are taken along a Hilbert curve, so
// that each walk is short.
func (c *constrainer) points(ctx context.Context) error {
	n := int32(len(c.at))
	order := make([]uint64, n)
	lo, hi := c.at[0], c.at[0]
	for i, p := range c.at {
		lo, hi = point{min(lo.x, p.x), min(lo.y, p.y)}, point{max(hi.x, p.x), max(hi.y, p.y)}
		order[i] = uint64(hilbert(uint32(p.x+1<<23)>>8, uint32(p.y+1<<23)>>8))<<32 | uint64(i)
	}
	slices.Sort(order)
	m := max(hi.x-lo.x, hi.y-lo.y, 16)
	c.at = append(slices.Clip(c.at),
		point{lo.x - m, lo.y - m}, point{hi.x + m, lo.y - m}, point{hi.x + m, hi.y + m}, point{lo.x - m, hi.y + m})
	c.corner = make([]int32, 0, 6*n+6)
	c.twin = make([]int32, 0, 6*n+6)
	c.grow(2)
	c.set(0, n, n+1, n+2, -1, -1, -1)
	c.set(1, n, n+2, n+3, 2, -1, -1)
	last := int32(0)
	touched := func(k int32) { last = k }
	for i, o := range order {
		if i%4096 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		v := int32(o & 0xffffffff)
		k, e := c.locate(last, c.at[v])
		if e < 0 {
			c.split(k, v, touched)
		} else {
			c.splitEdge(e, v, touched)
		}
	}
	return nil
}

// hilbert is the place of (x, y), each below 2^16, along a Hilbert curve.
func hilbert(x, y uint32) uint32 {
	var d uint32
	for s := uint32(1 << 15); s > 0; s >>= 1 {
		var rx, ry uint32
		if x&s != 0 {
			rx = 1
		}
		if y&s != 0 {
			ry = 1
		}
		d += s * s * ((3 * rx) ^ ry)
		if ry == 0 {
			if rx == 1 {
				x, y = 0xffff-x, 0xffff-y
			}
			x, y = y, x
		}
	}
	return d
}

// force makes a-b an edge of the triangulation and marks it.
func (c *constrainer) force(a, b int32) error {
	pa, pb := c.at[a], c.at[b]
	start := c.spoke[a]
	e := start
	for {
		x, y := c.corner[next(e)], c.corner[prev(e)]
		if x == b {
			c.wall[e]++
			c.wall[c.twin[e]]--
			return nil
		}
		sx, sy := orient(pa, c.at[x], pb), orient(pa, c.at[y], pb)
		if sx == 0 && ahead(pa, c.at[x], pb) {
			return touching(c.at[x])
		}
		if sx > 0 && sy < 0 {
			break
		}
		if e = c.twin[prev(e)]; e == start {
			return inconsistent(pa)
		}
	}
	cut := cavity{left: []int32{c.corner[prev(e)]}, right: []int32{c.corner[next(e)]}, rim: map[[2]int32]rimEdge{}}
	cut.remove(c, e/3, next(e), -1)
	f := next(e)
	for {
		if c.wall[f] != 0 {
			return crossing(pa, pb, c.at[c.corner[f]], c.at[c.corner[next(f)]])
		}
		g := c.twin[f]
		v := c.corner[prev(g)]
		if v == b {
			cut.remove(c, g/3, g, -1)
			break
		}
		switch s := orient(pa, pb, c.at[v]); {
		case s == 0:
			return touching(c.at[v])
		case s > 0:
			cut.left = append(cut.left, v)
			f = next(g)
		default:
			cut.right = append(cut.right, v)
			f = prev(g)
		}
		cut.remove(c, g/3, g, f)
	}
	slices.Reverse(cut.right)
	if !cut.fill(c, a, b, cut.left) || !cut.fill(c, b, a, cut.right) || len(cut.free) != 0 {
		return inconsistent(pa)
	}
	cut.link(c)
	e = cut.made[[2]int32{a, b}]
	c.wall[e]++
	c.wall[c.twin[e]]--
	return nil
}

// cavity is what a forced edge opens: the triangles it crosses are taken out and the
// two polygons beside it are filled anew (Anglada 1997, "An improved incremental
// algorithm for constructing restricted Delaunay triangulations").
type cavity struct {
	left, right []int32 // corners of the polygons beside the forced edge
	free        []int32 // triangles taken out
	rim         map[[2]int32]rimEdge
	made        map[[2]int32]int32 // half-edges of the new triangles
	slots       []int32            // new triangles
}

type rimEdge struct {
	twin int32
	wall int16
}

// remove takes triangle k out; its edges other than the crossed ones f and g are rim.
func (q *cavity) remove(c *constrainer, k, f, g int32) {
	q.free = append(q.free, k)
	for e := 3 * k; e < 3*k+3; e++ {
		if e != f && e != g {
			q.rim[[2]int32{c.corner[e], c.corner[next(e)]}] = rimEdge{c.twin[e], c.wall[e]}
		}
	}
}

// fill triangulates the polygon a, b, chain (which leads back from b's side to a, given
// in order from a to b) by taking the corner whose circle with a-b is empty.
func (q *cavity) fill(c *constrainer, a, b int32, chain []int32) bool {
	if len(chain) == 0 {
		return true
	}
	best := -1
	for i, v := range chain {
		if orient(c.at[a], c.at[b], c.at[v]) <= 0 {
			continue
		}
		if best < 0 || inCircle(c.at[a], c.at[b], c.at[chain[best]], c.at[v]) > 0 {
			best = i
		}
	}
	if best < 0 || len(q.free) == 0 {
		return false
	}
	v := chain[best]
	k := q.free[len(q.free)-1]
	q.free = q.free[:len(q.free)-1]
	q.slots = append(q.slots, k)
	if q.made == nil {
		q.made = map[[2]int32]int32{}
	}
	for i, u := range [3]int32{a, b, v} {
		c.corner[3*k+int32(i)] = u
	}
	q.made[[2]int32{a, b}], q.made[[2]int32{b, v}], q.made[[2]int32{v, a}] = 3*k, 3*k+1, 3*k+2
	return q.fill(c, a, v, chain[:best]) && q.fill(c, v, b, chain[best+1:])
}

// link joins the new triangles to each other and to the rim.
func (q *cavity) link(c *constrainer) {
	for _, k := range q.slots {
		for e := 3 * k; e < 3*k+3; e++ {
			a, b := c.corner[e], c.corner[next(e)]
			c.spoke[a] = e
			rim := q.rim[[2]int32{a, b}]
			c.wall[e] = rim.wall
			t, ok := q.made[[2]int32{b, a}]
			if !ok {
				t = rim.twin
			}
			c.twin[e] = t
			if t >= 0 {
				c.twin[t] = e
			}
		}
	}
}

// keepInside drops every triangle outside the rings and the four helper corners.
func (c *constrainer) keepInside() error {
	n := int32(len(c.at) - 4)
	wind := make([]int16, len(c.corner)/3)
	seen := make([]bool, len(wind))
	first := c.spoke[n] / 3
	queue := []int32{first}
	seen[first] = true
	for len(queue) > 0 {
		k := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		for e := 3 * k; e < 3*k+3; e++ {
			f := c.twin[e]
			if f < 0 {
				continue
			}
			w := wind[k] + c.wall[f]
			if !seen[f/3] {
				seen[f/3], wind[f/3] = true, w
				queue = append(queue, f/3)
			}
			if c.wall[e] != 0 && !(c.wall[e] == 1 && wind[k] == 1 && w == 0 || c.wall[e] == -1 && wind[k] == 0 && w == 1) {
				p := c.at[c.corner[e]].mm()
				return &finding.Error{
					Found:   fmt.Sprintf("a ring at (%.4f, %.4f) mm is not the edge of the region on its left", p[0], p[1]),
					Allowed: "outer rings counter-clockwise, holes clockwise, none of them overlapping",
					Do:      "settle the outline first, or turn the ring round",
				}
			}
		}
	}
	place := make([]int32, len(wind))
	kept := int32(0)
	for k, w := range wind {
		place[k] = -1
		if w > 0 {
			place[k] = kept
			kept++
		}
	}
	for k := range wind {
		to := place[k]
		if to < 0 {
			continue
		}
		for i := range int32(3) {
			t := c.twin[3*int32(k)+i]
			if t >= 0 {
				if p := place[t/3]; p >= 0 {
					t = 3*p + t%3
				} else {
					t = -1
				}
			}
			c.corner[3*to+i], c.twin[3*to+i] = c.corner[3*int32(k)+i], t
		}
	}
	c.corner, c.twin, c.at = c.corner[:3*kept], c.twin[:3*kept], c.at[:n]
	return nil
}

// ahead reports whether x, known to lie on the line from a through b, lies on b's side.
func ahead(a, x, b point) bool {
	return int64(x.x-a.x)*int64(b.x-a.x)+int64(x.y-a.y)*int64(b.y-a.y) > 0
}

func touching(p point) error {
	at := p.mm()
	return &finding.Error{
		Found:   fmt.Sprintf("a ring touches another edge at (%.4f, %.4f) mm", at[0], at[1]),
		Allowed: "rings at least 0.0002 mm apart",
		Do:      "move the shapes apart, or join them",
	}
}

func crossing(a, b, c, d point) error {
	// The place is for a person: float64 is exact enough.
	t := float64(orient(c, d, a)) / float64(orient(c, d, a)-orient(c, d, b))
	x := (float64(a.x) + t*float64(b.x-a.x)) / unitsPerMM
	y := (float64(a.y) + t*float64(b.y-a.y)) / unitsPerMM
	return &finding.Error{
		Found:   fmt.Sprintf("two rings cross at (%.4f, %.4f) mm", x, y),
		Allowed: "rings that do not cross",
		Do:      "move the shapes apart, or join them",
	}
}

func inconsistent(p point) error {
	at := p.mm()
	return &finding.Error{Found: fmt.Sprintf("no edge can be drawn from (%.4f, %.4f) mm: the rings there are entangled", at[0], at[1]), Do: "move the shapes apart, or join them"}
}
