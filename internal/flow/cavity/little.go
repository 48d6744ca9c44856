package cavity

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow/piece"
)

// What a shell and a cap may at least be: thinner ones break or leak (common practice,
// no source).
const (
	leastShellMM = 1.0
	leastCapMM   = 1.0
)

// noRoom is the finding about a piece whose shell and cap meet; room is how high the
// filling would reach above the back.
func noRoom(ctx context.Context, p *piece.Piece, c Choices, room float64) (finding.Finding, error) {
	return roomier(ctx, p, c, finding.Finding{Severity: finding.Stop, Where: p.Name + ": shell",
		What: fmt.Sprintf("no room for filling: a shell of %g mm leaves at most %.1f mm above the back, the cap takes %g mm", c.ShellMM, room, c.CapMM)})
}

// little is the finding about a piece with hardly any filling.
func little(ctx context.Context, p *piece.Piece, c Choices, fillingMM3 float64) (finding.Finding, error) {
	return roomier(ctx, p, c, finding.Finding{Severity: finding.Care, Where: p.Name + ": shell.thickness_mm",
		What: fmt.Sprintf("only %.0f %% of the piece is filling (rule of thumb shell.least_filling_share, %.0f %%: common practice)", 100*fillingMM3/p.VolumeMM3, 100*c.Least)})
}

// roomier adds to a finding the thickest shell and the thickest cap that leave the share
// of filling that the rule asks for, as far as one of them alone can.
func roomier(ctx context.Context, p *piece.Piece, c Choices, g finding.Finding) (finding.Finding, error) {
	g.Do, g.Remedy = "make the piece larger, or leave its filling out", unfilled(p)
	// A hundredth more, since this grid is coarser than the one that counts.
	want := 1.01 * math.Max(c.Least, 0.01) * p.VolumeMM3
	enough := func(shellMM, capMM float64) (bool, error) {
		f, err := erode(ctx, p.Relief, shellMM, math.Max(2*coarseMM, coarseShare*shellMM))
		if err != nil {
			return false, err
		}
		sum := 0.0
		for _, z := range f.Z {
			sum += math.Max(0, float64(z)-capMM)
		}
		return sum*f.PitchMM*f.PitchMM >= want, nil
	}
	for _, k := range [...]struct {
		key       string
		least, mm float64
		enough    func(mm float64) (bool, error)
	}{
		{"shell.cap_mm", leastCapMM, c.CapMM, func(mm float64) (bool, error) { return enough(c.ShellMM, mm) }},
		{"shell.thickness_mm", leastShellMM, c.ShellMM, func(mm float64) (bool, error) { return enough(mm, c.CapMM) }},
	} {
		low, high := k.least, k.mm
		if ok, err := k.enough(low); err != nil || !ok || low > high {
			if err != nil {
				return g, err
			}
			continue
		}
		for high-low > 0.02 {
			mid := (low + high) / 2
			ok, err := k.enough(mid)
			if err != nil {
				return g, err
			}
			if ok {
				low = mid
			} else {
				high = mid
			}
		}
		mm := math.Floor(low*20) / 20
		g.Do = fmt.Sprintf("set %s to %g or less, or %s", k.key, mm, g.Do)
		g.Remedy = finding.Set(k.key, mm)
	}
	return g, nil
}
