package piece

import (
	"context"
	"math"
	"sync/atomic"

	"mouldwright/internal/base/field"
)

// leanShare is the share of all wall area that may be steeper than the smallest
// lean reported: half a percent, so that the few cells at a corner or at a crossing
// of two walls, where sampling makes one cell steeper, do not speak for a piece.
const leanShare = 0.005

// leanBins divides the tangents of 0..45 degrees (our choice: at most 0.014 degrees each,
// finer than a draft is told).
const leanBins = 4096

// measured is what one pass over a relief finds.
type measured struct {
	volumeMM3, heightMM, minDraftDeg float64
}

// measure sums the volume under a relief, its highest point and its smallest draft.
//
// The volume is the sum of the heights times the sample's area: the trapezoidal rule,
// whose error at a wall's foot or edge is a twelfth of pitch² times the change of
// slope for each mm of its length, a few millionths of a piece at 25 µm.
//
// Draft is the lean from vertical of each cell of four samples, 90° less the slope
// angle; walls are cells steeper than 45°. The smallest draft is the lean that
// leanShare of the walls' true area stays below; 90 when there is no wall.
func measure(ctx context.Context, f *field.Field) (measured, error) {
	p := f.PitchMM
	rows := make([]float64, f.H)
	high := make([]float32, f.H)
	var bins [leanBins]atomic.Int64 // area in pitch²/1024: whole numbers add up alike in any order
	// Diagonal differences a and b of a cell make its slope: g² = (a² + b²) / 2p².
	steep := float32(2 * p * p)
	err := field.ForRows(ctx, f.H, func(j0, j1 int) {
		var mine [leanBins]int64
		for j := j0; j < j1; j++ {
			row := f.Row(j)
			sum, top := 0.0, float32(0)
			for _, z := range row {
				sum += float64(z)
				if z > top {
					top = z
				}
			}
			rows[j], high[j] = sum, top
			if j+1 == f.H {
				continue
			}
			next := f.Row(j + 1)[:len(row)]
			r0, n0 := row[0], next[0]
			for i, r1 := range row {
				n1 := next[i]
				a, b := n1-r0, n0-r1
				r0, n0 = r1, n1
				if q := a*a + b*b; q > steep {
					g := math.Sqrt(float64(q / steep))
					mine[min(int(leanBins/g), leanBins-1)] += int64(1024 * math.Sqrt(1+g*g))
				}
			}
		}
		for i, n := range mine {
			if n > 0 {
				bins[i].Add(n)
			}
		}
	})
	if err != nil {
		return measured{}, err
	}
	m := measured{minDraftDeg: 90}
	for j, s := range rows {
		m.volumeMM3 += s
		m.heightMM = math.Max(m.heightMM, float64(high[j]))
	}
	m.volumeMM3 *= p * p
	var all int64
	for i := range bins {
		all += bins[i].Load()
	}
	var sum int64
	for i := range bins {
		n := bins[i].Load()
		sum += n
		if n > 0 && float64(sum) >= leanShare*float64(all) {
			m.minDraftDeg = math.Atan((float64(i)+0.5)/leanBins) * 180 / math.Pi
			break
		}
	}
	return m, nil
}

// UndercutMM3 is the volume of all hollows of imported meshes that top views fill.
func (p *Piece) UndercutMM3() float64 {
	sum := 0.0
	for _, u := range p.Undercuts {
		sum += u.VolumeMM3
	}
	return sum
}
