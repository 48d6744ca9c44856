package relief

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// Profiles of a stroke.
const (
	Flat  = "flat"  // drafted walls and a flat top
	Vee   = "vee"   // two slopes that meet in a ridge
	Round = "round" // half a circle, or rounded shoulders where the stroke is wider
)

// WallSamples is the fewest samples that a wall spans, so that its middle lies
// where it belongs: with linear interpolation a wall of two samples or more is
// placed exactly, a steeper one would be drawn as a staircase.
const WallSamples = 2

// VeeDraftDeg is the least lean of a vee's slopes from vertical: 45 degrees each,
// a right angle between them (common practice in carved letters, no source).
const VeeDraftDeg = 45

// RunMM is how far a wall runs in the plane while it climbs the whole depth, on a
// grid of the given pitch.
func RunMM(depthMM float64, profile string, draftDeg, pitchMM float64) float64 {
	if profile == Vee {
		draftDeg = math.Max(draftDeg, VeeDraftDeg)
	}
	return math.Max(depthMM*math.Tan(draftDeg*math.Pi/180), WallSamples*pitchMM)
}

// OutsideMM is how far the foot of a wall stands outside of its outline: half its
// run where it is flat, because the outline stands at half the depth; 0 for the
// others, whose foot is the outline.
func OutsideMM(depthMM float64, profile string, draftDeg, pitchMM float64) float64 {
	if profile == Flat {
		return RunMM(depthMM, profile, draftDeg, pitchMM) / 2
	}
	return 0
}

func check(depthMM float64, profile string, draftDeg float64) error {
	bad := func(key string, found any, allowed string) error {
		return &finding.Error{Key: key, Found: fmt.Sprint(found), Allowed: allowed, Do: "change the value"}
	}
	switch {
	case !(depthMM >= 0.001 && depthMM <= 100):
		return bad("depth_mm", depthMM, "0.001 to 100")
	case !(draftDeg >= 0 && draftDeg <= 60):
		return bad("draft_deg", draftDeg, "0 to 60")
	case profile != Flat && profile != Vee && profile != Round:
		return bad("profile", profile, "flat, vee or round")
	}
	return nil
}

// FromOutline gives heights 0..depth in mm of an outline on the grid.
//
// flat: the outline stands at half the depth, in the middle of the wall, so that a
// stroke is as wide at half its height as it was drawn, whatever its draft.
// vee: the foot is the outline; the height is the distance from it, leaning by the
// draft but by VeeDraftDeg at least; a narrow stroke stays lower than the depth.
// round: the foot is the outline; the section is the circle that just fits into
// the stroke, at most of radius depth (see balls), begun by a wall of the given draft.
//
// Distances are exact (field.SignedDistance), so walls lie within the grid's linear
// interpolation: at most a quarter of a sample off at their upper and lower edges.
func FromOutline(ctx context.Context, g field.Grid, o geom.Outline, depthMM float64, profile string, draftDeg float64) (*field.Field, error) {
	if err := check(depthMM, profile, draftDeg); err != nil {
		return nil, err
	}
	run := RunMM(depthMM, profile, draftDeg, g.PitchMM)
	limit := run
	switch profile {
	case Flat:
		limit = run / 2
	case Round:
		limit = math.Max(run, depthMM)
	}
	d, err := field.SignedDistance(ctx, g, o, limit+2*g.PitchMM)
	if err != nil {
		return nil, err
	}
	depth, slope := float32(depthMM), float32(depthMM/run)
	if profile == Flat {
		wall(d.Z, depth/2, slope, depth)
		return d, nil
	}
	var top *field.Field
	if profile == Round {
		if top, err = balls(ctx, d, depthMM); err != nil {
			return nil, err
		}
	}
	wall(d.Z, 0, slope, depth)
	if top != nil {
		for i, z := range top.Z {
			d.Z[i] = min(d.Z[i], z)
		}
	}
	return d, nil
}

// wall turns distances into clamp(at + slope*distance, 0, depth), in place.
func wall(z []float32, at, slope, depth float32) {
	for i, d := range z {
		z[i] = max(0, min(depth, at+slope*d))
	}
}
