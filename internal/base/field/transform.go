package field

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
)

// MaxSide bounds the sides of a grid in the distance transform, so that squared
// distances fit in 32 bits: 2 * 32766² < 2³¹.
const MaxSide = 32766

// Distance is the exact Euclidean distance transform: for each sample the
// distance in mm to the nearest sample that is on, within one unit in the last
// place of float32; 0 on samples that are on, +Inf everywhere in an empty mask.
//
// Errors: a *finding.Error for a grid that Check refuses or with a side above
// MaxSide; the context's error.
func Distance(ctx context.Context, m *Mask) (*Field, error) {
	if err := checkSides(m.Grid); err != nil {
		return nil, err
	}
	f := New(m.Grid)
	pitch := float32(m.PitchMM)
	err := transform(ctx, m, func(j int, d []int32) {
		row := f.Row(j)
		for i, v := range d {
			row[i] = pitch * float32(math.Sqrt(float64(float32(v))))
		}
		if d[0] == math.MaxInt32 { // an empty mask: all or none
			for i := range row {
				row[i] = float32(math.Inf(1))
			}
		}
	})
	if err != nil {
		return nil, err
	}
	return f, nil
}

// SquaredDistance is Distance squared and counted in samples, which is a whole
// number: exact. It is math.MaxInt32 everywhere in an empty mask. Row-major.
// Errors are as for Distance.
func SquaredDistance(ctx context.Context, m *Mask) ([]int32, error) {
	if err := checkSides(m.Grid); err != nil {
		return nil, err
	}
	out := make([]int32, len(m.On))
	err := transform(ctx, m, func(j int, d []int32) { copy(out[j*m.W:], d) })
	if err != nil {
		return nil, err
	}
	return out, nil
}

func checkSides(g Grid) error {
	if err := g.Check(); err != nil {
		return err
	}
	if g.W > MaxSide || g.H > MaxSide {
		return &finding.Error{Key: "grid", Found: fmt.Sprintf("%d x %d samples", g.W, g.H),
			Allowed: fmt.Sprintf("sides of at most %d samples", MaxSide),
			Do:      "choose a coarser pitch or a smaller size"}
	}
	return nil
}

// none is the distance along a column without a sample that is on (our
// choice: longer than any there is).
const none = MaxSide + 1

// transform gives each row of squared distances to emit, from several cores.
//
// Two passes, after Meijster, Roerdink and Hesselink (2000): along the columns
// the distance to the nearest sample that is on; then along each row the lower
// envelope of the parabolas (x-i)² + column distance², one for each i.
func transform(ctx context.Context, m *Mask, emit func(j int, d []int32)) error {
	w, h := m.W, m.H
	g := make([]uint16, w*h)
	// Columns in blocks that stay in the cache while they are gone down and up.
	const block = 256
	err := forBands(ctx, (w+block-1)/block, 1, func(b, _ int) {
		columns(m, g, b*block, min(w, (b+1)*block))
	})
	if err != nil {
		return err
	}
	inverse := make([]float64, w) // 1/2n: a product is faster than a division
	for n := 1; n < w; n++ {
		inverse[n] = 1 / float64(2*n)
	}
	return ForRows(ctx, h, func(j0, j1 int) {
		e := envelope{inverse: inverse, at: make([]int32, w), height: make([]int32, w), from: make([]int32, w+1), out: make([]int32, w)}
		for j := j0; j < j1; j++ {
			e.row(g[j*w : (j+1)*w])
			emit(j, e.out)
		}
	})
}

// columns gives g, in columns i0..i1-1, the distance to the nearest sample that
// is on in the same column.
func columns(m *Mask, g []uint16, i0, i1 int) {
	w, h := m.W, m.H
	above := make([]uint16, i1-i0)
	for i := range above {
		above[i] = none
	}
	for j := 0; j < h; j++ {
		row := g[j*w+i0 : j*w+i1]
		down(row, above, m.On[j*w+i0:j*w+i1])
		above = row
	}
	for j := h - 2; j >= 0; j-- {
		up(g[j*w+i0:j*w+i1], g[(j+1)*w+i0:(j+1)*w+i1])
	}
}

func down(row, above []uint16, on []bool) {
	above, on = above[:len(row)], on[:len(row)]
	for i := range row {
		v := min(above[i]+1, none)
		if on[i] {
			v = 0
		}
		row[i] = v
	}
}

func up(row, below []uint16) {
	below = below[:len(row)]
	for i, v := range row {
		row[i] = min(v, below[i]+1)
	}
}

// envelope is the working memory of one row: parabola k of the stack stands at
// at[k], begins to be the lowest at from[k], and has the given height.
type envelope struct {
	inverse          []float64
	at, height, from []int32
	out              []int32
}

// row puts the squared distances of a row into e.out. Samples that are on cut
// the row into runs that do not see each other: across one of them nothing is
// nearer than itself.
func (e *envelope) row(g []uint16) {
	for i := 0; i < len(g); {
		if g[i] == 0 {
			e.out[i] = 0
			i++
			continue
		}
		end := i + 1
		for end < len(g) && g[end] != 0 {
			end++
		}
		e.run(g, i, end)
		i = end
	}
}

// run does the samples i..end-1, which are off; those before and after are on,
// unless they lie outside the row.
func (e *envelope) run(g []uint16, i, end int) {
	at, height, from, inverse := e.at, e.height, e.from, e.inverse
	first, last, highest := i, end, int32(none)
	if i > 0 {
		first = i - 1
	}
	if end < len(g) {
		last = end + 1
	}
	if i > 0 && end < len(g) {
		// Nothing in between is farther than half the run from its ends.
		highest = int32(end-i)/2 + 1
	}
	q := -1
	for u := int32(first); u < int32(last); u++ {
		h := int32(g[u])
		if h >= highest {
			continue
		}
		h *= h
		for q >= 0 {
			a, b := from[q]-at[q], from[q]-u
			if a*a+height[q] <= b*b+h {
				break
			}
			q--
		}
		if q < 0 {
			q = 0
			at[0], height[0], from[0] = u, h, int32(first)
			continue
		}
		s := at[q]
		// Where the two meet; never before from[q]. Rounding can only move a meeting
		// on a sample, where both are equal.
		n := float64(int64(u-s)*int64(u+s) + int64(h-height[q]))
		if x := int32(n*inverse[u-s]) + 1; x < int32(last) {
			q++
			at[q], height[q], from[q] = u, h, x
		}
	}
	if q < 0 { // nothing is on
		for k := i; k < end; k++ {
			e.out[k] = math.MaxInt32
		}
		return
	}
	from[q+1] = int32(last)
	for k := 0; k <= q; k++ {
		s, h := at[k], height[k]
		lo, hi := max(from[k], int32(i)), min(from[k+1], int32(end))
		if lo >= hi {
			continue
		}
		out := e.out[lo:hi]
		d := lo - s
		for x := range out {
			out[x] = d*d + h
			d++
		}
	}
}
