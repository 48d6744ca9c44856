package artwork

import (
	"context"
	"math"

	"mouldwright/internal/base/field"
)

// Local contrast by local Laplacian filtering (S. Paris, S. Hasinoff, J. Kautz,
// "Local Laplacian filters", ACM Trans. Graphics 30 (2011) 68) in its fast form (M.
// Aubry and others, "Fast local Laplacian filters", ACM Trans. Graphics 33 (2014) 167).
//
// For each brightness g the picture is bent around g: differences well below
// edgeContrast are multiplied by gain, those well above it by press. The Laplacian
// pyramid of the result takes, at each place and scale, its coefficient from the
// picture bent around the brightness found there. As every coefficient comes from
// one bent picture, in which a step stays a step, no bright and dark rims (halos)
// grow along edges, as they do when detail is what a blur leaves.
//
// The bend grows with brightness as long as press is at least 0.446 (= 2 exp(-3/2))
// of gain - press, so that no dark place overtakes a brighter one beside it.
const (
	edgeContrast = 0.1  // of brightness, where a difference counts as an edge
	fullGain     = 2.0  // of small differences, at full contrast
	fullPress    = 0.65 // of large differences, at full contrast
	references   = 11   // brightnesses g: spaced by edgeContrast, between them linear
	leastLevel   = 8    // samples; the pyramid ends before a side falls below
)

// strengthen changes the local contrast of p in place; 0 changes nothing, 1 the most.
func strengthen(ctx context.Context, p plane, c float64) error {
	gauss, err := pyramid(ctx, p)
	if err != nil {
		return err
	}
	gain, press := 1+(fullGain-1)*c, 1-(1-fullPress)*c
	last := len(gauss) - 1
	out := make([]plane, last)
	for l := range out {
		out[l] = newPlane(gauss[l].w, gauss[l].h)
	}
	low, high := float32(1), float32(0)
	for _, v := range p.v {
		low, high = min(low, v), max(high, v)
	}
	const space = 1.0 / (references - 1)
	for k := range references {
		g := float32(k) * space
		if last == 0 || g < low-space || g > high+space {
			continue
		}
		bent, err := p.bend(ctx, g, gain, press)
		if err != nil {
			return err
		}
		for l := range last {
			coarse, err := bent.down(ctx)
			if err != nil {
				return err
			}
			blur, err := coarse.up(ctx, bent.w, bent.h)
			if err != nil {
				return err
			}
			to, at := out[l], gauss[l]
			err = field.ForRows(ctx, to.h, func(y0, y1 int) {
				for i := y0 * to.w; i < y1*to.w; i++ {
					if w := 1 - float32(math.Abs(float64(at.v[i]-g)))*(references-1); w > 0 {
						to.v[i] += w * (bent.v[i] - blur.v[i])
					}
				}
			})
			if err != nil {
				return err
			}
			bent = coarse
		}
	}
	sum := gauss[last] // the largest forms, pressed towards the middle
	for i, v := range sum.v {
		sum.v[i] = float32(0.5 + press*(float64(v)-0.5))
	}
	for l := last - 1; l >= 0; l-- {
		if sum, err = sum.up(ctx, out[l].w, out[l].h); err != nil {
			return err
		}
		for i, v := range out[l].v {
			sum.v[i] += v
		}
	}
	for i, v := range sum.v {
		p.v[i] = min(1, max(0, v))
	}
	return nil
}

// pyramid halves the picture till a side would be too short; level 0 is p itself.
func pyramid(ctx context.Context, p plane) ([]plane, error) {
	list := []plane{p}
	for min(p.w, p.h) >= 2*leastLevel {
		var err error
		if p, err = p.down(ctx); err != nil {
			return nil, err
		}
		list = append(list, p)
	}
	if len(list) == 1 { // the caller changes the last level
		list[0] = plane{p.w, p.h, append([]float32(nil), p.v...)}
	}
	return list, nil
}

// bend is the picture around brightness g.
func (p plane) bend(ctx context.Context, g float32, gain, press float64) (plane, error) {
	const steps = 1 << 12
	var table [steps + 2]float32 // of the factor, over the difference 0..1
	for i := range table {
		d := float64(i) / steps / edgeContrast
		table[i] = float32(press + (gain-press)*math.Exp(-d*d/2))
	}
	out := newPlane(p.w, p.h)
	return out, field.ForRows(ctx, p.h, func(y0, y1 int) {
		for i := y0 * p.w; i < y1*p.w; i++ {
			d := p.v[i] - g
			s := float32(math.Abs(float64(d))) * steps
			k := min(int(s), steps)
			out.v[i] = g + d*(table[k]+(s-float32(k))*(table[k+1]-table[k]))
		}
	})
}

// down halves both sides by the binomial filter 1 4 6 4 1 (P. Burt, E. Adelson,
// "The Laplacian pyramid as a compact image code", IEEE Trans. Comm. 31 (1983) 532).
func (p plane) down(ctx context.Context) (plane, error) {
	half := func(n int) []tap {
		taps := make([]tap, (n+1)/2)
		for i := range taps {
			taps[i] = gather(n, 2*i-2, 2*i+2, func(k int) float64 {
				return [...]float64{6, 4, 1}[max(k-2*i, 2*i-k)]
			})
		}
		return taps
	}
	return p.filter(ctx, half(p.w), half(p.h))
}

// up brings a halved picture back to w x h by the same filter.
func (p plane) up(ctx context.Context, w, h int) (plane, error) {
	twice := func(n, to int) []tap {
		taps := make([]tap, to)
		for i := range taps {
			if i%2 == 0 {
				taps[i] = gather(n, i/2-1, i/2+1, func(k int) float64 {
					if k == i/2 {
						return 6
					}
					return 1
				})
			} else {
				taps[i] = gather(n, i/2, i/2+1, func(int) float64 { return 1 })
			}
		}
		return taps
	}
	return p.filter(ctx, twice(p.w, w), twice(p.h, h))
}
