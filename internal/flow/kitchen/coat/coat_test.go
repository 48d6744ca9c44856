package coat

import (
	"math"
	"testing"

	"mouldwright/internal/base/field"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got/want-1) <= tol) {
		t.Errorf("%s: %.6g, want %.6g", what, got, want)
	}
}

// Computed from Casson's formula for published samples: milk 14.28 Pa, 1.863 Pa s and
// 9.3 Pa, 1.42 Pa s, dark 29.02 Pa, 6.056 Pa s.
func TestCasson(t *testing.T) {
	milk, dark, other := Casson{14.28, 1.863}, Casson{29.02, 6.056}, Casson{9.3, 1.42}
	near(t, "milk at 5", milk.StressPa(5), 46.662, 1e-3)
	near(t, "milk at 20", milk.StressPa(20), 97.673, 1e-3)
	near(t, "milk at 40", milk.StressPa(40), 154.042, 1e-3)
	near(t, "dark at 5", dark.StressPa(5), 118.587, 1e-3)
	near(t, "dark at 40", dark.StressPa(40), 438.948, 1e-3)
	near(t, "other at 5", other.StressPa(5), 32.652, 1e-3)
	near(t, "other at 50", other.StressPa(50), 131.693, 1e-3)
	for _, c := range []Casson{milk, dark, other} {
		rates := []float64{5, 10, 20, 40, 50}
		var stress []float64
		for _, r := range rates {
			stress = append(stress, c.StressPa(r))
		}
		f := Fit(rates, stress)
		near(t, "yield", f.YieldPa, c.YieldPa, 1e-6)
		near(t, "viscosity", f.ViscosityPaS, c.ViscosityPaS, 1e-6)
	}
}

// Computed from the formula for 1.2 g/ml; that the wall stress of a film is its weight
// over its area is the standard result for any liquid with a yield value.
func TestFilm(t *testing.T) {
	for yield, want := range map[float64][3]float64{5: {0.4249, 0.4906, 0.8498}, 10: {0.8498, 0.9812, 1.6995}, 20: {1.6995, 1.9624, 3.3991}, 30: {2.5493, 2.9437, 5.0986}} {
		for i, deg := range []float64{90, 60, 30} {
			near(t, "film", FilmMM(yield, 1.2, deg, 99), want[i], 1e-3)
		}
	}
	if got := FilmMM(10, 1.2, 0, 12); got != 12 {
		t.Errorf("a level floor keeps %g mm", got)
	}
}

// Jeffreys' plate: 5 Pa s, 20 mm, 1.2 g/ml, after 60 s 0.3763 mm (computed).
func TestDrain(t *testing.T) { near(t, "draining", DrainS(5, 1.2, 20, 0.3763), 60, 1e-3) }

func TestWallDeg(t *testing.T) {
	g := field.Grid{W: 401, H: 401, PitchMM: 0.1, X0: -20, Y0: -20}
	for _, draft := range []float64{8, 20, 45} {
		f := field.New(g)
		for j := range g.H {
			for i := range g.W {
				p := g.XY(i, j)
				f.Row(j)[i] = float32(math.Max(0, math.Min(12, (18-math.Hypot(p.X, p.Y))/math.Tan(draft*math.Pi/180))))
			}
		}
		if got := WallDeg(f, 0.2); math.Abs(got-(90-draft)) > 2 { // one degree of the table, one of the grid
			t.Errorf("draft %g: walls lean %g from level", draft, got)
		}
	}
	if got := WallDeg(field.New(g), 0.2); got != 0 {
		t.Errorf("nothing leans %g", got)
	}
}

// Computed from the relation for 5 Pa s, 15 mm, 1.2 g/ml, 300 s: 0.1458 mm; twice the
// radius makes it thicker by the root of two.
func TestSetting(t *testing.T) {
	near(t, "film", SettingMM(5, 1.2, 15, 300), 0.1458, 1e-3)
	near(t, "twice the radius", SettingMM(5, 1.2, 30, 300)/SettingMM(5, 1.2, 15, 300), 1.41421, 1e-5)
}
