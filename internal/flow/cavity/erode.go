package cavity

import (
	"cmp"
	"context"
	"math"
	"slices"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// erode is the solid under a relief eroded by a ball: at each place the greatest
// height of a ball's centre so that the whole ball stays below the relief,
//
//	e(x) = min over y, |x-y| <= r, of z(y) - sqrt(r² - |x-y|²),
//
// on a coarse grid; below 0 where there is no such height above the back. Outside
// its grid a relief is 0.
//
// A side that leans 8 degrees falls 0.7 mm from one coarse sample to the next, so a
// minimum over coarse samples alone would leave the shell up to 0.03 mm thin. Around
// the coarse minimum the relief's own samples are looked at as well: 16 times better
// at a quarter of the pitch, since the minimum is a parabola.
func erode(ctx context.Context, f *field.Field, radiusMM, coarseMM float64) (*field.Field, error) {
	k := max(1, int(math.Round(coarseMM/f.PitchMM)))
	g := field.Grid{W: (f.W-1)/k + 1, H: (f.H-1)/k + 1, PitchMM: f.PitchMM * float64(k), X0: f.X0, Y0: f.Y0}
	coarse, out := field.New(g), field.New(g)
	for j := range g.H {
		src, dst := f.Row(j*k), coarse.Row(j)
		for i := range dst {
			dst[i] = src[i*k]
		}
	}
	b, low := newBall(radiusMM, g.PitchMM), lows(coarse)
	r := int(math.Floor(radiusMM / f.PitchMM))
	roots := upperSide(radiusMM, f.PitchMM, r)
	err := field.ForRows(ctx, g.H, func(j0, j1 int) {
		at := make([]int32, g.W) // which of the ball's columns gave the minimum
		for j := j0; j < j1; j++ {
			if ctx.Err() != nil {
				return
			}
			row := out.Row(j)
			b.lowest(coarse, low, j, row, at)
			if k == 1 {
				continue
			}
			for i, z := range row {
				if z <= 0 {
					continue
				}
				c := b[at[i]]
				row[i] = refined(f, i*k, j*k, int(c.di)*k, int(c.dj)*k, k, r, roots, z)
			}
		}
	})
	return out, err
}

// refined looks at the relief's samples within k of the coarse minimum, which lies
// (di, dj) from (i, j); all in samples of the relief.
func refined(f *field.Field, i, j, di, dj, k, r int, roots [][]float32, z float32) float32 {
	for b := max(dj-k, -r, -j); b <= min(dj+k, r, f.H-1-j); b++ {
		half := roots[b+r]
		w := len(half) / 2
		row := f.Row(j + b)
		for a := max(di-k, -w, -i); a <= min(di+k, w, f.W-1-i); a++ {
			z = min(z, row[i+a]-half[a+w])
		}
	}
	return z
}

// upperSide is the height of the ball over its middle at each sample within r samples:
// row b of the ball at [b+r], its sample a at [a+half its length].
func upperSide(radiusMM, pitchMM float64, r int) [][]float32 {
	rows := make([][]float32, 2*r+1)
	q := radiusMM * radiusMM / (pitchMM * pitchMM)
	for b := -r; b <= r; b++ {
		w := int(math.Sqrt(math.Max(0, q-float64(b*b))))
		row := make([]float32, 2*w+1)
		for a := -w; a <= w; a++ {
			row[a+w] = float32(pitchMM * math.Sqrt(math.Max(0, q-float64(a*a+b*b))))
		}
		rows[b+r] = row
	}
	return rows
}

// ball is a ball's upper side as columns over the samples of a grid, the highest first.
type ball []column

type column struct {
	di, dj int32
	h      float32
}

func newBall(radiusMM, pitchMM float64) ball {
	var b ball
	r := int(math.Floor(radiusMM / pitchMM))
	for j, row := range upperSide(radiusMM, pitchMM, r) {
		for i, h := range row {
			b = append(b, column{int32(i - len(row)/2), int32(j - r), h})
		}
	}
	slices.SortStableFunc(b, func(x, y column) int { return cmp.Compare(y.h, x.h) })
	return b
}

// reach is the ball's radius in whole samples.
func (b ball) reach() int {
	r := int32(0)
	for _, c := range b {
		r = max(r, c.di)
	}
	return int(r)
}

// span is the number of samples that are judged together: where even the lowest of
// them cannot lower the minimum, they are passed over, as on every level top (our choice:
// more are seldom passed over, fewer cost a judgement each).
const span = 32

// lows is the least sample of each span of each row.
func lows(f *field.Field) [][]float32 {
	rows := make([][]float32, f.H)
	for j := range rows {
		for row := range slices.Chunk(f.Row(j), span) {
			rows[j] = append(rows[j], slices.Min(row))
		}
	}
	return rows
}

// lowest writes the minimum for row j of f into dst, and the column that gave it.
func (b ball) lowest(f *field.Field, low [][]float32, j int, dst []float32, at []int32) {
	r := b.reach()
	// The least of each span in all rows that the ball meets.
	near := slices.Clone(low[j])
	for y := max(0, j-r); y <= min(f.H-1, j+r); y++ {
		for i, z := range low[y] {
			near[i] = min(near[i], z)
		}
	}
	for i0 := 0; i0 < f.W; i0 += span {
		i1 := min(i0+span, f.W)
		to, by := dst[i0:i1], at[i0:i1]
		for i := range to {
			to[i] = float32(math.Inf(1))
		}
		least := slices.Min(near[max(0, i0-r)/span : (min(f.W, i1+r)-1)/span+1])
		high := float32(math.Inf(1)) // the highest minimum so far
		for n, c := range b {
			if least-c.h >= high {
				break // columns only get lower
			}
			y, x0, x1 := j+int(c.dj), max(0, i0+int(c.di)), min(f.W, i1+int(c.di))
			if y < 0 || y >= f.H || x0 >= x1 {
				continue
			}
			if s := low[y]; min(s[x0/span], s[(x1-1)/span])-c.h >= high {
				continue
			}
			skip := x0 - i0 - int(c.di)
			src, d, a := f.Row(y)[x0:x1], to[skip:], by[skip:]
			changed := false
			for i, z := range src {
				if v := z - c.h; v < d[i] {
					d[i], a[i], changed = v, int32(n), true
				}
			}
			if changed {
				high = slices.Max(to)
			}
		}
	}
}

// thinnestStep is the distance of the places, in coarse samples, at which the shell
// is measured again (our choice: half a millimetre, since a shell changes slowly).
const thinnestStep = 5

// thinnest measures the shell over the filling: the least distance from the inner
// surface to the relief's samples, over places every thinnestStep coarse samples, and
// the place in the relief where it was found. The nearest is looked for among every k-th
// sample first and then among all around it.
func thinnest(ctx context.Context, f, inner *field.Field, c Choices) (mm float64, at geom.Vec, err error) {
	k := int(math.Round(inner.PitchMM / f.PitchMM))
	r := int(math.Ceil(1.05 * c.ShellMM / f.PitchMM))
	least := make([]float32, inner.H)
	where := make([]geom.Vec, inner.H)
	err = field.ForRows(ctx, inner.H, func(j0, j1 int) {
		for j := j0; j < j1; j++ {
			least[j] = float32(math.Inf(1))
			if j%thinnestStep != 0 || ctx.Err() != nil {
				continue
			}
			for i := 0; i < inner.W; i += thinnestStep {
				z := inner.At(i, j)
				if float64(z) <= c.CapMM {
					continue
				}
				_, a, b := gap(f, i*k, j*k, 0, 0, r, k, z)
				d, a, b := gap(f, i*k, j*k, a, b, k, 1, z)
				if d < least[j] {
					least[j], where[j] = d, f.XY(i*k+a, j*k+b)
				}
			}
		}
	})
	m := float32(math.Inf(1))
	for j, v := range least {
		if v < m {
			m, at = v, where[j]
		}
	}
	if math.IsInf(float64(m), 1) { // less filling than one step
		return c.ShellMM, at, err
	}
	return math.Sqrt(float64(m)), at, err
}

// gap is the least squared distance from height z over sample (i, j) to the relief's
// every step-th sample within r samples of (i+di, j+dj), and where it was found.
func gap(f *field.Field, i, j, di, dj, r, step int, z float32) (best float32, atI, atJ int) {
	p2 := float32(f.PitchMM * f.PitchMM)
	best = float32(math.Inf(1))
	r -= r % step
	for b := dj - r; b <= dj+r; b += step {
		if j+b < 0 || j+b >= f.H {
			continue
		}
		row := f.Row(j + b)
		for a := di - r; a <= di+r; a += step {
			if i+a < 0 || i+a >= f.W {
				continue
			}
			// Where the relief is lower than z, its surface is as far away as its column.
			h := max(0, row[i+a]-z)
			if d := p2*float32(a*a+b*b) + h*h; d < best {
				best, atI, atJ = d, a, b
			}
		}
	}
	return best, atI, atJ
}
