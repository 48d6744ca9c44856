package coupon

import (
	"math"
	"testing"
)

func TestParseMM(t *testing.T) {
	for s, want := range map[string]float64{"39.86": 39.86, "39.86mm": 39.86, " 39.86 mm ": 39.86, "250um": 0.25, "250 µm": 0.25, "1in": 25.4, `0.5"`: 12.7} {
		if got, err := ParseMM(s); err != nil || math.Abs(got-want) > 1e-12 {
			t.Errorf("%q: %g, %v", s, got, err)
		}
	}
	for _, s := range []string{"", "mm", "-3", "0", "1e9", "NaN", "Inf", "39,86", "3 cm"} {
		if v, err := ParseMM(s); err == nil {
			t.Errorf("%q is %g", s, v)
		}
	}
}
