package pour

import (
	"context"
	"math"
	"slices"
	"sort"

	"mouldwright/internal/base/mesh"
	"mouldwright/internal/flow/master"
)

// levels is the number of steps into which a tray's depth is divided to find how high
// a mass of rubber reaches; between them the level is interpolated (our choice: each is a
// few tenths of a mm).
const levels = 200

// rubberBelow is a tray's rubber, in mm³, below each of levels+1 heights from the base
// up to its level: the tray's area times the height, less the pieces below it.
type rubberBelow struct {
	levelMM float64
	mm3     []float64
}

// fillings measures every tray. What stands on a tray is summed from the exact volume
// of each item's surface below each height, once for each item and height of rubber.
func fillings(ctx context.Context, trays []master.Tray, items []master.Item) ([]rubberBelow, error) {
	type key struct {
		item int
		mm   float64
	}
	known := map[key][]float64{}
	out := make([]rubberBelow, len(trays))
	for i, t := range trays {
		sum := make([]float64, levels+1)
		for _, p := range t.Placed {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			k := key{p.Item, t.RubberMM}
			if known[k] == nil {
				known[k] = volumeBelow(items[p.Item].Sheet, t.RubberMM)
			}
			for j, v := range known[k] {
				sum[j] += v
			}
		}
		for j := range sum {
			sum[j] = max(0, t.WidthMM*t.DepthMM*t.RubberMM*float64(j)/levels-sum[j])
		}
		out[i] = rubberBelow{t.RubberMM, sum}
	}
	return out, nil
}

// level is how high a volume of rubber reaches in the tray, in mm over its base.
func (r rubberBelow) level(mm3 float64) float64 {
	j := sort.SearchFloat64s(r.mm3, mm3)
	if j == 0 {
		return 0
	}
	if j > levels {
		return r.levelMM
	}
	step := r.levelMM / levels
	if d := r.mm3[j] - r.mm3[j-1]; d > 0 {
		return step * (float64(j-1) + (mm3-r.mm3[j-1])/d)
	}
	return step * float64(j)
}

// volumeBelow is the volume under a surface and below each of levels+1 heights from 0
// to topMM: the integral of min(h, z) over the plane, exact for every triangle. With
// corner heights h1 <= h2 <= h3 over an area A, what stands above z is a corner cut
// off: A (h3-z)³ / (3 (h3-h1)(h3-h2)) for z >= h2, and likewise from below.
func volumeBelow(s *mesh.Sheet, topMM float64) []float64 {
	out := make([]float64, levels+1)
	if s == nil || topMM <= 0 {
		return out
	}
	slope, whole := make([]float64, levels+2), make([]float64, levels+2) // differences
	step := topMM / levels
	for _, t := range s.T {
		a, b, c := s.V[t[0]], s.V[t[1]], s.V[t[2]]
		area := (float64(b[0]-a[0])*float64(c[1]-a[1]) - float64(c[0]-a[0])*float64(b[1]-a[1])) / 2
		h := [3]float64{float64(a[2]), float64(b[2]), float64(c[2])}
		slices.Sort(h[:])
		mean := (h[0] + h[1] + h[2]) / 3
		from := min(levels+1, max(0, int(math.Ceil(h[0]/step))))  // first height within
		to := min(levels+1, max(from, int(math.Ceil(h[2]/step)))) // first height above
		slope[0] += area
		slope[from] -= area
		whole[to] += area * mean
		for k := from; k < to; k++ {
			z := step * float64(k)
			if z >= h[2] { // by rounding
				out[k] += area * mean
			} else if z >= h[1] {
				d := h[2] - z
				out[k] += area * (mean - d*d*d/(3*(h[2]-h[0])*(h[2]-h[1])))
			} else {
				d := z - h[0]
				out[k] += area * (z - d*d*d/(3*(h[1]-h[0])*(h[2]-h[0])))
			}
		}
	}
	sum, all := 0.0, 0.0
	for k := range out {
		sum += slope[k]
		all += whole[k]
		out[k] += sum*step*float64(k) + all
	}
	return out
}
