package artwork

import (
	"context"
	"math"
	"slices"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// Undercut is the deepest hollow under a mesh: how far the rubber would have to reach
// in under it, were it printed as it is.
type Undercut struct {
	DepthMM   float64 // from its innermost place to where the mesh is open upwards; 0 without one
	HeightMM  float64 // of the hollow at its highest
	VolumeMM3 float64 // of all hollows
	At        geom.Vec
}

// What is called a hollow (our choice: upright walls, which are so but for rounding, give a
// sample here and there of any height, and rubber feels nothing of a tenth of a mm).
const (
	leastHollowMM  = 0.1
	leastHollowMM2 = 0.05
	hollowPitchMM  = 0.1 // hollows are measured on samples no finer than this
	maxHollows     = 20  // of which the depth is measured, the largest
)

// deepest measures the hollows of a top view. A hollow is a connected set of samples
// under which something is open. It is reached from the nearest place that is open
// above its lip, the lowest place of the top over it (all but a hundredth of them, which
// steep walls may have touched).
func (t *Top) deepest(ctx context.Context) (Undercut, error) {
	u := Undercut{VolumeMM3: t.UndercutMM3}
	step := max(1, int(hollowPitchMM/t.Height.PitchMM))
	w, h := (t.Height.W+step-1)/step, (t.Height.H+step-1)/step
	g := field.Grid{W: w, H: h, PitchMM: t.Height.PitchMM * float64(step), X0: t.Height.X0, Y0: t.Height.Y0}
	at := func(k int) int { return k/w*step*t.Height.W + k%w*step }
	// Parts by flooding, row by row.
	of := make([]bool, w*h)
	var parts [][]int32
	for k := range of {
		if of[k] || float64(t.Undercut.Z[at(k)]) < leastHollowMM {
			continue
		}
		of[k] = true
		part := []int32{int32(k)}
		for n := 0; n < len(part); n++ {
			i, j := int(part[n])%w, int(part[n])/w
			for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
				x, y := i+d[0], j+d[1]
				if x < 0 || y < 0 || x >= w || y >= h {
					continue
				}
				if q := y*w + x; !of[q] && float64(t.Undercut.Z[at(q)]) >= leastHollowMM {
					of[q] = true
					part = append(part, int32(q))
				}
			}
		}
		if float64(len(part))*g.PitchMM*g.PitchMM >= leastHollowMM2 {
			parts = append(parts, part)
		}
	}
	slices.SortStableFunc(parts, func(a, b []int32) int { return len(b) - len(a) })
	for _, part := range parts[:min(len(parts), maxHollows)] {
		tops := make([]float32, len(part))
		for n, k := range part {
			tops[n] = t.Height.Z[at(int(k))]
		}
		slices.Sort(tops)
		lip := tops[len(tops)/100]
		open := field.NewMask(g)
		for k := range open.On {
			open.On[k] = !t.Inside[at(k)] || t.Height.Z[at(k)] < lip
		}
		d, err := field.Distance(ctx, open)
		if err != nil {
			return u, err
		}
		for _, k := range part {
			if mm := float64(d.Z[k]) - g.PitchMM/2; mm > u.DepthMM {
				u.DepthMM, u.At = mm, g.XY(int(k)%w, int(k)/w)
			}
			u.HeightMM = math.Max(u.HeightMM, float64(t.Undercut.Z[at(int(k))]))
		}
	}
	return u, nil
}
