package master

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// alike is how many times larger a cell may be than the smallest piece in its row. Pieces
// that differ more start a new row, since one cell for both would waste the tray.
const alike = 1.3

// row is a row of cells of one size.
type row struct {
	units  []unit
	turns  []float64
	w, h   float64 // of a cell
	y      float64 // front of the row
	xs     []float64
	spread bool // no further cell would fit
}

// grid lays rows of cells: the first row at the back, read from left to right. Around
// pieces placed by hand it goes from the front, past what is in the way.
func (l *layout) grid(ctx context.Context, units []unit) ([][]Placed, error) {
	var trays [][]Placed
	_, depth := l.room()
	for t := 0; len(units) > 0 || t < len(l.hand); t++ {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if t >= MaxTrays {
			return nil, tooManyTrays()
		}
		hand := l.handOn(t)
		var taken []geom.Rect
		for _, p := range hand {
			taken = append(taken, shift(l.box(p), -l.c.MarginMM, -l.c.MarginMM))
		}
		var rows []row
		for y := 0.0; len(units) > 0; {
			r := l.nextRow(units, y, depth, taken)
			if len(r.units) == 0 {
				next := l.above(y, taken)
				if next <= y {
					break
				}
				y = next
				continue
			}
			rows = append(rows, r)
			units = units[len(r.units):]
			y += r.h + l.c.GapMM
		}
		on := append([]Placed(nil), hand...)
		if len(hand) == 0 {
			tidy(rows)
		}
		trays = append(trays, append(on, l.settleRows(rows, len(hand) == 0)...))
	}
	return trays, nil
}

func tooManyTrays() error {
	return &finding.Error{Key: "master", Found: fmt.Sprintf("more than %d trays", MaxTrays), Do: "larger trays, or fewer cavities and more fillings of the mould"}
}

// nextRow is as long a row as fits at y; it has no units when none fits.
func (l *layout) nextRow(units []unit, y, depth float64, taken []geom.Rect) row {
	width, _ := l.room()
	r := row{y: y}
	smallW, smallH := math.Inf(1), math.Inf(1)
	for _, u := range units {
		b, deg := l.boxes[u.item][0], 0.0
		if !fits(b, width, depth) {
			b, deg = l.boxes[u.item][1], 90
		}
		w, h := math.Max(r.w, b.W()), math.Max(r.h, b.H())
		smallW, smallH = math.Min(smallW, b.W()), math.Min(smallH, b.H())
		if w > alike*smallW || h > alike*smallH || y+h > depth+fitMM {
			break
		}
		xs := l.cells(y, w, h, width, taken)
		if len(xs) <= len(r.units) {
			r.spread = true
			break
		}
		r.units, r.turns, r.w, r.h, r.xs = append(r.units, u), append(r.turns, deg), w, h, xs
	}
	r.xs = r.xs[:len(r.units)]
	return r
}

// cells gives the left edges of the cells w x h that fit at y beside what is taken.
func (l *layout) cells(y, w, h, width float64, taken []geom.Rect) []float64 {
	var xs []float64
	gap := l.c.GapMM
next:
	for x := 0.0; x+w <= width+fitMM; {
		for _, t := range taken {
			if near(geom.Rect{Min: geom.Vec{X: x, Y: y}, Max: geom.Vec{X: x + w, Y: y + h}}, t, gap-fitMM) {
				x = t.Max.X + gap
				continue next
			}
		}
		xs = append(xs, x)
		x += w + gap
	}
	return xs
}

// above is the next height at which a row may find room: just past something taken.
func (l *layout) above(y float64, taken []geom.Rect) float64 {
	next := math.Inf(1)
	for _, t := range taken {
		if top := t.Max.Y + l.c.GapMM; top > y {
			next = math.Min(next, top)
		}
	}
	if math.IsInf(next, 1) {
		return y
	}
	return next
}

// tidy spreads full rows over the width of the longest, lines a shorter row up with
// the columns of the row before it, and centres what has no such columns.
func tidy(rows []row) {
	width := 0.0
	for _, r := range rows {
		width = math.Max(width, r.xs[len(r.xs)-1]+r.w)
	}
	for i := range rows {
		r := &rows[i]
		n := len(r.xs)
		used := r.xs[n-1] + r.w
		switch {
		case r.spread && n > 1 && width > used:
			for k := range r.xs {
				r.xs[k] += (width - used) * float64(k) / float64(n-1)
			}
		case i > 0 && rows[i-1].w == r.w && len(rows[i-1].xs) >= n:
			copy(r.xs, rows[i-1].xs)
		default:
			for k := range r.xs {
				r.xs[k] += (width - used) / 2
			}
		}
	}
}

// settleRows turns rows into places: each piece in the middle of its cell. backFirst
// puts the first row at the back.
func (l *layout) settleRows(rows []row, backFirst bool) []Placed {
	var on []Placed
	m := l.c.MarginMM
	for _, r := range rows {
		y := r.y
		if backFirst {
			last := rows[len(rows)-1]
			y = last.y + last.h - r.y - r.h
		}
		for k, u := range r.units {
			b := l.boxes[u.item][0]
			if r.turns[k] == 90 {
				b = l.boxes[u.item][1]
			}
			on = append(on, l.put(u, m+r.xs[k]+(r.w-b.W())/2, m+y+(r.h-b.H())/2, r.turns[k]))
		}
	}
	return on
}
