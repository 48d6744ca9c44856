package field

import (
	"math"

	"mouldwright/internal/base/geom"
)

func around(r geom.Rect, p float64) Grid {
	i0, j0 := math.Floor(r.Min.X/p+1e-9), math.Floor(r.Min.Y/p+1e-9)
	i1, j1 := math.Ceil(r.Max.X/p-1e-9), math.Ceil(r.Max.Y/p-1e-9)
	return Grid{W: count(i1 - i0 + 1), H: count(j1 - j0 + 1), PitchMM: p, X0: i0 * p, Y0: j0 * p}
}

// count keeps a number of samples within what an int holds, for Check to judge.
func count(n float64) int {
	switch {
	case !(n > 0):
		return 0
	case n > 1<<30:
		return 1 << 30
	}
	return int(n)
}
