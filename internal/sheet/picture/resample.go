package picture

import (
	"context"
	"math"

	"mouldwright/internal/base/field"
)

// taps are the samples that make one sample of the coarser or finer row.
type taps struct {
	from   int
	weight []float32
}

// line gives, for n samples at x0 + i*pitch, the taps on a line of m samples at
// y0 + i*step: a Catmull-Rom curve between the samples where the line gets finer, a
// triangle as wide as the new pitch where it gets coarser. Outside the line the
// value is zero, as a relief is.
func line(n int, x0, pitch float64, m int, y0, step float64) []taps {
	out := make([]taps, n)
	scale := math.Max(1, pitch/step)
	kernel, support := catmullRom, 2.0
	if scale > 1 {
		kernel, support = triangle, 1.0
	}
	for i := range out {
		c := (x0 + float64(i)*pitch - y0) / step
		lo, hi := int(math.Ceil(c-support*scale)), int(math.Floor(c+support*scale))
		a, b := max(lo, 0), min(hi, m-1)
		if b < a {
			continue
		}
		// Sum, mean and spread of the taps; the weights are then tilted so that their
		// mean is c and a plane stays a plane.
		var sum, mean, spread float64
		for k := lo; k <= hi; k++ {
			w, x := kernel((float64(k)-c)/scale), float64(k)-c
			sum, mean, spread = sum+w, mean+w*x, spread+w*x*x
		}
		mean /= sum
		spread = spread/sum - mean*mean
		w := make([]float32, b-a+1)
		for k := a; k <= b; k++ {
			x := float64(k) - c
			v := kernel(x/scale) / sum
			if spread > 0 {
				v *= 1 - mean*(x-mean)/spread
			}
			w[k-a] = float32(v)
		}
		out[i] = taps{a, w}
	}
	return out
}

func triangle(x float64) float64 { return math.Max(0, 1-math.Abs(x)) }

func catmullRom(x float64) float64 {
	x = math.Abs(x)
	switch {
	case x < 1:
		return 1 + x*x*(1.5*x-2.5)
	case x < 2:
		return 2 + x*(-4+x*(2.5-0.5*x))
	}
	return 0
}

// resample gives the field on another grid of the same direction. It is for the eye: what
// gets coarser is averaged, so that fine art does not shimmer, and what gets finer stays
// smooth under a light that grazes it. field.Resample, for measures, is linear.
func resample(ctx context.Context, f *field.Field, g field.Grid) (*field.Field, error) {
	xs := line(g.W, g.X0, g.PitchMM, f.W, f.X0, f.PitchMM)
	ys := line(g.H, g.Y0, g.PitchMM, f.H, f.Y0, f.PitchMM)
	out := field.New(g)
	// Each band resamples the source rows that it needs; rows shared by two bands
	// are done twice, which costs little and keeps bands apart.
	err := field.ForRows(ctx, g.H, func(from, to int) {
		lo, hi := f.H, -1
		for j := from; j < to; j++ {
			if n := len(ys[j].weight); n > 0 {
				lo, hi = min(lo, ys[j].from), max(hi, ys[j].from+n-1)
			}
		}
		if hi < lo {
			return
		}
		mid := make([]float32, (hi-lo+1)*g.W)
		for j := lo; j <= hi; j++ {
			src, dst := f.Row(j), mid[(j-lo)*g.W:(j-lo+1)*g.W]
			for i := range dst {
				t := &xs[i]
				var s float32
				for k, w := range t.weight {
					s += w * src[t.from+k]
				}
				dst[i] = s
			}
		}
		for j := from; j < to; j++ {
			dst := out.Row(j)
			for k, w := range ys[j].weight {
				src := mid[(ys[j].from+k-lo)*g.W:][:len(dst)]
				for i := range dst {
					dst[i] += w * src[i]
				}
			}
		}
	})
	return out, err
}

// boxBlur is three box blurs, close to a Gaussian of the given standard deviation in
// samples. Beyond the edge the field is taken as zero, as the table is. What shade is
// taken from is blurred over tens of samples, and running sums cost the same for any
// width, where field.Blur's true Gaussian pays for each sample of it.
func boxBlur(ctx context.Context, f *field.Field, sigma float64) (*field.Field, error) {
	r := max(1, int(math.Round((math.Sqrt(4*sigma*sigma+1)-1)/2)))
	a, b := field.New(f.Grid), field.New(f.Grid)
	src := f
	for range 3 {
		if err := field.ForRows(ctx, f.H, func(from, to int) {
			for j := from; j < to; j++ {
				boxRow(src.Row(j), a.Row(j), r)
			}
		}); err != nil {
			return nil, err
		}
		// Columns in strips that fit the cache, with one running sum per column.
		const strip = 64
		if err := field.ForRows(ctx, (f.W+strip-1)/strip, func(from, to int) {
			for s := from; s < to; s++ {
				boxColumns(a, b, s*strip, min((s+1)*strip, f.W), r)
			}
		}); err != nil {
			return nil, err
		}
		src = b
	}
	return b, nil
}

func boxRow(src, dst []float32, r int) {
	var sum float32
	inv := 1 / float32(2*r+1)
	for i := 0; i < min(r, len(src)); i++ {
		sum += src[i]
	}
	for i := range dst {
		if i+r < len(src) {
			sum += src[i+r]
		}
		if i-r-1 >= 0 {
			sum -= src[i-r-1]
		}
		dst[i] = sum * inv
	}
}

func boxColumns(a, b *field.Field, from, to, r int) {
	sum := make([]float32, to-from)
	inv := 1 / float32(2*r+1)
	add := func(j int, sign float32) {
		if j < 0 || j >= a.H {
			return
		}
		for i, v := range a.Row(j)[from:to] {
			sum[i] += sign * v
		}
	}
	for j := 0; j < r; j++ {
		add(j, 1)
	}
	for j := range a.H {
		add(j+r, 1)
		add(j-r-1, -1)
		for i, v := range sum {
			b.Row(j)[from+i] = v * inv
		}
	}
}

// Coarser gives the relief on a grid of the given pitch that covers it.
func Coarser(ctx context.Context, f *field.Field, pitchMM float64) (*field.Field, error) {
	return resample(ctx, f, field.Around(f.Bounds().Grow(pitchMM), pitchMM))
}
