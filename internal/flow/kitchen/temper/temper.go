// Package temper works out seeding: how much solid chocolate brings a melt to its
// working point, and how long the bowl stays there.
//
//	Curves (melt, cool, work) + room + fat --Seed--> share of the bowl that is added solid
package temper

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
)

// Curve is the temperatures of tempering in °C: melted fully, cooled to where seeds
// hold, worked. Two published tables differ by 5 K in melting and 2 K in cooling, so
// each is a band that holds both (common practice as confections textbooks print it).
type Curve struct{ MeltC, SeedC, WorkC unit.Range }

// Curves by kind, in °C, from several tables (common practice, no source). The likely working
// temperature lies where the tables overlap: dark 31-32, milk 29-31, white 28-30.
var Curves = map[string]Curve{
	"dark":  {unit.Between(45, 50, 55), unit.Between(28, 28.5, 29), unit.Between(31, 31.5, 32)},
	"milk":  {unit.Between(40, 45, 50), unit.Between(27, 27.5, 28), unit.Between(29, 30, 31)},
	"white": {unit.Between(40, 43, 50), unit.Between(24, 26, 27), unit.Between(28, 29, 30)},
}

// keptShare is the crystallised share that the tempered bowl shall keep of its fat: 1-5 %
// (from memory, no source at hand).
var keptShare = unit.Between(0.01, 0.03, 0.05)

// Seed is the share of all chocolate that is stirred in solid at roomC, so that the
// melt, taken off the heat at addC, ends at workC with fatPct of fat:
//
//	(1-f) c (add - work) = f (c (work - room) + L) - kept L
//
// Warmth that goes into the bowl and the room on the way is left out, so somewhat less
// may be enough: add the last of it in small portions. Temperatures must fall from addC
// over workC to roomC.
func Seed(addC, workC, roomC, fatPct, kept float64) (float64, error) {
	if !(addC > workC && workC > roomC && workC < material.CocoaFormC[4] && workC > material.CocoaFormC[3]) || !(fatPct > 0 && fatPct <= 100) {
		return 0, &finding.Error{Key: "kitchen.room_c", Found: fmt.Sprintf("melt at %g °C, work at %g °C, room at %g °C", addC, workC, roomC),
			Allowed: fmt.Sprintf("falling, with the working point between %g and %g °C (crystal forms IV and V)", material.CocoaFormC[3], material.CocoaFormC[4]), Do: "cool the room, or temper at another time"}
	}
	latent := material.CocoaButterJG * fatPct / 100
	melt := material.LiquidChocolateJGK * (addC - workC)
	return (melt + kept*latent) / (melt + material.ChocolateJGK*(workC-roomC) + latent), nil
}

// Seeding is Seed over a curve's band: low with the coolest melt and most fat.
func (c Curve) Seeding(roomC float64, fatPct unit.Range) (unit.Range, error) {
	low, err := Seed(c.MeltC.Low, c.WorkC.High, roomC, fatPct.High, keptShare.Low)
	if err != nil {
		return unit.Range{}, err
	}
	mid, err := Seed(c.MeltC.Likely, c.WorkC.Likely, roomC, fatPct.Likely, keptShare.Likely)
	if err != nil {
		return unit.Range{}, err
	}
	high, err := Seed(c.MeltC.High, c.WorkC.Low, roomC, fatPct.Low, keptShare.High)
	if err != nil {
		return unit.Range{}, err
	}
	return unit.Between(low, mid, high), nil
}

// Lumped is how long a body takes from one temperature to another in air when it is as
// warm inside as outside: t = C/(hA) ln(...), heat capacity in J/K, h in W/m²K, area in
// m². exact is false when Bi = h L/k with L = volume/area is 0.1 or more (F. P. Incropera
// et al., Fundamentals of Heat and Mass Transfer, sec. 5.1-5.2). toC must lie between
// fromC and airC.
func Lumped(capacityJK, film, areaM2, volumeM3, conductivity, fromC, toC, airC float64) (seconds float64, exact bool) {
	return capacityJK / (film * areaM2) * math.Log((fromC-airC)/(toC-airC)), film*volumeM3/areaM2/conductivity < 0.1
}

// WorkMin is how long massG of tempered chocolate in a bowl stays between the ends of
// the working band in a room, stirred now and then. The bowl is a hemisphere with an open
// top; its film to still air 6-14 W/m²K (from memory). Stirring keeps it even, so the
// lumped body is meant although a still one would not be.
func (c Curve) WorkMin(massG, densityGML, roomC float64) unit.Range {
	return c.coolMin(massG, densityGML, roomC, c.WorkC.Low)
}

// thickenMin is how long chocolate that has left its band downwards stays a liquid that
// warming brings back: its crystals grow with a time constant of some 24 min at 28 °C (the
// kinetics of chilling, an assumption), and at a third of them it no longer pours.
var thickenMin = unit.Between(10, 20, 40)

// ThickMin is how long massG may stand before it has to be melted and tempered anew: it
// cools to the lower end of the cooling band, and thickens there. A room that warm never
// lets it.
func (c Curve) ThickMin(massG, densityGML, roomC float64) unit.Range {
	r := c.coolMin(massG, densityGML, roomC, math.Max(c.SeedC.Low, roomC+1))
	return unit.Between(r.Low+thickenMin.Low, r.Likely+thickenMin.Likely, r.High+thickenMin.High)
}

// coolMin is how long a bowl takes from the upper end of its working band to toC.
func (c Curve) coolMin(massG, densityGML, roomC, toC float64) unit.Range {
	v := massG / densityGML * 1e-6
	r := math.Cbrt(v * 3 / (2 * math.Pi))
	minutes := func(film, to float64) float64 {
		s, _ := Lumped(massG*material.ChocolateJGK, film, 3*math.Pi*r*r, v, 0.26, c.WorkC.High, to, roomC)
		return s / 60
	}
	if massG <= 0 {
		return unit.Range{}
	}
	return unit.Between(minutes(14, toC), minutes(9, toC), minutes(6, toC))
}
