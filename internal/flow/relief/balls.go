package relief

import (
	"context"
	"math"

	"mouldwright/internal/base/field"
)

// balls gives the upper side of all balls that are centred in the plane, lie inside
// the outline and have at most the given radius: a stroke becomes half a round bar,
// a wider shape a plateau with round shoulders, and every branch meets the others
// smoothly. d is the signed distance to the outline, positive inside.
//
// The height is sqrt(max over c of r(c)² - |x-c|²) with r = min(d, radius), a
// distance transform of a sampled function: P. Felzenszwalb, D. Huttenlocher,
// "Distance transforms of sampled functions", Theory of Computing 8 (2012) 415,
// once along the rows, once along the columns. Centres lie on samples only, so a
// stroke's crest is low by up to half a sample where it runs between them.
func balls(ctx context.Context, d *field.Field, radiusMM float64) (*field.Field, error) {
	p, r := d.PitchMM, radiusMM/d.PitchMM
	// In samples: power of the ball at each centre; none outside.
	out := field.New(d.Grid)
	none := float32(math.Inf(-1))
	if err := field.ForRows(ctx, d.H, func(j0, j1 int) {
		e := newEnvelope(d.W)
		for j := j0; j < j1; j++ {
			src, dst := d.Row(j), out.Row(j)
			for i, v := range src {
				dst[i] = none
				if v > 0 {
					q := math.Min(float64(v)/p, r)
					dst[i] = float32(q * q)
				}
			}
			e.highest(dst)
		}
	}); err != nil {
		return nil, err
	}
	const band = 16 // columns at a time: one cache line of float32
	err := field.ForRows(ctx, (d.W+band-1)/band, func(b0, b1 int) {
		e, col := newEnvelope(d.H), make([]float32, d.H*band)
		for b := b0; b < b1; b++ {
			i0, i1 := b*band, min((b+1)*band, d.W)
			for j := range d.H {
				for i, v := range out.Row(j)[i0:i1] {
					col[i*d.H+j] = v
				}
			}
			for i := range i1 - i0 {
				e.highest(col[i*d.H : (i+1)*d.H])
			}
			for j := range d.H {
				row := out.Row(j)[i0:i1]
				for i := range row {
					row[i] = float32(p * math.Sqrt(math.Max(0, float64(col[i*d.H+j]))))
				}
			}
		}
	})
	return out, err
}

// envelope finds the upper envelope of equal parabolas f(q) - (x-q)².
type envelope struct {
	at   []int     // apex of each parabola in the envelope
	f    []float64 // its height
	from []float64 // where it begins to be the highest
}

func newEnvelope(n int) *envelope {
	return &envelope{make([]int, n), make([]float64, n), make([]float64, n)}
}

// highest replaces f by its envelope; -Inf marks places without a parabola.
func (e *envelope) highest(f []float32) {
	k := -1
	for q, v := range f {
		fq := float64(v)
		if math.IsInf(fq, -1) {
			continue
		}
		s := math.Inf(-1)
		for k >= 0 {
			// The later parabola is the higher one right of s.
			s = (float64(q*q-e.at[k]*e.at[k]) - (fq - e.f[k])) / float64(2*(q-e.at[k]))
			if s > e.from[k] {
				break
			}
			k--
			s = math.Inf(-1)
		}
		k++
		e.at[k], e.f[k], e.from[k] = q, fq, s
	}
	if k < 0 {
		return
	}
	n := 0
	for x := range f {
		for n < k && e.from[n+1] <= float64(x) {
			n++
		}
		dx := float64(x - e.at[n])
		f[x] = float32(e.f[n] - dx*dx)
	}
}
