package pour

import (
	"math"
	"strconv"
)

// A weighing is off by at most one step of the scale: half of it because the amount
// is aimed at a whole step, half because the reading is rounded.

// ratioOff is by what share the ratio A : B can miss when a mass is divided into parts
// that are each off by one step of the scale, in the worse of the two directions: too
// much of A and too little of B, or the other way. Infinite when a part can vanish.
func ratioOff(partAG, partBG, stepG float64) float64 {
	if partAG <= stepG || partBG <= stepG {
		return math.Inf(1)
	}
	right := partAG / partBG
	more := (partAG+stepG)/(partBG-stepG)/right - 1
	less := 1 - (partAG-stepG)/(partBG+stepG)/right
	return max(more, less)
}

// smallestBatch is the least mass whose ratio stays within tolerance (a share above 0)
// on a scale with that step. From (A+s)B = (1+t)A(B-s) with A = a m, B = b m and
// a + b = 1: m = s (b + (1+t) a) / (t a b); the other direction always misses by less.
func smallestBatch(ratioA, ratioB, stepG, tolerance float64) float64 {
	a := ratioA / (ratioA + ratioB)
	b := 1 - a
	return stepG * (b + (1+tolerance)*a) / (tolerance * a * b)
}

// onScale rounds a mass to the scale's step. A step that divides a gram is counted in
// parts of a gram, so that 228.6 g are not 228.60000000000002.
func onScale(g, stepG float64) float64 {
	if n := math.Round(1 / stepG); n >= 1 && math.Abs(n*stepG-1) < 1e-9 {
		return math.Round(g*n) / n
	}
	return math.Round(g/stepG) * stepG
}

// Grams words a mass to be weighed, with the places that the scale shows.
func Grams(g, stepG float64) string {
	places := 0
	for n := stepG; places < 3 && math.Abs(n-math.Round(n)) > 1e-9; n *= 10 {
		places++
	}
	return strconv.FormatFloat(onScale(g, stepG), 'f', places, 64) + "\u00a0g"
}
