package forecast

import (
	"context"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/unit"
)

// entryPerMM is how wide a groove of the mould must be, for each mm of its depth, for
// chocolate to reach its ground.
//
// In a slot of width w a yield stress tau holds back a pressure of 2 tau/w for each
// unit of length (balance of forces on the plug between two plates, any yield-stress
// fluid), so that pressure p drives it in as deep as p w / (2 tau). The pressure is the
// head of the chocolate over the art, and the brush's where one is used; tapping
// leaves a part of the yield stress.
func entryPerMM(headMM float64, m Means, c Choices) float64 {
	tau := m.Chocolate.YieldPa.Likely
	p := 1000 * m.Chocolate.LiquidGML.Likely * unit.GravityMS2 * headMM / 1000
	switch c.Fill {
	case "tap":
		tau *= c.TapShare
	case "brush":
		p += c.BrushPa
	}
	if tau == 0 {
		return 0
	}
	return 2 * tau / math.Max(p, 1e-9)
}

// entryLevels is at how many depths of the grooves their width is looked at (our
// choice: walls are straight, so that a few tell the whole).
const entryLevels = 4

// entered is raised art as far as chocolate comes: at each level what a disc of the
// width needed there cannot reach from the wide parts stays empty (the opening by that
// disc). Nothing is computed where that width is under two samples, a pixel: no printed
// groove is narrower.
func entered(ctx context.Context, a *field.Field, perMM float64) (*field.Field, error) {
	top := float32(0)
	for _, z := range a.Z {
		top = max(top, z)
	}
	if perMM*float64(top) < 2*a.PitchMM {
		return a, nil
	}
	out := field.New(a.Grid)
	copy(out.Z, a.Z)
	lost := make([]bool, len(a.Z))
	reached := float32(0)
	for l := 1; l <= entryLevels; l++ {
		t := top * float32(l) / (entryLevels + 1)
		width := perMM * float64(t)
		if width < 2*a.PitchMM {
			reached = t
			continue
		}
		open, err := opened(ctx, a, t, width)
		if err != nil {
			return nil, err
		}
		for i, z := range a.Z {
			if z > t && !open[i] && !lost[i] {
				lost[i] = true
				out.Z[i] = min(out.Z[i], reached)
			}
		}
		reached = t
	}
	return out, nil
}

// opened is where discs of the given diameter fit that lie within {a > t}.
func opened(ctx context.Context, a *field.Field, t float32, widthMM float64) ([]bool, error) {
	// Distances go to the middle of the nearest sample beyond the edge, half a sample
	// farther than the edge.
	half := float32(widthMM/2 + a.PitchMM/2)
	in, err := field.Distance(ctx, a.Above(t).Not())
	if err != nil {
		return nil, err
	}
	core := field.NewMask(a.Grid)
	for i, d := range in.Z {
		core.On[i] = d >= half
	}
	out, err := field.Distance(ctx, core)
	if err != nil {
		return nil, err
	}
	open := make([]bool, len(a.Z))
	for i, d := range out.Z {
		open[i] = d < half
	}
	return open, nil
}
