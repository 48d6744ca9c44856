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
	busy := busyTiles(a, r.reach)
	out := field.New(a.Grid)
	copy(out.Z, a.Z)
	err := field.ForRows(ctx, a.H, func(j0, j1 int) {
		taps := r.taps()
		for j := j0; j < j1; j++ {
			row := out.Row(j)
			for i := range row {
				if busy.on[j/tile*busy.w+i/tile] {
					row[i] = r.at(a, i, j, taps)
				}
			}
		}
	})
	return out, err
}

// tile is the side, in samples, of the squares that are asked whether anything happens
// in them.
const tile = 8

type tiles struct {
	w  int
	on []bool
}

// busyTiles finds the tiles within whose reach heights are not all alike.
func busyTiles(a *field.Field, reach int) tiles {
	tw, th := (a.W+tile-1)/tile, (a.H+tile-1)/tile
	lo, hi := make([]float32, tw*th), make([]float32, tw*th)
	for i := range lo {
		lo[i], hi[i] = float32(math.Inf(1)), float32(math.Inf(-1))
	}
	for j := range a.H {
		for i, z := range a.Row(j) {
			t := j/tile*tw + i/tile
			lo[t], hi[t] = min(lo[t], z), max(hi[t], z)
		}
	}
	n := (reach + tile - 1) / tile
	b := tiles{tw, make([]bool, tw*th)}
	for j := range th {
		for i := range tw {
			low, high := lo[j*tw+i], hi[j*tw+i]
			for y := max(0, j-n); y <= min(th-1, j+n); y++ {
				for x := max(0, i-n); x <= min(tw-1, i+n); x++ {
					low, high = min(low, lo[y*tw+x]), max(high, hi[y*tw+x])
				}
			}
			b.on[j*tw+i] = high-low > 1e-4
		}
	}
	return b
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
	for y, v := range wy {
		jj := j0 + y
		inside := jj >= 0 && jj < a.H
		for x, u := range wx {
			z := float32(0)
			if ii := i0 + x; inside && ii >= 0 && ii < a.W {
				z = a.Z[jj*a.W+ii]
			}
			low, high = min(low, z), max(high, z)
			taps = append(taps, tap{z, u * v})
		}
	}
	if high-low < 1e-5 {
		return a.Z[j*a.W+i]
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
