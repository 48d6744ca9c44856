package solve

import (
	"math"
	"testing"
)

func TestRoot(t *testing.T) {
	x, err := Root(func(x float64) float64 { return x*x - 2 }, 0, 2, 1e-14)
	if err != nil || math.Abs(x-math.Sqrt2) > 2e-14 {
		t.Errorf("%v, %v", x, err)
	}
	if x, err = Root(func(x float64) float64 { return 3 - x }, -10, 3, 1e-9); err != nil || x != 3 {
		t.Errorf("a root at the end: %v, %v", x, err)
	}
	// A tolerance finer than the numbers themselves must end.
	if x, err = Root(func(x float64) float64 { return x - 1e9 - 0.5 }, 0, 1e10, 1e-30); err != nil || math.Abs(x-1e9-0.5) > 1e-6 {
		t.Errorf("fine tolerance: %v, %v", x, err)
	}
	for name, f := range map[string]func(float64) float64{
		"no change of sign": func(float64) float64 { return 1 },
		"not a number":      func(float64) float64 { return math.NaN() },
	} {
		if _, err := Root(f, 0, 1, 1e-6); err == nil {
			t.Errorf("%s is taken", name)
		}
	}
}
