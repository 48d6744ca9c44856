package pack

import (
	"math"
	"slices"
)

// LeastBins is a number of bins below which no packing can be: of things that each take
// up a size of a bin's room, whatever their shapes. It is the bound L2 of S. Martello
// and P. Toth, "Lower bounds and reduction procedures for the bin packing problem",
// Discrete Applied Mathematics 28 (1990) 59-70: for any a up to half the room, things
// larger than room - a share a bin with nothing of size a or more, things larger than
// half the room share none with each other, and what the other things from a up overflow
// the latter needs bins of its own. Sizes are above 0 and at most room, but for rounding.
func LeastBins(sizes []float64, room float64) int {
	if len(sizes) == 0 {
		return 0
	}
	down := slices.Clone(sizes)
	slices.SortFunc(down, func(a, b float64) int {
		switch {
		case a > b:
			return -1
		case a < b:
			return 1
		}
		return 0
	})
	sum := make([]float64, len(down)+1) // of the first so many
	for i, s := range down {
		sum[i+1] = sum[i] + s
	}
	// above is how many are larger than s.
	above := func(s float64) int {
		n, _ := slices.BinarySearchFunc(down, s, func(v, s float64) int {
			if v > s {
				return -1
			}
			return 1
		})
		return n
	}
	half := above(room / 2)
	best := half
	try := func(a float64, end int) { // things from a up are the first end
		large := above(room - a)
		rest := sum[end] - sum[half] - (float64(half-large)*room - (sum[half] - sum[large]))
		best = max(best, half+int(math.Ceil(rest/room-1e-9)))
	}
	try(0, len(down))
	for i := half; i < len(down); i++ {
		if i+1 == len(down) || down[i+1] != down[i] {
			try(down[i], i+1)
		}
	}
	return max(best, 1)
}
