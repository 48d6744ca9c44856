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
// once along the rows, once along the columns.
//
// The crest of a narrow stroke is made by the balls on its middle line, which runs
// between the samples; without them the crest would be low by up to half a sample,
// in ripples that a low light shows. So the middle line's crossings with the grid's
// lines count as centres too: those with the rows in a pass that begins along the
// rows, those with the columns in one that begins along the columns.
func balls(ctx context.Context, d *field.Field, radiusMM float64) (*field.Field, error) {
	out, turned := field.New(d.Grid), field.New(transposed(d.Grid))
	if err := transpose(ctx, d, turned); err != nil {
		return nil, err
	}
	if err := powers(ctx, d, out, radiusMM); err != nil {
		return nil, err
	}
	other := field.New(turned.Grid)
	if err := powers(ctx, turned, other, radiusMM); err != nil {
		return nil, err
	}
	back := field.New(d.Grid)
	if err := transpose(ctx, other, back); err != nil {
		return nil, err
	}
	p, r := d.PitchMM, radiusMM/d.PitchMM
	err := field.ForRows(ctx, out.H, func(j0, j1 int) {
		for j := j0; j < j1; j++ {
			dst := out.Row(j)
			for i, v := range back.Row(j) {
				v = max(0, v, dst[i])
				if q := float64(d.At(i, j)) / p; q < r {
					// No ball inside the outline stands higher, q samples from it.
					if most := float32(math.Max(0, (2*r-q)*q)); v > most || shoulder(d, i, j, q, r) {
						v = most
					}
				}
				dst[i] = float32(p * math.Sqrt(float64(v)))
			}
		}
	})
	return out, err
}

// shoulder says whether the largest ball, of radius r samples, touches the outline
// where sample (i, j), q samples inside, is nearest to it: then that ball alone makes
// the height, sqrt(r² - (r-q)²), without the ripples of centres on samples.
func shoulder(d *field.Field, i, j int, q, r float64) bool {
	if i < 1 || j < 1 || i >= d.W-1 || j >= d.H-1 {
		return false
	}
	gx, gy := float64(d.At(i+1, j)-d.At(i-1, j)), float64(d.At(i, j+1)-d.At(i, j-1))
	n := math.Hypot(gx, gy)
	if n < 1.8*d.PitchMM { // on or beside a middle line, where the nearest place changes
		return false
	}
	x, y := float64(i)+(r-q)*gx/n, float64(j)+(r-q)*gy/n
	a, b := int(math.Round(x)), int(math.Round(y))
	if a < 0 || b < 0 || a >= d.W || b >= d.H {
		return false
	}
	// The distance grows by one along the way unless a middle line is crossed; then it
	// falls short by twice what lies beyond it. Rounding to a sample costs at most 0.71.
	along := ((float64(a)-x)*gx + (float64(b)-y)*gy) / n
	return float64(d.At(a, b))/d.PitchMM-along > r-0.25
}

// powers writes max over c of r(c)² - |x-c|² in squared samples, with centres on the
// samples and where a middle line crosses a row.
func powers(ctx context.Context, d, out *field.Field, radiusMM float64) error {
	p, r := d.PitchMM, radiusMM/d.PitchMM
	err := field.ForRows(ctx, d.H, func(j0, j1 int) {
		e := newEnvelope(2 * d.W)
		for j := j0; j < j1; j++ {
			src := d.Row(j)
			e.reset()
			for i, v := range src {
				if v <= 0 {
					continue
				}
				q := math.Min(float64(v)/p, r)
				e.add(float64(i), q*q)
				if t, q, ok := crest(src, i); ok {
					q = math.Min(q/p, r)
					e.add(float64(i)+t, q*q)
				}
			}
			e.read(out.Row(j))
		}
	})
	if err != nil {
		return err
	}
	turned := field.New(transposed(d.Grid))
	if err := transpose(ctx, out, turned); err != nil {
		return err
	}
	if err := field.ForRows(ctx, turned.H, func(j0, j1 int) {
		e := newEnvelope(turned.W)
		for j := j0; j < j1; j++ {
			row := turned.Row(j)
			e.reset()
			for i, v := range row {
				if v > none {
					e.add(float64(i), float64(v))
				}
			}
			e.read(row)
		}
	}); err != nil {
		return err
	}
	return transpose(ctx, turned, out)
}

// crest finds where between samples i and i+1 of a row the distance has a ridge: it
// climbs to one side and falls on the other, and the two straight lines meet
// between them. t is the place from i, in samples; q the distance there.
func crest(row []float32, i int) (t, q float64, ok bool) {
	if i < 1 || i+2 >= len(row) || row[i+1] <= 0 {
		return 0, 0, false
	}
	a, b := float64(row[i]), float64(row[i+1])
	up, down := a-float64(row[i-1]), b-float64(row[i+2])
	if up <= 0 || down <= 0 {
		return 0, 0, false
	}
	t = (b - a + down) / (up + down)
	if t <= 0.01 || t >= 0.99 { // a sample is as good
		return 0, 0, false
	}
	return t, a + t*up, true
}

// none marks a place without a ball.
const none = float32(-math.MaxFloat32)

// envelope is the upper envelope of parabolas f - (x-q)², added in order of q.
type envelope struct {
	at, f, from []float64 // apex, its height, and where it begins to be the highest
}

func newEnvelope(n int) *envelope {
	return &envelope{make([]float64, 0, n), make([]float64, 0, n), make([]float64, 0, n)}
}

func (e *envelope) reset() { e.at, e.f, e.from = e.at[:0], e.f[:0], e.from[:0] }

func (e *envelope) add(q, f float64) {
	s := math.Inf(-1)
	k := len(e.at) - 1
	for ; k >= 0; k-- {
		// The new parabola is the higher one right of s.
		s = (q+e.at[k])/2 - (f-e.f[k])/(2*(q-e.at[k]))
		if s > e.from[k] {
			break
		}
		s = math.Inf(-1)
	}
	k++
	e.at, e.f, e.from = append(e.at[:k], q), append(e.f[:k], f), append(e.from[:k], s)
}

// read writes the envelope's height at each sample, none without parabolas.
func (e *envelope) read(dst []float32) {
	n := 0
	for x := range dst {
		if len(e.at) == 0 {
			dst[x] = none
			continue
		}
		for n+1 < len(e.at) && e.from[n+1] <= float64(x) {
			n++
		}
		dx := float64(x) - e.at[n]
		dst[x] = float32(e.f[n] - dx*dx)
	}
}

func transposed(g field.Grid) field.Grid {
	g.W, g.H, g.X0, g.Y0 = g.H, g.W, g.Y0, g.X0
	return g
}

// transpose turns rows into columns, in squares that stay in the cache.
func transpose(ctx context.Context, f, out *field.Field) error {
	const side = 32
	return field.ForRows(ctx, out.H, func(j0, j1 int) {
		for i0 := 0; i0 < out.W; i0 += side {
			for j := j0; j < j1; j++ {
				dst := out.Row(j)
				for i := i0; i < min(out.W, i0+side); i++ {
					dst[i] = f.Z[i*f.W+j]
				}
			}
		}
	})
}
