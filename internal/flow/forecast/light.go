package forecast

import (
	"context"
	"math"

	"mouldwright/internal/base/field"
)

// exposed is the art as a masked exposure cures it. The image of each layer shows, in
// grey, the share of each pixel's area that the shape covers at its height; light
// spreads by a Gaussian; resin cures where it gets at least the given share of a full
// exposure. A place is cured up to the greatest height t at which
//
//	sum over samples s of w(s) [z(s) >= t]  >=  share,
//
// so all layers together are one weighted rank of the heights around it, for a half
// the weighted median (threshold decomposition: J. P. Fitch, E. J. Coyle, N. C.
// Gallagher, IEEE Trans. ASSP 32, 1984, 1183, from memory). w is the weight of sample
// s through its pixel: the same for all samples of a pixel, the light that spreads
// from there. Pixels are whole numbers of samples; beyond the art there is none.
func exposed(ctx context.Context, a *field.Field, pixelMM, lightMM, share float64) (*field.Field, error) {
	k := max(1, int(math.Round(pixelMM/a.PitchMM)))
	if k == 1 && lightMM < a.PitchMM/10 {
		return a, nil
	}
	r := newRank(k, lightMM/a.PitchMM, share)
	busy := changing(a, r.reach)
	out := field.New(a.Grid)
	copy(out.Z, a.Z)
	err := field.ForRows(ctx, a.H, func(j0, j1 int) {
		taps := r.taps()
		for j := j0; j < j1; j++ {
			row := out.Row(j)
			for i, on := range busy[j*a.W : (j+1)*a.W] {
				if on {
					row[i] = r.at(a, i, j, taps)
				}
			}
		}
	})
	return out, err
}

// changing is where heights change within reach samples along both axes; elsewhere a
// rank is the height itself. Beyond the grid there is no art.
func changing(a *field.Field, reach int) []bool {
	w, h := a.W, a.H
	on := make([]bool, w*h)
	last := make([]float32, w)
	for j := range h {
		row := a.Row(j)
		before := float32(0)
		for i, z := range row {
			if z != before || z != last[i] || z != 0 && (i == w-1 || j == h-1) {
				on[j*w+i] = true
			}
			before = z
		}
		last = row
	}
	left := make([]int32, w)
	for j := range h {
		row, n := on[j*w:(j+1)*w], int32(0)
		for i := range row {
			carry(row, i, &n, reach)
		}
		n = 0
		for i := w - 1; i >= 0; i-- {
			carry(row, i, &n, reach)
		}
		for i := range row {
			carry(row, i, &left[i], reach)
		}
	}
	clear(left)
	for j := h - 1; j >= 0; j-- {
		row := on[j*w : (j+1)*w]
		for i := range row {
			carry(row, i, &left[i], reach)
		}
	}
	return on
}

// carry puts on the reach samples behind one that is on; left is how many are to come.
func carry(row []bool, i int, left *int32, reach int) {
	switch {
	case row[i]:
		*left = int32(reach)
	case *left > 0:
		row[i] = true
		*left--
	}
}

// rank holds the weights of the samples around one, by its place within its pixel.
type rank struct {
	pixel int         // samples to a side
	reach int         // samples that can have weight, at most
	first []int       // by phase: the first sample with weight, from the sample itself
	along [][]float32 // by phase: weights from there on; they sum to 1
	share float32
}

// newRank makes weights for pixels of k samples and light of sigma samples, cut off
// at three sigma (0.3 % of its weight, spread over the rest).
func newRank(k int, sigma, share float64) *rank {
	r := &rank{pixel: k, share: float32(share)}
	for phase := range k {
		x := float64(phase) + 0.5 // of the sample, from its pixel's edge
		var w []float32
		sum, first := 0.0, 0
		n := int(math.Ceil(3*sigma/float64(k))) + 1
		for q := -n; q <= n; q++ {
			lo, hi := float64(q*k), float64((q+1)*k)
			if hi < x-3*sigma || lo > x+3*sigma {
				continue
			}
			part := normal((hi-x)/sigma) - normal((lo-x)/sigma)
			if sigma == 0 {
				part = 0
				if q == 0 {
					part = 1
				}
			}
			if part == 0 {
				continue
			}
			if w == nil {
				first = q*k - phase
			}
			for range k {
				w = append(w, float32(part/float64(k)))
			}
			sum += part
		}
		for i := range w {
			w[i] /= float32(sum)
		}
		r.first, r.along = append(r.first, first), append(r.along, w)
		r.reach = max(r.reach, -first, first+len(w)-1)
	}
	return r
}

// normal is the distribution function of the standard normal law.
func normal(x float64) float64 { return 0.5 * math.Erfc(-x/math.Sqrt2) }

// tap is one sample's height and weight.
type tap struct{ z, w float32 }

func (r *rank) taps() []tap { return make([]tap, 0, (2*r.reach+1)*(2*r.reach+1)) }

// rankBins divides the range of heights around a sample; the rank is found in a bin
// and then exactly among its few samples.
const rankBins = 32

// at is the rank at sample (i, j). Beyond the grid there is no art.
func (r *rank) at(a *field.Field, i, j int, taps []tap) float32 {
	px, py := phase(i, r.pixel), phase(j, r.pixel)
	wx, wy := r.along[px], r.along[py]
	i0, j0 := i+r.first[px], j+r.first[py]
	taps = taps[:0]
	low, high := float32(math.Inf(1)), float32(math.Inf(-1))
	if i0 >= 0 && j0 >= 0 && i0+len(wx) <= a.W && j0+len(wy) <= a.H {
		for y, v := range wy {
			row := a.Z[(j0+y)*a.W+i0:][:len(wx)]
			for x, z := range row {
				if z < low { // not min and max, which cost four times as much
					low = z
				}
				if z > high {
					high = z
				}
				taps = append(taps, tap{z, wx[x] * v})
			}
		}
	} else {
		for y, v := range wy {
			for x, u := range wx {
				z := float32(0)
				if ii, jj := i0+x, j0+y; ii >= 0 && ii < a.W && jj >= 0 && jj < a.H {
					z = a.Z[jj*a.W+ii]
				}
				low, high = min(low, z), max(high, z)
				taps = append(taps, tap{z, u * v})
			}
		}
	}
	if high-low < 1e-5 {
		return a.Z[j*a.W+i]
	}
	var atTop, atFoot float32 // most places lie beside a wall, on one level
	for _, t := range taps {
		if t.z == high {
			atTop += t.w
		} else if t.z == low {
			atFoot += t.w
		}
	}
	switch {
	case atTop >= r.share:
		return high
	case 1-atFoot < r.share-1e-5:
		return low
	}
	var bin [rankBins]float32
	scale := (rankBins - 0.01) / (high - low)
	for _, t := range taps {
		bin[int((t.z-low)*scale)] += t.w
	}
	sum, b := float32(0), rankBins-1
	for ; b > 0 && sum+bin[b] < r.share; b-- {
		sum += bin[b]
	}
	return inBin(taps, low, scale, b, r.share-sum)
}

// inBin is the height in bin b at which its samples from the top have the weight
// asked for.
func inBin(taps []tap, low, scale float32, b int, want float32) float32 {
	n := 0
	for _, t := range taps {
		if int((t.z-low)*scale) != b {
			continue
		}
		k := n
		for k > 0 && taps[k-1].z < t.z {
			taps[k] = taps[k-1]
			k--
		}
		taps[k] = t
		n++
	}
	for _, t := range taps[:n] {
		if want -= t.w; want <= 1e-6 {
			return t.z
		}
	}
	return taps[n-1].z
}

// phase is the place of a sample in its pixel; pixels begin at the grid's first sample.
func phase(i, k int) int { return i % k }
