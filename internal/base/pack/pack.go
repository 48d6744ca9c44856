// Package pack places rectangles in rectangles and outlines in rectangles: pieces on a
// tray, parts on a plate.
//
//	[]Size + Bin, Bin, ... --Rects--> []Place (which bin, where, turned or not)
//	outlines + bins of one size --Nest--> []Spot (which bin, where, at what turn)
//	[]Weighed + room of a bin --LeastBins--> how many bins are needed at least
//
// Rects keeps the list of all largest free rectangles of each bin and puts
// one rectangle after the other where a rule likes it best; several orders and
// rules are tried, then the best order is bettered by moving single rectangles.
// There is no chance in it: the same input gives the same places everywhere.
package pack

import (
	"context"
	"errors"
	"math"
	"slices"

	"mouldwright/internal/base/geom"
)

// Size is a rectangle's width and height in mm, both > 0.
type Size struct{ W, H float64 }

// Bin is a rectangle from (0, 0) to (W, H) to be filled; nothing is put on Taken.
// All lengths are mm.
type Bin struct {
	W, H  float64
	Taken []geom.Rect
}

// Place is where a rectangle came to lie: its lower left corner in its bin.
// Turned by 90 degrees it is H wide and W high.
type Place struct {
	Bin    int
	X, Y   float64
	Turned bool
}

// ErrFull says that some rectangle fits into no bin.
var ErrFull = errors.New("pack: a rectangle fits into no bin")

// MaxItems bounds one call, since the work grows with its square.
const MaxItems = 20000

// slack is the length in mm that counts as nothing (our choice: far below any print and
// far above the rounding of coordinates below 1 m).
const slack = 1e-7

// Rects places all items. bin gives bin 0, 1, 2, ... until it says false; a bin is
// opened when an item fits into none of those before it. turn allows 90 degrees.
// The fewest bins win, then the lowest top in the last bin, then the sum of all tops.
// It returns ErrFull when an item fits into no bin, or the context's error.
func Rects(ctx context.Context, items []Size, bin func(int) (Bin, bool), turn bool) ([]Place, error) {
	if len(items) == 0 {
		return nil, nil
	}
	if len(items) > MaxItems {
		return nil, ErrFull
	}
	var best attempt
	var bestOrder []int
	var bestRule rule
	for _, r := range rules {
		for _, by := range orders {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			order := sorted(items, by)
			a := fill(items, order, bin, turn, r)
			if a.ok && (bestOrder == nil || a.better(best)) {
				best, bestOrder, bestRule = a, order, r
			}
		}
	}
	if bestOrder == nil {
		return nil, ErrFull
	}
	// One round moves every item to the front of the order, as long as that helps.
	for budget := 4_000_000; budget > 0; {
		improved := false
		for k := 1; k < len(items) && budget > 0; k++ {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			for _, to := range [...]int{0, k / 2, k - 1} {
				order := slices.Clone(bestOrder)
				v := order[k]
				order = slices.Insert(slices.Delete(order, k, k+1), to, v)
				a := fill(items, order, bin, turn, bestRule)
				budget -= len(items) * len(items)
				if a.ok && a.better(best) {
					best, bestOrder, improved = a, order, true
				}
			}
		}
		if !improved {
			break
		}
	}
	return best.places, nil
}

// InOrder places the items in their own order, each into the first bin that has
// room for it; so what comes first decides what a bin is like. Errors as for Rects.
func InOrder(ctx context.Context, items []Size, bin func(int) (Bin, bool), turn bool) ([]Place, error) {
	if len(items) == 0 {
		return nil, nil
	}
	if len(items) > MaxItems {
		return nil, ErrFull
	}
	order := sorted(items, func(Size) float64 { return 0 })
	var best attempt
	for _, r := range rules {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if a := fill(items, order, bin, turn, r); a.ok && (!best.ok || a.better(best)) {
			best = a
		}
	}
	if !best.ok {
		return nil, ErrFull
	}
	return best.places, nil
}

// Top is the highest upper edge in a bin.
func Top(items []Size, places []Place, bin int) float64 {
	top := 0.0
	for i, p := range places {
		if p.Bin == bin {
			top = math.Max(top, p.Y+turned(items[i], p.Turned).H)
		}
	}
	return top
}

func turned(s Size, t bool) Size {
	if t {
		return Size{s.H, s.W}
	}
	return s
}

type attempt struct {
	ok     bool
	places []Place
	bins   int
	last   float64 // top in the last bin
	tops   float64 // sum of all tops
	fill   float64 // sum of squares of the upper edges: tells packings of equal height apart
}

func (a attempt) better(b attempt) bool {
	for _, d := range [...]float64{float64(a.bins - b.bins), a.last - b.last, a.tops - b.tops, a.fill - b.fill} {
		if math.Abs(d) > slack {
			return d < 0
		}
	}
	return false
}

// A rule scores a place in a free rectangle, lower is better.
type rule func(free geom.Rect, s Size) (float64, float64)

var rules = []rule{
	func(f geom.Rect, s Size) (float64, float64) { return f.Min.Y + s.H, f.Min.X },
	func(f geom.Rect, s Size) (float64, float64) { // shortest side left over
		a, b := f.W()-s.W, f.H()-s.H
		return math.Min(a, b), math.Max(a, b)
	},
	func(f geom.Rect, s Size) (float64, float64) { return f.Min.Y + s.H, f.W() - s.W },
}

var orders = []func(Size) float64{
	func(s Size) float64 { return s.W * s.H },
	func(s Size) float64 { return s.H },
	func(s Size) float64 { return s.W },
	func(s Size) float64 { return s.W + s.H },
	func(s Size) float64 { return math.Max(s.W, s.H) },
}

// sorted gives the items' indices, largest first.
func sorted(items []Size, by func(Size) float64) []int {
	order := make([]int, len(items))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch d := by(items[b]) - by(items[a]); {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	return order
}

func fill(items []Size, order []int, bin func(int) (Bin, bool), turn bool, r rule) attempt {
	a := attempt{places: make([]Place, len(items))}
	var free [][]geom.Rect
	for _, i := range order {
		done := false
		for b := 0; !done; b++ {
			if b == len(free) {
				next, ok := bin(b)
				if !ok {
					return a
				}
				free = append(free, open(next))
			}
			var p Place
			if p, done = choose(free[b], items[i], turn, r); done {
				p.Bin = b
				a.places[i] = p
				s := turned(items[i], p.Turned)
				free[b] = take(free[b], rect(p.X, p.Y, s))
				a.bins = max(a.bins, b+1)
				a.fill += (p.Y + s.H) * (p.Y + s.H)
			}
		}
	}
	tops := make([]float64, a.bins)
	for i, p := range a.places {
		tops[p.Bin] = math.Max(tops[p.Bin], p.Y+turned(items[i], p.Turned).H)
	}
	for _, t := range tops {
		a.tops += t
	}
	a.last, a.ok = tops[a.bins-1], true
	return a
}

func rect(x, y float64, s Size) geom.Rect {
	return geom.Rect{Min: geom.Vec{X: x, Y: y}, Max: geom.Vec{X: x + s.W, Y: y + s.H}}
}

func open(b Bin) []geom.Rect {
	free := []geom.Rect{rect(0, 0, Size{b.W, b.H})}
	for _, t := range b.Taken {
		free = take(free, t)
	}
	return free
}

func choose(free []geom.Rect, s Size, turn bool, r rule) (best Place, found bool) {
	var b1, b2 float64
	for _, f := range free {
		for t := range 2 {
			if t == 1 && (!turn || s.W == s.H) {
				break
			}
			q := turned(s, t == 1)
			if q.W > f.W()+slack || q.H > f.H()+slack {
				continue
			}
			v1, v2 := r(f, q)
			if !found || v1 < b1-slack || v1 < b1+slack && v2 < b2-slack {
				best, found = Place{X: f.Min.X, Y: f.Min.Y, Turned: t == 1}, true
				b1, b2 = v1, v2
			}
		}
	}
	return best, found
}

// take cuts t out of every free rectangle and keeps the largest of the rest.
func take(free []geom.Rect, t geom.Rect) []geom.Rect {
	var keep, cut []geom.Rect
	for _, f := range free {
		if t.Min.X >= f.Max.X-slack || t.Max.X <= f.Min.X+slack || t.Min.Y >= f.Max.Y-slack || t.Max.Y <= f.Min.Y+slack {
			keep = append(keep, f)
			continue
		}
		add := func(r geom.Rect) {
			if r.W() > slack && r.H() > slack {
				cut = append(cut, r)
			}
		}
		l, g, u, o := f, f, f, f
		l.Max.X, g.Min.X, u.Max.Y, o.Min.Y = t.Min.X, t.Max.X, t.Min.Y, t.Max.Y
		add(l)
		add(g)
		add(u)
		add(o)
	}
	// Only new rectangles can lie inside another one.
	for i, r := range cut {
		if slices.ContainsFunc(keep, func(k geom.Rect) bool { return holds(k, r) }) {
			continue
		}
		inside := false
		for j, q := range cut {
			if j != i && holds(q, r) && (!holds(r, q) || j < i) {
				inside = true
				break
			}
		}
		if !inside {
			keep = append(keep, r)
		}
	}
	return keep
}

func holds(a, b geom.Rect) bool {
	return a.Min.X <= b.Min.X+slack && a.Min.Y <= b.Min.Y+slack && a.Max.X >= b.Max.X-slack && a.Max.Y >= b.Max.Y-slack
}
