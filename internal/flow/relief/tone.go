package relief

import (
	"context"
	"math"
	"strconv"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// FromTone gives heights 0..depth in mm of a tone field (0 low, 1 high; values
// outside are clamped) on the tone's grid. Nothing is steeper than the draft: what
// is, is lowered (see lean). At the edge of the tone the heights come down to 0: the
// edge is the mask's outline, or the field's own border when mask is nil, and it is
// the foot of the wall, so the relief never reaches out of its picture.
func FromTone(ctx context.Context, tone *field.Field, depthMM, draftDeg float64, mask geom.Outline) (*field.Field, error) {
	if err := check(depthMM, Flat, draftDeg); err != nil {
		return nil, err
	}
	run := RunMM(depthMM, Flat, draftDeg, tone.PitchMM)
	slope, depth := float32(depthMM/run), float32(depthMM)
	out := field.New(tone.Grid)
	var edge *field.Field
	if mask != nil {
		var err error
		if edge, err = field.SignedDistance(ctx, tone.Grid, mask, run+2*tone.PitchMM); err != nil {
			return nil, err
		}
	}
	p := float32(tone.PitchMM)
	bad := make([]bool, out.H)
	err := field.ForRows(ctx, out.H, func(j0, j1 int) {
		for j := j0; j < j1; j++ {
			src, dst := tone.Row(j), out.Row(j)
			dj := min(j, out.H-1-j)
			for i, v := range src {
				d := p * float32(min(dj, i, out.W-1-i))
				if edge != nil {
					d = min(d, edge.At(i, j))
				}
				if v != v {
					bad[j] = true
				}
				dst[i] = max(0, min(depth*max(0, min(1, v)), slope*d))
			}
		}
	})
	if err != nil {
		return nil, err
	}
	for j, b := range bad {
		if b {
			return nil, &finding.Error{Key: "tone", Found: "no number in row " + strconv.Itoa(j), Allowed: "0 to 1"}
		}
	}
	return out, lean(ctx, out, float64(slope))
}

// FromHeights gives heights 0..depth in mm of a mesh's top view, on the view's grid:
// the view's lowest height becomes 0 and its highest becomes depth, linearly between;
// places where the view holds no mesh (NaN or -Inf) become 0. Then what is steeper
// than the draft is lowered (see lean); outside its grid the view is taken as 0.
func FromHeights(ctx context.Context, view *field.Field, depthMM, draftDeg float64) (*field.Field, error) {
	if err := check(depthMM, Flat, draftDeg); err != nil {
		return nil, err
	}
	low, high := float32(math.Inf(1)), float32(math.Inf(-1))
	for _, z := range view.Z {
		if z == z && z > float32(math.Inf(-1)) {
			low, high = min(low, z), max(high, z)
		}
	}
	if !(high > low) || math.IsInf(float64(high), 1) {
		return nil, &finding.Error{Key: "mesh", Found: "a top view without any height", Allowed: "a mesh that stands up from its lowest point",
			Do: "turn the mesh with up"}
	}
	f := float32(depthMM) / (high - low)
	out := field.New(view.Grid)
	for j := 1; j < out.H-1; j++ { // the border stays 0: walls begin there
		dst := out.Row(j)
		for i, z := range view.Row(j) {
			if z >= low && i > 0 && i < out.W-1 {
				dst[i] = min(float32(depthMM), (z-low)*f)
			}
		}
	}
	return out, lean(ctx, out, depthMM/RunMM(depthMM, Flat, draftDeg, view.PitchMM))
}
