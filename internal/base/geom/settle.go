package geom

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/tdewolff/canvas"

	"mouldwright/internal/base/finding"
)

// FillRule says what is inside where rings overlap.
type FillRule uint8

const (
	NonZero FillRule = iota // inside where the winding number is not zero
	EvenOdd                 // inside where the winding number is odd
)

// SettleMM is the raster to which Settle rounds coordinates: 10 nm, about the
// rounding of 100 mm in 32-bit floats, so that points of a settled outline stay
// apart when they are written to a mesh.
const SettleMM = 1e-5

// SliverMM is the mean width (twice the area over the perimeter) below which a
// settled ring is dropped (our choice: a quarter of FlattenMM, so nothing that was drawn).
const SliverMM = FlattenMM / 4

// MaxCrossings bounds the pairs of crossing edges that Settle takes on (our choice:
// art that is meant has some hundred).
const MaxCrossings = 200_000

// Settle resolves every overlap: the result covers the same area by the non-zero
// rule, its edges do not cross (they may share end points), outer rings run
// counter-clockwise and each is followed by its holes, which run clockwise.
// Points are moved by at most 1.5 SettleMM; repeated points, points within
// SettleMM of the line between their neighbours, and slivers (SliverMM) are
// dropped. An outline without area gives an empty one.
//
// The error is a *finding.Error: too many points (MaxPoints) or crossings
// (MaxCrossings), a coordinate that is no number or beyond MaxMM.
func Settle(o Outline, rule FillRule) (Outline, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	done, err := sweep(o, rule)
	var refused *finding.Error
	if err == nil || errors.As(err, &refused) {
		return done, err
	}
	return nil, &finding.Error{Key: "outline", Found: "overlaps that cannot be resolved", Err: err,
		Do: "simplify the art, or move overlapping parts a little"}
}

// toLibrary is the factor that makes coordinates so small that the library's raster of
// 1e-8 becomes SettleMM; fromLibrary goes back, onto the decimal raster exactly.
const toLibrary = 1e-8 / SettleMM

func fromLibrary(p canvas.Point) Vec {
	return Vec{math.Round(p.X*1e8) / (1 / SettleMM), math.Round(p.Y*1e8) / (1 / SettleMM)}
}

// sweep settles by the library's sweep line and tidies the result. A panic in
// the library and a result that still crosses itself are errors.
func sweep(o Outline, rule FillRule) (done Outline, err error) {
	defer func() {
		if r := recover(); r != nil {
			done, err = nil, fmt.Errorf("sweep line: %v", r)
		}
	}()
	// The library resolves crossings too, but where edges run within its raster of
	// each other over many points it may take for ever; so it gets none.
	o, err = noded(o)
	if err != nil {
		return nil, err
	}
	var paths canvas.Paths
	for _, r := range o {
		if len(r) < 3 {
			continue
		}
		p := &canvas.Path{}
		p.MoveTo(r[0].X*toLibrary, r[0].Y*toLibrary)
		for _, v := range r[1:] {
			p.LineTo(v.X*toLibrary, v.Y*toLibrary)
		}
		p.Close()
		if !p.Empty() {
			paths = append(paths, p)
		}
	}
	fill := canvas.NonZero
	if rule == EvenOdd {
		fill = canvas.EvenOdd
	}
	var rings Outline
	var outer []bool // each outer ring is followed by its holes
	for _, p := range paths.Settle(fill) {
		for i, part := range p.Split() {
			var r Ring
			for _, v := range part.Coords() {
				q := fromLibrary(v)
				if len(r) == 0 || q != r[len(r)-1] {
					r = append(r, q)
				}
			}
			rings, outer = append(rings, r), append(outer, i == 0)
		}
	}
	rings = joined(rings)
	done = tidy(rings, outer, SettleMM)
	if crosses(done) {
		// Dropping a point may have moved an edge over a neighbour nearer than the raster.
		if done = tidy(rings, outer, 0); crosses(done) {
			return nil, fmt.Errorf("sweep line: edges still cross")
		}
	}
	return done, nil
}

// joined puts a point into every edge on which a point of another edge lies: the
// library leaves out points on straight lines, also where another ring touches.
func joined(o Outline) Outline {
	// The library takes angles below 1e-10 for straight: 1e-7 mm on a metre.
	const reach = SettleMM / 100
	t := newTree(o)
	extra := map[int][]Vec{} // by edge
	add := func(i int, p Vec) {
		e := t.edges[i]
		if p != e.a && p != e.b && onSegment(p, e.a, e.b).Sub(p).Len() <= reach {
			extra[i] = append(extra[i], p)
		}
	}
	t.join(t, reach, func(i, j int) float64 {
		e, f := t.edges[i], t.edges[j]
		add(i, f.a)
		add(i, f.b)
		add(j, e.a)
		add(j, e.b)
		return reach
	})
	return withPoints(o, extra)
}

// tidy drops repeated points, spikes, points within tol of their neighbours'
// line, and slivers, and turns every ring the right way round. Points where
// rings touch stay, so that they still touch in a common point.
func tidy(rings Outline, outer []bool, tol float64) Outline {
	uses := map[Vec]int{}
	for _, r := range rings {
		for _, p := range r {
			uses[p]++
		}
	}
	var out Outline
	dropped := false // the last outer ring
	for i, r := range rings {
		r = straighten(r, func(a, b, c Vec) bool {
			return a == b || a == c ||
				uses[b] <= 1 && onSegment(b, a, c).Sub(b).Len() <= tol
		})
		area := r.Area()
		sliver := len(r) < 3 || 2*math.Abs(area) < SliverMM*r.Perimeter()
		if outer[i] {
			dropped = sliver
		}
		if sliver || dropped { // the holes of a sliver are slivers
			continue
		}
		if (area > 0) != outer[i] {
			slices.Reverse(r)
		}
		out = append(out, r)
	}
	return out
}

// straighten drops each point b between a and c for which needless says so.
func straighten(r Ring, needless func(a, b, c Vec) bool) Ring {
	out := make(Ring, 0, len(r))
	for _, p := range r {
		for len(out) >= 2 && needless(out[len(out)-2], out[len(out)-1], p) {
			out = out[:len(out)-1]
		}
		if len(out) == 0 || out[len(out)-1] != p {
			out = append(out, p)
		}
	}
	for len(out) >= 3 { // across the seam
		n := len(out)
		switch {
		case needless(out[n-2], out[n-1], out[0]):
			out = out[:n-1]
		case needless(out[n-1], out[0], out[1]):
			out = out[1:]
		default:
			return out
		}
	}
	return out
}

// crosses reports whether any two edges cross.
func crosses(o Outline) bool {
	t := newTree(o)
	found := false
	t.join(t, 0, func(i, j int) float64 {
		if crossing(t.edges[i], t.edges[j]) {
			found = true
			return -1
		}
		return 0
	})
	return found
}
