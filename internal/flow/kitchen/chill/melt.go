package chill

import (
	"math"

	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
)

// melting is the share of the fat that crystals of form V hold in the end, by
// temperature: a falling polyline. None stays at form V's melting point;
// the points between are the solid fat of well-tempered cocoa butter divided by that at
// 15 °C (from memory, no source at hand).
var melting = curve{{15, 1}, {20, 0.94}, {25, 0.86}, {27.5, 0.76}, {30, 0.55}, {32, 0.2}, {MeltsC, 0}}

// MeltsC is the temperature at which no crystal of form V is left.
var MeltsC = material.CocoaFormC[4]

type point struct{ c, share float64 }

// curve is a polyline over temperature; beyond its ends it stays level.
type curve []point

// at is the share and the slope at a temperature, and the temperatures from and up to
// which the curve is straight there.
func (m curve) at(c float64) (share, slope, from, to float64) {
	if c < m[0].c {
		return m[0].share, 0, math.Inf(-1), m[0].c
	}
	for i := 1; i < len(m); i++ {
		if a, b := m[i-1], m[i]; c < b.c {
			slope = (b.share - a.share) / (b.c - a.c)
			return a.share + slope*(c-a.c), slope, a.c, b.c
		}
	}
	end := m[len(m)-1]
	return end.share, 0, end.c, math.Inf(1)
}

// SolidShare is the share of a chocolate's crystals that stays at a temperature, 0 to 1.
func SolidShare(c float64) float64 {
	share, _, _, _ := melting.at(c)
	return share
}

// SolidC is the temperature up to which the given share of a chocolate's crystals
// stays, 0 to 1.
func SolidC(share float64) float64 {
	for i := 1; i < len(melting); i++ {
		if a, b := melting[i-1], melting[i]; share > b.share {
			return b.c - (share-b.share)/(a.share-b.share)*(b.c-a.c)
		}
	}
	return melting[len(melting)-1].c
}

// Kinetics is how fast tempered chocolate crystallises. Crystals grow towards the share
// that the temperature allows at a rate 1/τ proportional to the supercooling below form
// V's melting point, with τ = TimeMin at 16 °C; they melt at once.
//
// The range comes from two observations. Well-seeded cocoa butter at 16 °C does most of
// its contraction within the first half hour (N. V. Lovegren, R. O. Feuge, JAOCS 42
// (1965)): exp(-30/16) leaves 15 % to be done, exp(-30/4) nothing. And a film of
// tempered chocolate on a knife at room temperature is firm within 3 to 8 minutes
// (common practice, no source), which τ = 8 min gives for a firm share of 0.4.
// That the rate is proportional to the supercooling is an assumption.
type Kinetics struct {
	TimeMin float64 // τ at 16 °C; 0: no delay, the share follows the temperature
}

// timeMin is the range of τ at 16 °C, from fast to slow (derived from the two observations
// above).
var timeMin = unit.Between(4, 8, 16)

// speed is τ at 16 °C over τ at a temperature.
func speed(c float64) float64 {
	if c >= MeltsC {
		return 0
	}
	return min((MeltsC-c)*(1/(MeltsC-16)), 1.5)
}

// decay is 1 - exp(-x) for x >= 0. Up to a tenth, where steps of seconds lie, its series is
// right to x⁷/7! < 2e-11, in a third of the time of Expm1.
func decay(x float64) float64 {
	if x > 0.1 {
		return -math.Expm1(-x)
	}
	return x * (1 - x*(1./2) + x*x*((1./6-x*(1./24))+x*x*(1./120-x*(1./720))))
}

// settle moves a crystallised share for stepS seconds in a cube at c degrees that warms
// by rise degrees when all of it crystallises, and returns the new share. The cube's
// warming is part of the equation, so that a step of any length ends between the old
// share and the one in equilibrium.
func (k Kinetics) settle(m curve, share, c, rise, stepS float64) float64 {
	grow := 1.0
	if k.TimeMin > 0 {
		grow = decay(stepS / (60 * k.TimeMin) * speed(c))
	}
	goal, slope, from, to := m.at(c)
	if goal < share {
		grow = 1
	}
	if grow == 0 {
		return share
	}
	x := share + grow*(goal-share)/(1-grow*rise*slope)
	if end := c + rise*(x-share); from <= end && end < to {
		return x // the curve is straight so far
	}
	// f(x) = x - share - grow (goal(c + rise (x - share)) - share) rises with x.
	lo, hi := 0.0, 1.0
	for range 60 {
		g, slope, _, _ := m.at(c + rise*(x-share))
		f := x - share - grow*(g-share)
		if math.Abs(f) < 1e-8 { // shares are kept in 32 bits
			return x
		}
		if f > 0 {
			hi = x
		} else {
			lo = x
		}
		next := x - f/(1-grow*rise*slope)
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		x = next
	}
	return x
}
