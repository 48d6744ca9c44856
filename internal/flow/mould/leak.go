package mould

import (
	"math"

	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/master"
)

// A printed gap is taken to be up to so many times as wide as drawn (from memory, no source
// at hand).
const widestGap = 2.0

// leakShare of the rubber may seep out before a finding asks for a seal (our choice:
// it is less than what stays in the cups).
const leakShare = 0.01

// leak is the flow in mm³/s through a slit: w g³ dp / (12 mu L), steady and slow
// (J. Boussinesq 1868; F. M. White, Viscous Fluid Flow, plane Poiseuille flow, from
// memory). Lengths in mm, pressure in Pa, viscosity in Pa s.
func leak(widthMM, gapMM, pathMM, pressurePa, viscosityPaS float64) float64 {
	return widthMM * math.Pow(gapMM, 3) * pressurePa / (12 * viscosityPaS * pathMM)
}

// slit is the way out of an unsealed frame: all around its foot.
type slit struct {
	gapMM  unit.Range
	pathMM float64
}

// slitOf: between base and printed panels lies the clearance, and the way leads down
// along the base's edge; boards stand on the table, and the way leads out under them.
func slitOf(frame master.Choices, c Choices) slit {
	if frame.Frame == "own boards" {
		return slit{c.BoardGapMM, c.BoardMM}
	}
	return slit{unit.Between(frame.ClearMM, frame.ClearMM, widestGap*frame.ClearMM), frame.BaseMM}
}

// seep is what leaves an unsealed frame while the rubber flows. The low and likely
// values count half of the working time, since rubber thickens; the high one all of it.
func seep(t master.Tray, o slit, s material.Silicone) unit.Range {
	if o.pathMM <= 0 || !(s.ViscosityPaS.Low > 0) {
		return unit.Range{}
	}
	around := 2 * (t.WidthMM + t.DepthMM)
	at := func(gap, density, viscosity, minutes float64) float64 {
		return leak(around, gap, o.pathMM, density*unit.GravityMS2*t.RubberMM, viscosity) * 60 * minutes * density / 1000
	}
	w := s.WorkingTimeMin
	return unit.Range{
		Low:    at(o.gapMM.Low, s.DensityGML.Low, s.ViscosityPaS.High, w.Low/2),
		Likely: at(o.gapMM.Likely, s.DensityGML.Likely, s.ViscosityPaS.Likely, w.Likely/2),
		High:   at(o.gapMM.High, s.DensityGML.High, s.ViscosityPaS.Low, w.High),
	}
}
