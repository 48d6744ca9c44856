package recipe

import (
	"maps"
	"math"
	"slices"
	"testing"
)

// Sucrose solutions at 20 °C: 20 % 1.945, 40 % 6.167, 60 % 58.49 mPa s (J. F. Swindells,
// C. F. Snyder, R. C. Hardy, P. E. Golden, NBS Circular 440 supplement, 1958, table of
// viscosities, from memory). The formula is known to lie within some per cent.
func TestSyrupAgainstTables(t *testing.T) {
	for brix, want := range map[float64]float64{20: 1.945, 40: 6.167, 60: 58.49} {
		if got := 1000 * SyrupPaS(brix, 20); math.Abs(got/want-1) > 0.05 {
			t.Errorf("%g %%: %.3f mPa s, want %.3f", brix, got, want)
		}
	}
}

// Spheres in a liquid at great dilution thicken it by 2.5 times their share of volume (A.
// Einstein, Ann. Phys. 19 (1906) 289, corrected 1911).
func TestThickenedAsEinstein(t *testing.T) {
	if got := (thickened(1e-4) - 1) / 1e-4; math.Abs(got-2.5) > 0.01 {
		t.Errorf("%.3f times the share, want 2.5", got)
	}
}

func TestPipeC(t *testing.T) {
	k := Library()
	for _, name := range slices.Sorted(maps.Keys(k.Recipes)) {
		r := k.Recipes[name]
		f, err := Work(r.IngredientsG, r.WaterPct, nil)
		if err != nil {
			t.Fatal(err)
		}
		p := f.PipeC(r.WaterPct > 0)
		t.Logf("%-26s pipes from %4.1f %4.1f %4.1f °C; %7.1f Pa s fresh, %7.1f set at 25 °C", name, p.Low, p.Likely, p.High, f.Of100G.thickPaS(25, 0, r.WaterPct > 0), f.Of100G.thickPaS(25, 1, r.WaterPct > 0))
		if !p.Ordered() {
			t.Errorf("%s: %v", name, p)
		}
		// Warmer is thinner, and all of these are piped at 30-35 °C when fresh (common
		// practice, no source).
		if p.Low > 35 {
			t.Errorf("%s: only from %.1f °C", name, p.Low)
		}
	}
	dry, _ := Work(map[string]float64{"sugar": 95, "cocoa butter": 5}, 0, nil)
	if p := dry.PipeC(false); p.Low < 59 {
		t.Errorf("nearly dry sugar pipes from %v", p)
	}
}
