package master

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"mouldwright/internal/base/geom"
)

// keepMM is the base left between a cut or a key and a piece: about the thinnest
// wall that a resin print keeps straight (common practice, no source).
const keepMM = 0.8

// stripMM is the narrowest strip of bare base that is worth a tile of its own (our choice: a
// narrower one breaks off while it is cleaned).
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
// cuts from side to side that run between pieces: it tries strips across and strips
// along, with cuts anywhere in their gaps, and every nesting of cuts in the middle of
// gaps. It returns nil when there is no way, and an error only when cancelled.
func (l *layout) cut(ctx context.Context, t Tray) ([]geom.Rect, error) {
	w, d := l.plate()
	c := &cutter{ctx: ctx, base: l.base(t.WidthMM, t.DepthMM), w: w, d: d, clear: l.c.ClearMM, memo: map[geom.Rect]cutting{}}
	for _, p := range t.Placed {
		c.pieces = append(c.pieces, l.box(p))
	}
	best, err := c.solve(c.base)
	if err != nil && !errors.Is(err, errCuttings) {
		return nil, err
	}
	if best.n > 0 {
		best.tiles = c.collect(c.base, nil)
	}
	if best.n != 1 {
		for _, upright := range [...]bool{true, false} {
			if s := c.strips(upright); s.better(best) {
				best = s
			}
		}
	}
	return best.tiles, ctx.Err()
}

// maxCuttings bounds the search for nested cuts (our choice: a second; 20 x 20 pieces need
// 44,100). Beyond that strips must do.
const maxCuttings = 60_000

var errCuttings = errors.New("master: too many ways to cut a tray")

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
	tiles   []geom.Rect // of the whole base
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
		return cutting{}, errCuttings
	}
	var best cutting
	for _, upright := range [...]bool{true, false} {
		for _, at := range c.lines(r, upright, false) {
			a, b, length := halves(r, upright, at.at)
			if best.n > 0 && c.least(a)+c.least(b) > best.n {
				continue
			}
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

// least is the smallest number of tiles that a rectangle's area allows.
func (c *cutter) least(r geom.Rect) int {
	return max(1, int(math.Ceil(r.W()*r.H()/(c.w*c.d)-fitMM)))
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

// lines gives the places of cuts across r: the middle of every gap that runs right
// through it, and with anywhere also its two ends and beside the frame. A cut leaves
// room for its tabs before the next piece where the gap has it; else it is tight.
func (c *cutter) lines(r geom.Rect, upright, anywhere bool) []line {
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
	if !anywhere {
		return at // in order, since gaps are
	}
	for _, g := range gaps {
		at = append(at, c.line(g.lo, g.hi, g.hi, true), line{g.lo, c.tight(g.hi - g.lo), true}, line{g.hi, true, true})
	}
	slices.SortFunc(at, func(a, b line) int { return cmp.Compare(a.at, b.at) })
	return slices.CompactFunc(at, func(a, b line) bool { return math.Abs(a.at-b.at) < fitMM })
}

// strips cuts the base into strips in one direction and each strip in the other, with
// the fewest tiles: in each direction the best cuts up to a line are the best up to an
// earlier line and one more strip.
func (c *cutter) strips(upright bool) cutting {
	return c.along(c.base, upright, func(strip geom.Rect) cutting {
		return c.along(strip, !upright, func(tile geom.Rect) cutting {
			if !c.fits(tile) {
				return cutting{}
			}
			return cutting{n: 1, largest: tile.W() * tile.H(), tiles: []geom.Rect{tile}}
		})
	})
}

// along cuts r at some of its lines and gives each part to cost.
func (c *cutter) along(r geom.Rect, upright bool, cost func(geom.Rect) cutting) cutting {
	lines := c.lines(r, upright, true)
	best := make([]cutting, len(lines)+1) // up to each line, then up to the end
	for i := range best {
		upTo := r
		if i < len(lines) {
			upTo, _, _ = halves(r, upright, lines[i].at)
		}
		best[i] = cost(upTo)
		for j := range i {
			if best[j].n == 0 || best[i].n > 0 && best[j].n >= best[i].n {
				continue
			}
			_, part, length := halves(upTo, upright, lines[j].at)
			q := cost(part)
			if q.n == 0 {
				continue
			}
			q.n, q.tight, q.forced = q.n+best[j].n, q.tight+best[j].tight, q.forced+best[j].forced
			if lines[j].tight {
				q.tight++
			}
			if lines[j].forced {
				q.forced++
			}
			q.largest, q.length = math.Max(q.largest, best[j].largest), q.length+best[j].length+length
			q.tiles = append(slices.Clone(best[j].tiles), q.tiles...)
			if q.better(best[i]) {
				best[i] = q
			}
		}
	}
	return best[len(lines)]
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
