package geom

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
)

// noded rounds the outline to the raster of SettleMM so that edges meet in common
// end points only, by snap rounding (Guibas and Marimont, 1998): the raster points
// of all ends and crossings are hot, and each edge is led through every hot point
// whose square it passes.
//
// That leaves no crossing when decided exactly; squares are decided in 64-bit
// floats here, so it is repeated until there is nothing to do. The error is a
// *finding.Error for more than MaxCrossings crossings.
func noded(o Outline) (Outline, error) {
	const maxRounds = 20          // two are usual, the second to find nothing
	g := make(Outline, 0, len(o)) // in raster units
	for _, r := range o {
		q := make(Ring, 0, len(r))
		for _, p := range r {
			q = append(q, Vec{math.Round(p.X / SettleMM), math.Round(p.Y / SettleMM)})
		}
		g = append(g, q)
	}
	for range maxRounds {
		t := newTree(g)
		hot, err := hotPoints(t)
		if err != nil {
			return nil, err
		}
		extra := map[int][]Vec{} // by edge
		pairs := 0
		t.join(treeOf(hot), 1, func(i, j int) float64 {
			e, p := t.edges[i], hot[j].a
			if p != e.a && p != e.b && e.passes(p) {
				extra[i] = append(extra[i], p)
				pairs++
			}
			if pairs > 20*MaxCrossings {
				return -1
			}
			return 1
		})
		if pairs > 20*MaxCrossings {
			return nil, tooEntangled()
		}
		if len(extra) == 0 {
			for _, r := range g {
				for i := range r {
					r[i] = Vec{r[i].X / (1 / SettleMM), r[i].Y / (1 / SettleMM)}
				}
			}
			return g, nil
		}
		g = withPoints(g, extra)
	}
	return nil, errors.New("rounding does not come to an end")
}

// hotPoints are the raster points of all ends and crossings, each once, as edges
// without length.
func hotPoints(t *tree) ([]edge, error) {
	const maxTests = 1000 * MaxCrossings // pairs that only come near; bounds the time
	points := make([]Vec, 0, 2*len(t.edges))
	for _, e := range t.edges {
		points = append(points, e.a, e.b)
	}
	crossings, tests := 0, 0
	t.join(t, 0, func(i, j int) float64 {
		if tests++; tests > maxTests || crossings > MaxCrossings {
			return -1
		}
		e, f := t.edges[i], t.edges[j]
		if sideOf(e, f.a)*sideOf(e, f.b) < 0 && sideOf(f, e.a)*sideOf(f, e.b) < 0 {
			crossings++
			d, g := e.b.Sub(e.a), f.b.Sub(f.a)
			p := e.a.Add(d.Times(f.a.Sub(e.a).Cross(g) / d.Cross(g)))
			points = append(points, Vec{math.Round(p.X), math.Round(p.Y)})
		}
		return 0
	})
	if tests > maxTests || crossings > MaxCrossings {
		return nil, tooEntangled()
	}
	slices.SortFunc(points, func(p, q Vec) int { return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y)) })
	points = slices.Compact(points)
	hot := make([]edge, len(points))
	for i, p := range points {
		hot[i] = edge{a: p, b: p}
	}
	return hot, nil
}

func tooEntangled() error {
	return &finding.Error{Key: "outline", Found: fmt.Sprintf("lines that cross each other more than %d times", MaxCrossings),
		Allowed: fmt.Sprintf("at most %d crossings", MaxCrossings),
		Do:      "simplify the art, or split it into several"}
}

// passes reports whether the edge runs through the unit square around p.
func (e edge) passes(p Vec) bool {
	a, b := e.a.Sub(p), e.b.Sub(p)
	if math.Abs(b.X-a.X) < math.Abs(b.Y-a.Y) {
		a, b = Vec{a.Y, a.X}, Vec{b.Y, b.X}
	}
	if a.X > b.X {
		a, b = b, a
	}
	x0, x1 := max(a.X, -.5), min(b.X, .5)
	if x0 > x1 {
		return false
	}
	slope := (b.Y - a.Y) / (b.X - a.X)
	y0, y1 := a.Y+(x0-a.X)*slope, a.Y+(x1-a.X)*slope
	return min(y0, y1) <= .5 && max(y0, y1) >= -.5
}

// sideOf is the side of p, -1, 0 or 1, from the edge. Exact: coordinates are whole
// numbers up to MaxMM/SettleMM = 1e9, so the products stay below 2^63.
func sideOf(e edge, p Vec) int {
	dx, dy := int64(e.b.X-e.a.X), int64(e.b.Y-e.a.Y)
	return cmp.Compare(dx*int64(p.Y-e.a.Y)-dy*int64(p.X-e.a.X), 0)
}

// withPoints puts the points into the edges they belong to.
func withPoints(o Outline, extra map[int][]Vec) Outline {
	out := make(Outline, len(o))
	k := 0 // edges as newTree numbers them
	for ri, r := range o {
		q := make(Ring, 0, len(r))
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if a == b {
				continue
			}
			q = append(q, a)
			more := extra[k]
			k++
			slices.SortFunc(more, func(p, s Vec) int {
				return cmp.Compare(p.Sub(a).Dot(b.Sub(a)), s.Sub(a).Dot(b.Sub(a)))
			})
			for _, p := range more {
				if p != q[len(q)-1] {
					q = append(q, p)
				}
			}
		}
		out[ri] = q
	}
	return out
}
