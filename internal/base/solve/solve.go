// Package solve finds where a function of one variable is zero, and the cheapest way
// to send units through a network.
package solve

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
)

// Root is where f changes its sign between lo and hi, to within tol > 0, by halving the
// interval: it needs no slope and cannot leave the interval. f must have opposite signs
// at both ends, or be zero at one of them; otherwise there is an error.
func Root(f func(float64) float64, lo, hi, tol float64) (float64, error) {
	a, b := f(lo), f(hi)
	switch {
	case a == 0:
		return lo, nil
	case b == 0:
		return hi, nil
	case !(lo < hi) || !(tol > 0) || math.IsNaN(a) || math.IsNaN(b) || a > 0 == (b > 0):
		return 0, &finding.Error{Found: fmt.Sprintf("no change of sign between %g and %g", lo, hi), Allowed: "ends with opposite signs"}
	}
	for hi-lo > tol {
		mid := lo + (hi-lo)/2
		if mid <= lo || mid >= hi { // neighbours among the numbers
			break
		}
		v := f(mid)
		if v == 0 {
			return mid, nil
		}
		if v > 0 == (a > 0) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo + (hi-lo)/2, nil
}
