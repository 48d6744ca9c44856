package field

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
)

// Check refuses a grid without samples, with more than MaxSamples, or with a pitch
// or origin that is no finite number; the error is a *finding.Error.
func (g Grid) Check() error {
	fine := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
	switch {
	case !(g.PitchMM > 0) || !fine(g.PitchMM) || !fine(g.X0) || !fine(g.Y0):
		return &finding.Error{Key: "grid", Found: fmt.Sprintf("a pitch of %g mm from (%g, %g)", g.PitchMM, g.X0, g.Y0),
			Allowed: "finite numbers, the pitch above 0"}
	case g.W < 1 || g.H < 1:
		return &finding.Error{Key: "grid", Found: fmt.Sprintf("%d x %d samples", g.W, g.H), Allowed: "at least one sample"}
	case g.W > MaxSamples || g.H > MaxSamples || g.W*g.H > MaxSamples:
		return &finding.Error{Key: "grid", Found: fmt.Sprintf("%d x %d samples at %g mm", g.W, g.H, g.PitchMM),
			Allowed: fmt.Sprintf("at most %d samples", MaxSamples),
			Do:      "choose a coarser pitch or a smaller size"}
	}
	return nil
}
