package field

import (
	"context"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
)

// MaxBall bounds the radius of ErodeBall in samples, and with it the work (our choice:
// four to six mm at a printer's half pixel, more than any shell).
const MaxBall = 256

// ErodeBall is the surface of the solid under f moved inwards by rMM, measured
// square to the surface: where the centre of a ball of that radius can at most
// rise without the ball coming out of the solid,
//
//	z'(p) = min over |d| <= r of f(p + d) - sqrt(r² - |d|²)
//
// over the samples of the grid; beyond the grid the values of its rim go on. It is
// the erosion by a ball of grey-scale morphology (Sternberg, 1986), exact on the
// grid and computed in float32.
//
// Errors: a *finding.Error for a grid that Check refuses or a radius below 0 or
// above MaxBall samples; the context's error.
func ErodeBall(ctx context.Context, f *Field, rMM float64) (*Field, error) {
	if err := f.Check(); err != nil {
		return nil, err
	}
	if !(rMM >= 0 && rMM <= MaxBall*f.PitchMM) {
		return nil, &finding.Error{Key: "ball", Found: fmt.Sprintf("a radius of %g mm on samples of %g mm", rMM, f.PitchMM),
			Allowed: fmt.Sprintf("0 to %g mm there (%d samples)", MaxBall*f.PitchMM, MaxBall),
			Do:      "choose a coarser pitch or a smaller radius"}
	}
	b := newBall(f, rMM)
	out := New(f.Grid)
	err := forBands(ctx, (f.H+tile-1)/tile, 1, func(t, _ int) { b.erode(out, t) })
	if err != nil {
		return nil, err
	}
	return out, nil
}

// tile is the side of the squares of samples that are judged together (our choice:
// a row of one lies in a line of the processor's cache).
const tile = 8

// ball holds what all rows of tiles share: the field, carried on beyond its rim
// by n samples and up to whole tiles; the least value of each tile; and the heights of the
// ball above its centre by whole samples, negative outside.
type ball struct {
	n      int // radius in samples, rounded down
	r2     float64
	pitch  float64
	pad    int // tiles added at the left and at the bottom
	tw, th int // tiles of the padded field
	z      []float32
	low    []float32
	height []float32 // (2n+1)², d = (0, 0) in the middle
}

func newBall(f *Field, rMM float64) *ball {
	b := &ball{n: int(rMM/f.PitchMM + 1e-9), r2: rMM * rMM, pitch: f.PitchMM}
	b.pad = (b.n + tile - 1) / tile
	b.tw, b.th = (f.W+tile-1)/tile+2*b.pad, (f.H+tile-1)/tile+2*b.pad
	w := b.tw * tile
	b.z, b.low = make([]float32, w*b.th*tile), make([]float32, b.tw*b.th)
	for i := range b.low {
		b.low[i] = float32(math.Inf(1))
	}
	for j := range b.th * tile {
		src := f.Row(min(max(j-b.pad*tile, 0), f.H-1))
		row := b.z[j*w : (j+1)*w]
		for i := range row {
			v := src[min(max(i-b.pad*tile, 0), f.W-1)]
			row[i] = v
			k := j/tile*b.tw + i/tile
			b.low[k] = min(b.low[k], v)
		}
	}
	side := 2*b.n + 1
	b.height = make([]float32, side*side)
	for j := range side {
		for i := range side {
			x, y := float64(i-b.n)*f.PitchMM, float64(j-b.n)*f.PitchMM
			h := float32(-1)
			if rest := b.r2*(1+1e-12) - x*x - y*y; rest >= 0 {
				h = float32(math.Sqrt(rest))
			}
			b.height[j*side+i] = h
		}
	}
	return b
}

// erode does row t of the tiles of out. For each tile the tiles within reach are
// taken by what they could give at best: their least value, less the height of
// the ball over the nearest pair of samples. Once that is no better than what
// every sample has, the rest is left.
func (b *ball) erode(out *Field, t int) {
	type source struct {
		bound  float32
		ti, tj int
	}
	var list []source
	w := b.tw * tile
	for s := 0; s*tile < out.W; s++ {
		ci, cj := s+b.pad, t+b.pad // this tile in the padded field
		list = list[:0]
		for tj := cj - b.pad; tj <= cj+b.pad; tj++ {
			for ti := ci - b.pad; ti <= ci+b.pad; ti++ {
				if h, ok := b.above(gap(ti-ci), gap(tj-cj)); ok {
					list = append(list, source{b.low[tj*b.tw+ti] - h, ti, tj})
				}
			}
		}
		slices.SortFunc(list, func(p, q source) int {
			switch {
			case p.bound < q.bound:
				return -1
			case p.bound > q.bound:
				return 1
			case p.tj != q.tj:
				return p.tj - q.tj
			}
			return p.ti - q.ti
		})
		var best [tile][tile]float32
		top := float32(math.Sqrt(b.r2))
		for j := range tile {
			for i := range tile {
				best[j][i] = b.z[(cj*tile+j)*w+ci*tile+i] - top
			}
		}
		worst := highest(&best)
		for _, c := range list {
			if c.bound >= worst {
				break
			}
			low := b.low[c.tj*b.tw+c.ti]
			for j := range tile {
				for i := range tile {
					b.lower(&best[j][i], ci*tile+i, cj*tile+j, c.ti, c.tj, low)
				}
			}
			worst = highest(&best)
		}
		for j := t * tile; j < min(out.H, (t+1)*tile); j++ {
			copy(out.Row(j)[s*tile:], best[j-t*tile][:])
		}
	}
}

// lower lowers best, the value at sample (x, y) of the padded field, by what the
// samples of one tile ask for; low is their least value.
func (b *ball) lower(best *float32, x, y, ti, tj int, low float32) {
	i0, i1 := max(ti*tile, x-b.n), min(ti*tile+tile-1, x+b.n)
	j0, j1 := max(tj*tile, y-b.n), min(tj*tile+tile-1, y+b.n)
	if i0 > i1 || j0 > j1 {
		return
	}
	side := 2*b.n + 1
	// The nearest sample of the tile decides what it could give.
	nx, ny := min(max(x, i0), i1), min(max(y, j0), j1)
	if h := b.height[(ny-y+b.n)*side+nx-x+b.n]; h < 0 || low-h >= *best {
		return
	}
	w := b.tw * tile
	v := *best
	for j := j0; j <= j1; j++ {
		z := b.z[j*w+i0 : j*w+i1+1]
		h := b.height[(j-y+b.n)*side+i0-x+b.n:]
		h = h[:len(z)]
		for i, zi := range z {
			if h[i] >= 0 {
				v = min(v, zi-h[i])
			}
		}
	}
	*best = v
}

// above is the height of the ball over di and dj samples away from its centre.
func (b *ball) above(di, dj int) (float32, bool) {
	if di > b.n || dj > b.n {
		return 0, false
	}
	h := b.height[(dj+b.n)*(2*b.n+1)+di+b.n]
	return h, h >= 0
}

// gap is the least distance in samples between two tiles that lie d tiles apart.
func gap(d int) int {
	switch {
	case d > 0:
		return d*tile - tile + 1
	case d < 0:
		return -d*tile - tile + 1
	}
	return 0
}

func highest(v *[tile][tile]float32) float32 {
	h := v[0][0]
	for j := range v {
		for _, z := range v[j] {
			h = max(h, z)
		}
	}
	return h
}
