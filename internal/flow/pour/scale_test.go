package pour

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// By hand: 10 : 1 on a scale of 1 g. 110 g are 100 + 10; weighed as 101 and 9 the
// ratio is 11.22, off by 12.2 %; 2 % need 1 * (1/11 + 1.02 * 10/11) / (0.02 * 10/121)
// = 616.0 g.
func TestRatioByHand(t *testing.T) {
	if r := ratioOff(100, 10, 1); math.Abs(r-(101/9.0/10-1)) > 1e-12 {
		t.Errorf("off by %g", r)
	}
	if g := smallestBatch(10, 1, 1, 0.02); math.Abs(g-616) > 0.1 {
		t.Errorf("smallest batch %g g, want 616", g)
	}
}

func TestSmallestBatchKeepsTheRatio(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		a, b, step, tol := f("a", 0.1, 100), f("b", 0.1, 100), f("step", 0.01, 5), f("tolerance", 0.005, 0.1)
		g := smallestBatch(a, b, step, tol)
		if r := ratioOff(g*a/(a+b), g*b/(a+b), step); math.Abs(r/tol-1) > 1e-6 {
			t.Fatalf("%g : %g, step %g: %g g are off by %g, want %g", a, b, step, g, r, tol)
		}
		if r := ratioOff(1.01*g*a/(a+b), 1.01*g*b/(a+b), step); r >= tol {
			t.Fatalf("a larger batch is off by %g, allowed %g", r, tol)
		}
	})
}

func TestOnScale(t *testing.T) {
	for _, c := range []struct{ g, step, want float64 }{{228.61, 0.1, 228.6}, {228.6, 5, 230}, {0.04, 0.1, 0}, {1.26, 0.5, 1.5}, {7, 0.3, 6.9}} {
		if got := onScale(c.g, c.step); got != c.want && math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%g g on a scale of %g g: %v, want %g", c.g, c.step, got, c.want)
		}
	}
	if onScale(76.2+76.2+76.2, 0.1) != 228.6 {
		t.Error("tenths of a gram are not printed as tenths")
	}
}
