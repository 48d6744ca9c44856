// Package coat says how much chocolate stays on a mould's walls when the rest is tipped
// out.
//
//	relief --WallDeg--> lean of its walls
//	yield value, density, lean --FilmMM--> thickness that stays
//	viscosity, density, time to set --SettingMM--> the least that stays without one
package coat

import (
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/unit"
)

// Casson is a chocolate's flow: sqrt(stress) = sqrt(yield) + sqrt(viscosity * rate)
// (N. Casson 1959), between 5 and 50 1/s at 40 °C.
type Casson struct {
	YieldPa      float64
	ViscosityPaS float64
}

// StressPa is the shear stress at a rate in 1/s.
func (c Casson) StressPa(rate float64) float64 {
	s := math.Sqrt(c.YieldPa) + math.Sqrt(c.ViscosityPaS*rate)
	return s * s
}

// Fit finds the flow from stresses at rates (1/s), at least two, all above 0: a straight
// line through their square roots. It is for a person's own measurements.
func Fit(rates, stressesPa []float64) Casson {
	var n, x, y, xx, xy float64
	for i, r := range rates {
		a, b := math.Sqrt(r), math.Sqrt(stressesPa[i])
		n, x, y, xx, xy = n+1, x+a, y+b, xx+a*a, xy+a*b
	}
	slope := (n*xy - x*y) / (n*xx - x*x)
	yield := math.Max(0, (y-slope*x)/n)
	return Casson{yield * yield, slope * slope}
}

// FilmMM is the film that stays on a wall that leans slopeDeg from level once draining
// has ended: h = yield / (density * g * sin slope), where the weight of the film just
// equals the yield value. It does not depend on how much was poured. A level wall keeps
// what is poured: mostMM bounds the result.
func FilmMM(yieldPa, densityGML, slopeDeg, mostMM float64) float64 {
	pull := densityGML * 1000 * unit.GravityMS2 * math.Sin(slopeDeg*math.Pi/180)
	if !(pull > 0) {
		return mostMM
	}
	return math.Min(mostMM, 1000*yieldPa/pull)
}

// DrainS is how long the mould must hang until a film on a wall of heightMM has come
// down to filmMM: t = viscosity * z / (density * g * h²), the draining of a liquid without
// yield value (H. Jeffreys 1930, from memory), at the bottom of the wall.
func DrainS(viscosityPaS, densityGML, heightMM, filmMM float64) float64 {
	h := filmMM / 1000
	return viscosityPaS * heightMM / 1000 / (densityGML * 1000 * unit.GravityMS2 * h * h)
}

// SettingMM is the film that a liquid without yield value leaves on a curved wall of
// radiusMM that it runs down until it sets after setS seconds: sqrt(viscosity * R /
// (density * g * t)), whatever was poured and from how high (A. Lee, P.-T. Brun, J.
// Marthelot, G. Balestra, F. Gallaire, P. M. Reis, Nature Communications 7 (2016) 11155).
// Chocolate has a yield value and keeps more: this is the least.
func SettingMM(viscosityPaS, densityGML, radiusMM, setS float64) float64 {
	return 1000 * math.Sqrt(viscosityPaS*radiusMM/1000/(densityGML*1000*unit.GravityMS2*setS))
}

// steepShare is the share of the surface that may be steeper than WallDeg (our choice: the
// walls of small art, where chocolate gathers anyway).
const steepShare = 0.05

// WallDeg is the lean of a relief's walls from level: all but a twentieth of its surface
// is less steep. The relief is looked at on a grid of about stepMM.
func WallDeg(relief *field.Field, stepMM float64) float64 {
	k := max(1, int(math.Round(stepMM/relief.PitchMM)))
	d := float64(k) * relief.PitchMM
	var area [91]float64
	total := 0.0
	for j := 0; j+k < relief.H; j += k {
		for i := 0; i+k < relief.W; i += k {
			z := float64(relief.At(i, j))
			dx, dy := (float64(relief.At(i+k, j))-z)/d, (float64(relief.At(i, j+k))-z)/d
			if z <= 0 && dx == 0 && dy == 0 {
				continue
			}
			g := math.Hypot(dx, dy)
			a := math.Hypot(1, g)
			area[int(math.Atan(g)*180/math.Pi+0.5)] += a
			total += a
		}
	}
	left := steepShare * total
	for deg := 90; deg > 0; deg-- {
		if left -= area[deg]; left < 0 {
			return float64(deg)
		}
	}
	return 0
}
