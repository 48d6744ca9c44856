package mould

import (
	"math"

	"mouldwright/internal/base/unit"
)

// gentMPa is Young's modulus of a rubber of Shore A hardness s:
// 0.0981 (56 + 7.62336 s) / (0.137505 (254 - 2.54 s)) MPa, from the indenter's force
// and depth (A. N. Gent, Rubber Chem. Technol. 31, 1958, 896; the formula from memory).
// Fair for 20 < s < 80; without bound at 100.
func gentMPa(s float64) float64 {
	return 0.0981 * (56 + 7.62336*s) / (0.137505 * (254 - 2.54*s))
}

// logMPa is the same by a fit over measured rubbers: log10 E = 0.0235 s - 0.6403
// (H. J. Qi, K. Joyce, M. C. Boyce, Rubber Chem. Technol. 76, 2003, 419), best for 30-60.
func logMPa(s float64) float64 { return math.Pow(10, 0.0235*s-0.6403) }

// modulus is the band that both relations span over the hardness; they lie within 9 %
// of each other for Shore A 10-30 and 40 % apart at 50. Valid from 1 to 90.
func modulus(shoreA unit.Range) unit.Range {
	return unit.Range{
		Low:    min(gentMPa(shoreA.Low), logMPa(shoreA.Low)),
		Likely: math.Sqrt(gentMPa(shoreA.Likely) * logMPa(shoreA.Likely)),
		High:   max(gentMPa(shoreA.High), logMPa(shoreA.High)),
	}
}
