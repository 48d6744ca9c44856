package artwork

import (
	"context"
	"math"

	"mouldwright/internal/base/field"
)

// tap is one output sample of a filter along a row or column: the sum of inputs
// from index from on, times the weights.
type tap struct {
	from int
	w    []float32
}

// areaTaps resamples n pixels of width 1 (pixel k from k to k+1). Output i is the
// mean of the picture over the width around its centre, where the picture is taken
// as linear between pixel centres and constant beyond the outermost. So nothing
// aliases when there are fewer outputs than pixels, ramps stay ramps when there are
// more, and constants stay constant.
func areaTaps(n, out int, centre func(i int) float64, width float64) []tap {
	// hat is the integral from -infinity to x of the hat function of half-width 1.
	hat := func(x float64) float64 {
		switch {
		case x <= -1:
			return 0
		case x >= 1:
			return 1
		case x < 0:
			return (1 + x) * (1 + x) / 2
		}
		return 1 - (1-x)*(1-x)/2
	}
	taps := make([]tap, out)
	for i := range taps {
		c := centre(i) - 0.5 // in pixel indices
		a, b := c-width/2, c+width/2
		taps[i] = gather(n, int(math.Floor(a-1)), int(math.Ceil(b+1)), func(k int) float64 {
			return hat(b-float64(k)) - hat(a-float64(k))
		})
	}
	return taps
}

// gaussTaps smooths n samples by a normal curve of the given standard deviation in
// samples, cut at four of them; beyond the ends the outermost sample goes on.
func gaussTaps(n int, sigma float64) []tap {
	r := int(math.Ceil(4 * sigma))
	taps := make([]tap, n)
	for i := range taps {
		taps[i] = gather(n, i-r, i+r, func(k int) float64 {
			d := float64(k-i) / sigma
			return math.Exp(-d * d / 2)
		})
	}
	return taps
}

// gather collects weights of the indices lo..hi, moves those beyond 0..n-1 to the
// ends, and makes their sum 1.
func gather(n, lo, hi int, weight func(k int) float64) tap {
	from, to := min(max(lo, 0), n-1), min(max(hi, 0), n-1)
	w := make([]float64, to-from+1)
	sum := 0.0
	for k := lo; k <= hi; k++ {
		v := weight(k)
		w[min(max(k, from), to)-from] += v
		sum += v
	}
	t := tap{from, make([]float32, len(w))}
	for i, v := range w {
		t.w[i] = float32(v / sum)
	}
	return t
}

// plane is samples in rows, in the order its user means.
type plane struct {
	w, h int
	v    []float32
}

func newPlane(w, h int) plane { return plane{w, h, make([]float32, w*h)} }

func (p plane) row(y int) []float32 { return p.v[y*p.w : (y+1)*p.w : (y+1)*p.w] }

// filter applies xs along the rows, then ys along the columns.
func (p plane) filter(ctx context.Context, xs, ys []tap) (plane, error) {
	mid := newPlane(len(xs), p.h)
	err := field.ForRows(ctx, p.h, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			in, out := p.row(y), mid.row(y)
			for i, t := range xs {
				s := float32(0)
				part := in[t.from : t.from+len(t.w)]
				for k, w := range t.w {
					s += w * part[k]
				}
				out[i] = s
			}
		}
	})
	if err != nil {
		return plane{}, err
	}
	out := newPlane(len(xs), len(ys))
	err = field.ForRows(ctx, out.h, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			to := out.row(y)
			for k, w := range ys[y].w {
				for x, v := range mid.row(ys[y].from + k) {
					to[x] += w * v
				}
			}
		}
	})
	return out, err
}

// smooth is filter by a normal curve, sigma in samples; below a fifth of a sample
// nothing would change by more than a thousandth.
func (p plane) smooth(ctx context.Context, sigma float64) (plane, error) {
	if sigma < 0.2 {
		return p, nil
	}
	return p.filter(ctx, gaussTaps(p.w, sigma), gaussTaps(p.h, sigma))
}
