package pour

import (
	"math"

	"mouldwright/internal/base/unit"
)

// cleanFactor is how much faster a bubble rises whose skin is clean and moves along,
// than a rigid one (J. Hadamard 1911, W. Rybczynski 1911), for a gas in a liquid.
const cleanFactor = 1.5

// stokes is the speed in mm/s at which a rigid bubble of a diameter in mm rises in a
// liquid (G. G. Stokes 1851): rho g d² / (18 mu), for a Reynolds number far below 1.
func stokes(diameterMM, densityGML, viscosityPaS float64) float64 {
	d := diameterMM / 1000
	return densityGML * 1000 * unit.GravityMS2 * d * d / (18 * viscosityPaS) * 1000
}

// smallestOut is the diameter in mm of the smallest bubble that rises depthMM within
// seconds of first viscosity; the depth itself where no time is left.
func smallestOut(depthMM, seconds, densityGML, viscosityPaS, factor float64) float64 {
	if depthMM <= 0 {
		return 0
	}
	one := stokes(1, densityGML, viscosityPaS) * factor
	return min(depthMM, math.Sqrt(depthMM/(one*seconds)))
}

// Bubbles is what rises out of the rubber before it sets, by diameter at the pressure
// of the room. Larger bubbles than these are gone, smaller ones stay.
type Bubbles struct {
	DepthMM   float64
	FrameMM   unit.Range // through the depth in the frame, from the pour to the end of the working time
	ChamberMM unit.Range // through the cup under vacuum, where they are grown; like FrameMM without a vacuum
	BothMM    unit.Range // the smaller of the two: what a pour by this plan holds back
	Sizes     []Rises
}

// Rises is how far a bubble of one size rises before the rubber is too stiff.
type Rises struct {
	DiameterMM float64    // at the pressure of the room
	FrameMM    unit.Range // in the frame, after the pour
	ChamberMM  unit.Range // in the cup under vacuum; 0 without
}

// shownMM are the sizes that are told (our choice: what one sees down to what dulls a
// surface).
var shownMM = [...]float64{0.1, 0.2, 0.5, 1, 2}

// rest is one case of how long and how thick the rubber stands.
type rest struct {
	density, viscosity, factor, working, grown float64
}

// bubbles follows the rubber from the cup into the frame. cupMM is the depth of a
// batch in its cup, degasFrom and degasTo minutes after mixing began (equal: none),
// poured the minute from which it rests; expansion is p0/p of the chamber.
func bubbles(w Times, densityGML, viscosityPaS unit.Range, depthMM, cupMM, degasFrom, degasTo, poured, expansion float64) Bubbles {
	b := Bubbles{DepthMM: depthMM}
	put := func(c rest) (frame, chamber, both float64) {
		frame = smallestOut(depthMM, 60*flowing(poured, c.working, c.working, c.grown), c.density, c.viscosity, c.factor)
		chamber = frame
		if degasTo > degasFrom {
			s := 60 * flowing(degasFrom, degasTo, c.working, c.grown)
			chamber = smallestOut(cupMM, s, c.density, c.viscosity, c.factor) / math.Cbrt(expansion)
		}
		return frame, chamber, min(frame, chamber)
	}
	t, g := w.WorkingTimeMin, w.Thickening
	quick := rest{densityGML.High, viscosityPaS.Low, cleanFactor, t.High, g.Low}
	likely := rest{densityGML.Likely, viscosityPaS.Likely, 1, t.Likely, g.Likely}
	slow := rest{densityGML.Low, viscosityPaS.High, 1, t.Low, g.High}
	b.FrameMM.Low, b.ChamberMM.Low, b.BothMM.Low = put(quick)
	b.FrameMM.Likely, b.ChamberMM.Likely, b.BothMM.Likely = put(likely)
	b.FrameMM.High, b.ChamberMM.High, b.BothMM.High = put(slow)
	for _, d := range shownMM {
		rises := func(c rest) (frame, chamber float64) {
			frame = stokes(d, c.density, c.viscosity) * c.factor * 60 * flowing(poured, c.working, c.working, c.grown)
			if degasTo > degasFrom {
				chamber = stokes(d*math.Cbrt(expansion), c.density, c.viscosity) * c.factor * 60 * flowing(degasFrom, degasTo, c.working, c.grown)
			}
			return frame, chamber
		}
		r := Rises{DiameterMM: d}
		r.FrameMM.Low, r.ChamberMM.Low = rises(slow)
		r.FrameMM.Likely, r.ChamberMM.Likely = rises(likely)
		r.FrameMM.High, r.ChamberMM.High = rises(quick)
		b.Sizes = append(b.Sizes, r)
	}
	return b
}
