package geom

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
)

// noded rounds the outline to the raster of SettleMM and puts a point into both
// edges wherever two of them cross, and into an edge wherever it runs through
// another one's end, until edges meet in common end points only: iterated snap
// rounding (Halperin and Packer, 2002), decided in whole numbers.
//
// It gives a *finding.Error for more than MaxCrossings crossings, and another
// error should the rounds not come to an end.
func noded(o Outline) (Outline, error) {
	const maxRounds = 40          // three are usual; moved edges may meet neighbours anew
	g := make(Outline, 0, len(o)) // in raster units
	for _, r := range o {
		q := make(Ring, 0, len(r))
		for _, p := range r {
			q = append(q, Vec{math.Round(p.X / SettleMM), math.Round(p.Y / SettleMM)})
		}
		g = append(g, q)
	}
	for range maxRounds {
		extra, err := meetings(newTree(g))
		if err != nil {
			return nil, err
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

// meetings finds, by edge, the points that must be put into it.
func meetings(t *tree) (map[int][]Vec, error) {
	const maxTests = 1000 * MaxCrossings // pairs that only come near; bounds the time
	extra := map[int][]Vec{}
	add := func(i int, p Vec) {
		if e := t.edges[i]; p != e.a && p != e.b {
			extra[i] = append(extra[i], p)
		}
	}
	crossings, tests := 0, 0
	t.join(t, 1, func(i, j int) float64 {
		if tests++; tests > maxTests || crossings > MaxCrossings {
			return -1
		}
		e, f := t.edges[i], t.edges[j]
		for _, p := range [...]Vec{f.a, f.b} {
			if e.through(p) {
				add(i, p)
			}
		}
		for _, p := range [...]Vec{e.a, e.b} {
			if f.through(p) {
				add(j, p)
			}
		}
		if sideOf(e, f.a)*sideOf(e, f.b) < 0 && sideOf(f, e.a)*sideOf(f, e.b) < 0 {
			crossings++
			d := e.b.Sub(e.a)
			s := f.a.Sub(e.a).Cross(f.b.Sub(f.a)) / d.Cross(f.b.Sub(f.a))
			p := e.a.Add(d.Times(s))
			p = Vec{math.Round(p.X), math.Round(p.Y)}
			add(i, p)
			add(j, p)
		}
		return 1
	})
	if tests > maxTests || crossings > MaxCrossings {
		return nil, &finding.Error{Key: "outline", Found: fmt.Sprintf("lines that cross each other more than %d times", crossings-1),
			Allowed: fmt.Sprintf("at most %d crossings", MaxCrossings),
			Do:      "simplify the art, or split it into several"}
	}
	return extra, nil
}

// through reports whether p is the raster point that the edge passes nearest in
// p's row or column, whichever it crosses less steeply, between its ends.
func (e edge) through(p Vec) bool {
	d, q := e.b.Sub(e.a), p.Sub(e.a)
	if math.Abs(d.X) < math.Abs(d.Y) {
		d, q = Vec{d.Y, d.X}, Vec{q.Y, q.X}
	}
	if d.X < 0 {
		d, q = d.Times(-1), q.Times(-1)
	}
	return q.X > 0 && q.X < d.X && math.Abs(q.Y-q.X*d.Y/d.X) <= .5
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
