package mould

import (
	"math"
	"testing"
)

// Even pressure, all edges supported. W. C. Young, R. G. Budynas, Roark's Formulas for
// Stress and Strain, 7th ed. 2002, table 11.4 case 1a: y = alpha q b⁴ / (E t³) with b
// the shorter side and Poisson's ratio 0.3; printed to 4 digits from an older analysis
// rounded at each step, hence 0.6 %.
func TestPlateSupportedAllAround(t *testing.T) {
	for _, c := range []struct{ ratio, alpha float64 }{
		{1, 0.0444}, {1.2, 0.0616}, {1.4, 0.0770}, {1.6, 0.0906}, {1.8, 0.1017}, {2, 0.1110}, {3, 0.1335}, {4, 0.1400}, {5, 0.1417},
	} {
		// The panel's length is the shorter side here: it is ratio times as high as long.
		k, err := bulge(c.ratio, 1, 0.3, heldTop)
		if err != nil {
			t.Fatal(err)
		}
		if got := k * 12 * (1 - 0.3*0.3); math.Abs(got/c.alpha-1) > 6e-3 {
			t.Errorf("sides 1 : %g: alpha %.4f, Roark has %.4f", c.ratio, got, c.alpha)
		}
		// The same plate lying: only the unit of length changes.
		lying, err := bulge(1/c.ratio, 1, 0.3, heldTop)
		if err != nil {
			t.Fatal(err)
		}
		if got := lying * math.Pow(c.ratio, 4); math.Abs(got/k-1) > 2e-4 {
			t.Errorf("sides 1 : %g: %.6f standing, %.6f lying", c.ratio, k, got)
		}
	}
}

// A liquid's pressure, all edges supported: S. Timoshenko, S. Woinowsky-Krieger, Theory
// of Plates and Shells, 2nd ed. 1959, table 9, from memory: in the middle of a square
// 0.00203 q0 a⁴/D, half of the 0.00406 of table 8; the largest, a little towards the
// foot, is 0.00206. Far-off supports leave a strip: 0.00652 q0 b⁴/D at its largest
// (any handbook's beam under a triangular load).
func TestPlateUnderLiquid(t *testing.T) {
	k, err := bulge(1, 0, 0.3, heldTop)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(k-0.00206) > 1e-5 {
		t.Errorf("square: %.5f, want 0.00206", k)
	}
	if k, err = bulge(0.1, 0, 0.3, heldTop); err != nil {
		t.Fatal(err)
	}
	if got := k * 1e4; math.Abs(got-0.00652) > 2e-5 {
		t.Errorf("strip: %.5f, want 0.00652", got)
	}
}

// Even pressure, top free: Timoshenko and Woinowsky-Krieger table 47, from memory, at
// the middle of the free edge, and Roark table 11.4 case 2a in its own unit, from
// memory: alpha = 12 (1 - nu²) w.
func TestPlateWithFreeTop(t *testing.T) {
	for _, c := range []struct{ height, want float64 }{{0.5, 0.00710}, {2 / 3.0, 0.00968}, {1, 0.01286}, {1.5, 0.01462}, {2, 0.01507}} {
		k, err := bulge(c.height, 1, 0.3, freeTop)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(k/c.want-1) > 5e-3 {
			t.Errorf("%.2f times as high as long: %.5f, want %.5f", c.height, k, c.want)
		}
	}
}

// A low panel with a free top turns about its foot like a strip that is twisted: its
// torsional stiffness is 2 (1 - nu) D b (B. de Saint-Venant 1855 for a thin strip), the
// turning pressure q0 b²/6 for each length, so that the top moves by
// q0 a² b² / (96 (1 - nu) D).
func TestLowPanelTwists(t *testing.T) {
	for _, nu := range []float64{0, 0.3, 0.35} {
		const b = 0.02
		k, err := bulge(b, 0, nu, freeTop)
		if err != nil {
			t.Fatal(err)
		}
		if want := b * b / (96 * (1 - nu)); math.Abs(k/want-1) > 5e-3 {
			t.Errorf("Poisson's ratio %g: %.4g, want %.4g", nu, k, want)
		}
	}
}

func TestPanelOfNoShape(t *testing.T) {
	for _, h := range []float64{0, -1, 1e-4, 100, math.NaN(), math.Inf(1)} {
		if _, err := bulge(h, 0, 0.3, freeTop); err == nil {
			t.Errorf("height %g was taken", h)
		}
	}
}
