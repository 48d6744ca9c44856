package mould

import (
	"math"

	"mouldwright/internal/base/unit"
)

// Casts of a mould before it is put away: common practice, no source: dozens to a few
// hundred. Read as the 10, 50 and 90 % points of a log-normal spread.
var castsPrior = unit.Between(100.0/3, 100, 300)

// ExpectedCasts is how often a mould will be filled before it is put away, from the
// counts at which earlier ones were. Without any it is castsPrior; each count weighs
// as much as that does as a whole, so that a person's own record soon decides. Counts
// below 1 are left out. The range narrows as the record grows, but never below what
// one mould differs from the next.
//
// Normal mean with known variance on logarithms (conjugate prior worth one count):
// A. Gelman et al., Bayesian Data Analysis, 3rd ed. 2013, sec. 2.5, from memory.
func ExpectedCasts(retiredAfter []int) unit.Range {
	sum, n := math.Log(castsPrior.Likely), 1.0
	for _, c := range retiredAfter {
		if c >= 1 {
			sum, n = sum+math.Log(float64(c)), n+1
		}
	}
	// The prior's spread is that of a forecast from it alone: sigma² (1 + 1/1).
	spread := math.Log(castsPrior.High/castsPrior.Likely) * math.Sqrt((1+1/n)/2)
	mid := sum / n
	return unit.Range{Low: math.Exp(mid - spread), Likely: math.Exp(mid), High: math.Exp(mid + spread)}
}
