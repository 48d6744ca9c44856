package master

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// keepMM is the base left between a cut or a key and a piece: about the thinnest
// wall that a resin print keeps straight (common practice, no source).
const keepMM = 0.8

// stripMM is the narrowest strip of bare base that is worth a tile of its own.
const stripMM = 6

// edgeMM is how far the base reaches beyond the frame's inside, into the panels' grooves.
func edgeMM(c Choices) float64 {
	if c.Frame == "printed" {
		return grooveMM - c.ClearMM
	}
	return 0
}

// base is the base's rectangle in the tray's coordinates.
func (l *layout) base(w, d float64) geom.Rect {
	return geom.Rect{Max: geom.Vec{X: w, Y: d}}.Grow(edgeMM(l.c))
}

// plate is the build plate as the part sees it before it is grown for the resin.
func (l *layout) plate() (w, d float64) {
	s := 1 - l.print.ResinShrink
	return l.print.PlateWidthMM * s, l.print.PlateDepthMM * s
}

// cut divides a tray into the fewest tiles that the build plate takes, by straight
// cuts from side to side that run between pieces. It returns nil and a Stop finding
// when there is no way, and an error only when cancelled or over the limit.
func (l *layout) cut(ctx context.Context, t Tray) ([]geom.Rect, error) {
	w, d := l.plate()
	c := &cutter{ctx: ctx, base: l.base(t.WidthMM, t.DepthMM), w: w, d: d, clear: l.c.ClearMM, memo: map[geom.Rect]cutting{}}
	for _, p := range t.Placed {
		c.pieces = append(c.pieces, l.box(p))
	}
	best, err := c.solve(c.base)
	if err != nil {
		return nil, err
	}
	if best.n == 0 {
		return nil, nil
	}
	return c.collect(c.base, nil), nil
}

// maxCuttings bounds the search; a tray of 40 x 40 pieces needs about 700,000.
const maxCuttings = 1_000_000

type cutter struct {
	ctx    context.Context
	base   geom.Rect
	pieces []geom.Rect
	w, d   float64 // of the plate
	clear  float64
	memo   map[geom.Rect]cutting
}

// cutting is the best way to cut a rectangle: in n tiles (0 for none).
type cutting struct {
	n       int
	tight   int     // cuts without room for keys beside a piece
	forced  int     // cuts out of the middle of their gap
	largest float64 // area of the largest tile
	length  float64 // of all cuts
	upright bool    // the first cut runs from front to back, at x = at
	at      float64
}

func (a cutting) better(b cutting) bool {
	switch {
	case a.n == 0 || b.n == 0:
		return a.n > 0
	case a.n != b.n:
		return a.n < b.n
	case a.tight != b.tight:
		return a.tight < b.tight
	case a.forced != b.forced:
		return a.forced < b.forced
	case math.Abs(a.largest-b.largest) > 1:
		return a.largest < b.largest
	}
	return a.length < b.length-fitMM
}

// fits tells whether the plate takes a tile, with the tabs on its right and back cuts.
func (c *cutter) fits(r geom.Rect) bool {
	w, h := r.W(), r.H()
	if r.Max.X < c.base.Max.X {
		w += tabMM
	}
	if r.Max.Y < c.base.Max.Y {
		h += tabMM
	}
	return w <= c.w+fitMM && h <= c.d+fitMM || h <= c.w+fitMM && w <= c.d+fitMM
}

func (c *cutter) solve(r geom.Rect) (cutting, error) {
	if c.fits(r) {
		return cutting{n: 1, largest: r.W() * r.H()}, nil
	}
	if known, ok := c.memo[r]; ok {
		return known, nil
	}
	if err := c.ctx.Err(); err != nil {
		return cutting{}, err
	}
	if len(c.memo) >= maxCuttings {
		return cutting{}, &finding.Error{Key: "master", Found: fmt.Sprintf("more than %d ways to cut a tray into tiles", maxCuttings), Do: "a smaller tray (master.width_mm, master.depth_mm)"}
	}
	var best cutting
	for _, upright := range [...]bool{true, false} {
		for _, at := range c.lines(r, upright) {
			a, b, length := halves(r, upright, at.at)
			ca, err := c.solve(a)
			if err != nil {
				return cutting{}, err
			}
			if ca.n == 0 || best.n > 0 && ca.n >= best.n { // b is at least one more
				continue
			}
			cb, err := c.solve(b)
			if err != nil {
				return cutting{}, err
			}
			if cb.n == 0 {
				continue
			}
			both := cutting{n: ca.n + cb.n, tight: ca.tight + cb.tight, forced: ca.forced + cb.forced, largest: math.Max(ca.largest, cb.largest), length: ca.length + cb.length + length, upright: upright, at: at.at}
			if at.tight {
				both.tight++
			}
			if at.forced {
				both.forced++
			}
			if both.better(best) {
				best = both
			}
		}
	}
	c.memo[r] = best
	return best, nil
}

func halves(r geom.Rect, upright bool, at float64) (a, b geom.Rect, length float64) {
	a, b = r, r
	if upright {
		a.Max.X, b.Min.X = at, at
		return a, b, r.H()
	}
	a.Max.Y, b.Min.Y = at, at
	return a, b, r.W()
}

// lines gives the places of cuts across r: in every gap that runs right through it,
// and where a tile on either side is as large as the plate allows. A cut leaves room
// for its tabs before the next piece where the gap has it; else it is tight.
func (c *cutter) lines(r geom.Rect, upright bool) []line {
	lo, hi := r.Min.Y, r.Max.Y
	if upright {
		lo, hi = r.Min.X, r.Max.X
	}
	var spans []span
	for _, p := range c.pieces {
		if m := p.Center(); m.X < r.Min.X || m.X > r.Max.X || m.Y < r.Min.Y || m.Y > r.Max.Y {
			continue
		}
		if upright {
			spans = append(spans, span{p.Min.X - keepMM, p.Max.X + keepMM})
		} else {
			spans = append(spans, span{p.Min.Y - keepMM, p.Max.Y + keepMM})
		}
	}
	slices.SortFunc(spans, func(a, b span) int { return cmp.Compare(a.lo, b.lo) })
	var at []line
	var gaps []span
	end := lo + stripMM
	for i, s := range append(spans, span{hi - stripMM, hi}) {
		if s.lo > end {
			gaps = append(gaps, span{end, s.lo})
			if i > 0 && i < len(spans) {
				at = append(at, c.line(end, s.lo, (end+s.lo)/2, false))
			}
		}
		end = math.Max(end, s.hi)
	}
	for _, limit := range [...]float64{c.w, c.d} {
		for _, g := range slices.Backward(gaps) {
			if x := lo + limit - tabMM; g.lo <= x {
				at = append(at, c.line(g.lo, g.hi, math.Min(x, g.hi), true), line{math.Min(x, g.hi), c.tight(g.hi - x), true})
				break
			}
		}
		for _, g := range gaps {
			if x := hi - limit; g.hi >= x {
				x = math.Max(x, g.lo)
				at = append(at, line{x, c.tight(g.hi - x), true})
				break
			}
		}
	}
	slices.SortFunc(at, func(a, b line) int { return cmp.Compare(a.at, b.at) })
	return slices.Compact(at)
}

// line is a place for a cut.
type line struct {
	at     float64
	tight  bool // no room for tabs beside the next piece
	forced bool // not in the middle of its gap
}

// line moves x back within its gap until a whole tab has room.
func (c *cutter) line(lo, hi, x float64, forced bool) line {
	x = math.Max(lo, math.Min(x, hi-tabMM-c.clear))
	return line{x, c.tight(hi - x), forced}
}

func (c *cutter) tight(room float64) bool {
	return room < tabDepths[len(tabDepths)-1]+c.clear-fitMM
}

// span is a stretch along an axis.
type span struct{ lo, hi float64 }

func (c *cutter) collect(r geom.Rect, out []geom.Rect) []geom.Rect {
	cut, ok := c.memo[r]
	if !ok {
		return append(out, r)
	}
	a, b, _ := halves(r, cut.upright, cut.at)
	return c.collect(b, c.collect(a, out))
}
