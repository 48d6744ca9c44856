package pour

import (
	"math"
	"testing"

	"mouldwright/internal/base/unit"
)

const inHg = 33.8639 // hPa

// Residual pressure and growth of a bubble at sea level by R. Boyle's law, computed
// outside the program; 0.5 % since gauges in inHg have no more digits.
func TestGrowthTable(t *testing.T) {
	for _, c := range []struct{ inHg, residual, grown float64 }{
		{25, 166.65, 6.08}, {27, 98.93, 10.24}, {28, 65.06, 15.57}, {28.5, 48.13, 21.05}, {29, 31.20, 32.48},
	} {
		p, err := residualHPa(c.inHg*inHg, 0)
		if err != nil {
			t.Fatal(err)
		}
		g, err := growth(c.inHg*inHg, 0)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(p/c.residual-1) > 5e-3 || math.Abs(g/c.grown-1) > 5e-3 {
			t.Errorf("%g inHg: %.2f hPa, x%.2f; want %.2f hPa, x%.2f", c.inHg, p, g, c.residual, c.grown)
		}
	}
}

// ICAO standard atmosphere (ISO 2533:1975, table): 898.75 hPa at 1000 m, 794.95 at
// 2000 m, 701.08 at 3000 m; the geopotential and geometric metre differ by 0.05 %
// there. 29 inHg are impossible from about 260 m on.
func TestAltitude(t *testing.T) {
	for h, want := range map[float64]float64{0: 1013.25, 1000: 898.75, 2000: 794.95, 3000: 701.08} {
		if p := standardHPa(h); math.Abs(p/want-1) > 1e-3 {
			t.Errorf("%g m: %.2f hPa, want %.2f", h, p, want)
		}
	}
	if _, err := residualHPa(29*inHg, 240); err != nil {
		t.Errorf("at 240 m: %v", err)
	}
	for _, c := range [][2]float64{{29 * inHg, 280}, {1013.25, 0}, {1100, 0}, {-1, 0}, {math.NaN(), 0}} {
		if _, err := residualHPa(c[0], c[1]); err == nil {
			t.Errorf("a vacuum of %g hPa at %g m was taken", c[0], c[1])
		}
	}
}

// Ideal gas: a litre of mix of which 5 % is air, at a tenth of the pressure, is
// 0.95 + 0.05 * 10 = 1.45 l; without air or without vacuum it stays as it is.
func TestRise(t *testing.T) {
	if r := rise(unit.Sure(0.05), 10).Likely; math.Abs(r-1.45) > 1e-12 {
		t.Errorf("rise %g, want 1.45", r)
	}
	if rise(unit.Sure(0), 30).Likely != 1 || rise(unit.Sure(0.2), 1).Likely != 1 {
		t.Error("something rises without air or without vacuum")
	}
	// Makers' tips, a container of three to five times the mix at 27-29 inHg, lie within
	// what the default share of air gives.
	g, err := growth(29*inHg, 0)
	if err != nil {
		t.Fatal(err)
	}
	if r := rise(unit.Between(0.03, 0.07, 0.13), g); r.Low > 3 || r.High < 5 || r.Likely < 3 || r.Likely > 5 {
		t.Errorf("at 29 inHg the default mix rises %v times", r)
	}
}
