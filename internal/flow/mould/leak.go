package mould

import (
	"math"

	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/master"
)

// Between base and panels lies a gap all around, as wide as the clearance that keys
// are printed with; the rubber's way out leads down along the base's edge. A printed
// gap is taken to be up to twice as wide (from memory, no source at hand).
const widestGap = 2.0

// leakShare of the rubber may seep out before a finding asks for a seal; it is less
// than what stays in the cups.
const leakShare = 0.01

// leak is the flow in mm³/s through a slit: w g³ dp / (12 mu L), steady and slow
// (J. Boussinesq 1868; F. M. White, Viscous Fluid Flow, plane Poiseuille flow, from
// memory). Lengths in mm, pressure in Pa, viscosity in Pa s.
func leak(widthMM, gapMM, pathMM, pressurePa, viscosityPaS float64) float64 {
	return widthMM * math.Pow(gapMM, 3) * pressurePa / (12 * viscosityPaS * pathMM)
}

// seep is what leaves an unsealed printed frame while the rubber flows. The low value
// counts half of the working time, since rubber thickens; the high one all of it.
func seep(t master.Tray, frame master.Choices, s material.Silicone) unit.Range {
	if frame.Frame != "printed" || frame.BaseMM <= 0 || !(s.ViscosityPaS.Low > 0) {
		return unit.Range{}
	}
	around := 2 * (t.WidthMM + t.DepthMM)
	at := func(gap, density, viscosity, minutes float64) float64 {
		return leak(around, gap, frame.BaseMM, density*gravity*t.RubberMM, viscosity) * 60 * minutes * density / 1000
	}
	w := s.WorkingTimeMin
	return unit.Range{
		Low:    at(frame.ClearMM, s.DensityGML.Low, s.ViscosityPaS.High, w.Low/2),
		Likely: at(frame.ClearMM, s.DensityGML.Likely, s.ViscosityPaS.Likely, w.Likely/2),
		High:   at(widestGap*frame.ClearMM, s.DensityGML.High, s.ViscosityPaS.Low, w.High),
	}
}
