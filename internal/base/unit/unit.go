// Package unit holds what every other package says about quantities: a Range for
// what nature leaves uncertain, and the ways a quantity is printed.
//
// Quantities are plain float64 whose unit stands in the name (PitchMM, MassG,
// CureH). x is right, y away, z up from the build plate.
package unit

import (
	"fmt"
	"math"
)

// GravityMS2 is standard gravity in m/s² (CGPM 1901).
const GravityMS2 = 9.80665

// Range is an uncertain quantity: Low <= Likely <= High, all in the unit that the
// name of the field states. A Range with three equal values is taken as certain.
type Range struct {
	Low    float64 `json:"low"`
	Likely float64 `json:"likely"`
	High   float64 `json:"high"`
}

// Sure is a Range without spread.
func Sure(v float64) Range { return Range{v, v, v} }

// Between is a Range from low over likely to high.
func Between(low, likely, high float64) Range { return Range{low, likely, high} }

// Ordered reports whether the three values are finite and in order.
func (r Range) Ordered() bool {
	for _, v := range [...]float64{r.Low, r.Likely, r.High} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return r.Low <= r.Likely && r.Likely <= r.High
}

// IsSure reports whether the range has no spread.
func (r Range) IsSure() bool { return r.Low == r.High }

// Scale multiplies all three values by a factor >= 0.
func (r Range) Scale(f float64) Range { return Range{r.Low * f, r.Likely * f, r.High * f} }

// Map applies a monotone function to the three values and keeps them in order.
func (r Range) Map(f func(float64) float64) Range {
	a, b, c := f(r.Low), f(r.Likely), f(r.High)
	if a > c {
		a, c = c, a
	}
	return Range{a, b, c}
}

// String prints the range without its unit: "1.08" or "1.05 / 1.08 / 1.12".
func (r Range) String() string {
	if r.IsSure() {
		return fmt.Sprintf("%g", r.Likely)
	}
	return fmt.Sprintf("%g / %g / %g", r.Low, r.Likely, r.High)
}
