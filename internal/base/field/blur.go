package field

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
)

// MaxBlur bounds the standard deviation of Blur in samples, and with it the work
// (our choice: a quarter of the widest picture that is traced).
const MaxBlur = 1024

// Blur smooths with a Gaussian of standard deviation sigmaMM, cut off at four of
// them (what is left out is 6e-5 of its weight); beyond the grid the values of
// its rim go on. A sigma below a tenth of the pitch changes nothing.
//
// Errors: a *finding.Error for a grid that Check refuses or a sigma below 0 or
// above MaxBlur samples; the context's error.
func Blur(ctx context.Context, f *Field, sigmaMM float64) (*Field, error) {
	if err := f.Check(); err != nil {
		return nil, err
	}
	s := sigmaMM / f.PitchMM
	if !(s >= 0 && s <= MaxBlur) {
		return nil, &finding.Error{Key: "blur", Found: fmt.Sprintf("%g mm on samples of %g mm", sigmaMM, f.PitchMM),
			Allowed: fmt.Sprintf("0 to %g mm there (%d samples)", MaxBlur*f.PitchMM, MaxBlur),
			Do:      "choose a coarser pitch or less smoothing"}
	}
	n := int(math.Ceil(4 * s))
	if s < 0.1 {
		n = 0
	}
	weight := make([]float32, n+1) // from the middle outwards; they sum to 1 over both sides
	sum := 0.0
	for i := range weight {
		w := 1.0
		if i > 0 {
			w = math.Exp(-float64(i*i) / (2 * s * s))
			sum += w
		}
		sum += w
		weight[i] = float32(w)
	}
	for i := range weight {
		weight[i] = float32(float64(weight[i]) / sum)
	}
	return convolve(ctx, f, weight)
}

// convolve goes along the rows, then along the columns, with weights that are
// the same on both sides.
func convolve(ctx context.Context, f *Field, weight []float32) (*Field, error) {
	n := len(weight) - 1
	mid, out := New(f.Grid), New(f.Grid)
	err := ForRows(ctx, f.H, func(j0, j1 int) {
		wide := make([]float32, f.W+2*n)
		for j := j0; j < j1; j++ {
			src := f.Row(j)
			for i := range n {
				wide[i], wide[n+f.W+i] = src[0], src[f.W-1]
			}
			copy(wide[n:], src)
			row := mid.Row(j)
			for i := range row {
				row[i] = wide[n+i] * weight[0]
			}
			for k := 1; k <= n; k++ {
				addPair(row, wide[n-k:], wide[n+k:], weight[k])
			}
		}
	})
	if err != nil {
		return nil, err
	}
	err = ForRows(ctx, f.H, func(j0, j1 int) {
		for j := j0; j < j1; j++ {
			row := out.Row(j)
			for i, v := range mid.Row(j) {
				row[i] = v * weight[0]
			}
			for k := 1; k <= n; k++ {
				addPair(row, mid.Row(max(0, j-k)), mid.Row(min(f.H-1, j+k)), weight[k])
			}
		}
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// addPair adds w times the sum of two rows.
func addPair(row, a, b []float32, w float32) {
	a, b = a[:len(row)], b[:len(row)]
	for i := range row {
		row[i] += (a[i] + b[i]) * w
	}
}
