package mould

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/unit"
)

// Gent's relation and the logarithmic fit, computed from the stated formulas outside
// the program (sources at the functions); both as MPa.
func TestModulusTable(t *testing.T) {
	shore := []float64{10, 15, 20, 25, 30, 40, 50, 60, 70}
	gent := []float64{0.4127, 0.5629, 0.7319, 0.9235, 1.1424, 1.6896, 2.4558, 3.6051, 5.5205}
	logs := []float64{0.3933, 0.5155, 0.6756, 0.8855, 1.1606, 1.9939, 3.4253, 5.8844, 10.109}
	for i, s := range shore {
		if e := gentMPa(s); math.Abs(e/gent[i]-1) > 1e-3 {
			t.Errorf("Gent at Shore A %g: %.4f MPa, want %.4f", s, e, gent[i])
		}
		if e := logMPa(s); math.Abs(e/logs[i]-1) > 1e-3 {
			t.Errorf("log form at Shore A %g: %.4f MPa, want %.4f", s, e, logs[i])
		}
	}
	// The inverse of Gent's: 1.0 MPa at Shore A 26.83, 0.5 MPa at 12.98.
	for s, want := range map[float64]float64{26.83: 1, 12.98: 0.5} {
		if e := gentMPa(s); math.Abs(e-want) > 1e-3 {
			t.Errorf("Gent at Shore A %g: %.4f MPa, want %g", s, e, want)
		}
	}
}

func TestModulusBand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(1, 80).Draw(t, "low")
		s := unit.Between(low, low+rapid.Float64Range(0, 5).Draw(t, "likely"), low+rapid.Float64Range(5, 10).Draw(t, "high"))
		e := modulus(s)
		if !e.Ordered() || e.Low <= 0 {
			t.Fatalf("Shore A %v: %v MPa", s, e)
		}
		for _, f := range []func(float64) float64{gentMPa, logMPa} {
			if v := f(s.Likely); v < e.Low || v > e.High {
				t.Fatalf("Shore A %v: %g MPa lies outside of %v", s, v, e)
			}
		}
	})
}
