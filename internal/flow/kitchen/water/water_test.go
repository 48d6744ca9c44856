package water

import (
	"math"
	"testing"

	"mouldwright/internal/base/unit"
	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.5f, want %.5f", what, got, want)
	}
}

// Sucrose at 25 °C: exp(-0.0180153 m phi) with osmotic coefficients of R. A. Robinson,
// R. H. Stokes, Electrolyte Solutions, 2nd ed. 1959, appendix (from memory). Measured
// apart from Norrish's constant, which agrees within 0.001.
func TestSucrose(t *testing.T) {
	for m, phi := range map[float64]float64{0.5: 1.041, 1: 1.088, 2: 1.189, 4: 1.375, 6: 1.511} {
		want := math.Exp(-0.0180153 * m * phi)
		near(t, "sucrose", Norrish(1000, Part{Sucrose, m * 342.30}), want, 0.002)
	}
	near(t, "0.5 mol", Norrish(1000, Part{Sucrose, 0.5 * 342.3}), 0.9906, 1e-4)
	near(t, "6 mol", Norrish(1000, Part{Sucrose, 6 * 342.3}), 0.8486, 1e-4)
	// Raoult's law alone would give 0.9025 there.
	if a := Norrish(1000, Part{Sucrose, 6 * 342.3}); a > 0.86 {
		t.Errorf("6 mol: %g", a)
	}
	// Saturated, 67.5 % by mass: 0.84-0.85, also with more than dissolves.
	a, err := Estimate(Solution{WaterG: 100, Parts: []Part{{Sucrose, 500}}})
	if err != nil || a.Methods[0].Activity < 0.84 || a.Methods[0].Activity > 0.852 {
		t.Errorf("saturated: %+v %v", a, err)
	}
}

// Computed from the formula with these constants.
func TestOneSolute(t *testing.T) {
	for _, c := range []struct {
		s    Solute
		want [4]float64
	}{
		{Sucrose, [4]float64{0.9859, 0.9702, 0.9348, 0.8532}},
		{Glucose, [4]float64{0.9743, 0.9475, 0.8923, 0.7829}},
		{Fructose, [4]float64{0.9744, 0.9478, 0.8931, 0.7850}},
		{Sorbitol, [4]float64{0.9749, 0.9494, 0.8979, 0.7981}},
	} {
		for i, g := range []float64{25, 50, 100, 200} {
			near(t, c.s.Name, Norrish(100, Part{c.s, g}), c.want[i], 1e-3)
		}
	}
}

// 100 g water, 100 sucrose, 50 glucose, 20 sorbitol: five published methods, computed.
func TestMixture(t *testing.T) {
	a, err := Estimate(Solution{WaterG: 100, Parts: []Part{{Sucrose, 100}, {Glucose, 50}, {Sorbitol, 20}}})
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{"Ross": 0.8680, "Norrish, several solutes": 0.8530, "Ferro Fontan": 0.8499, "Money and Born": 0.8450, "Grover": 0.8539}
	for _, m := range a.Methods {
		if want[m.Name] == 0 {
			t.Errorf("%s: %.4f is compared with nothing; work it out by hand", m.Name, m.Activity)
			continue
		}
		near(t, m.Name, m.Activity, want[m.Name], 1e-3)
	}
	if a.Range.High-a.Range.Likely < 0.0149 || a.Range.Likely-a.Range.Low < 0.0149 || a.Range.Low > 0.8451 || a.Range.High < 0.8679 {
		t.Errorf("%v does not hold the methods with 0.015 to each side", a.Range)
	}
}

// Computed from Grover's parabola; above 1 below E = 0.41, turning up past 11.1.
func TestGrover(t *testing.T) {
	for e, want := range map[float64]float64{0.1: 1, 0.5: 0.9911, 1: 0.9445, 2: 0.8580, 3: 0.7805, 4: 0.7120, 6: 0.6020, 8: 0.5280} {
		a, ok := grover(1, []Part{{Sucrose, e}}, 0)
		near(t, "Grover", a, want, 1e-4)
		if !ok {
			t.Errorf("E = %g is refused", e)
		}
	}
	if _, ok := grover(1, []Part{{Sucrose, 11.2}}, 0); ok {
		t.Error("E = 11.2 is taken")
	}
}

// Sodium chloride: 1 mol 0.96686, 6 mol 0.7598, saturated 0.753 (osmotic coefficients
// from memory; 0.9669 and 0.755 as quoted elsewhere; 75.29 % humidity over it, L.
// Greenspan, J. Res. NBS 81A (1977) 89, from memory).
func TestSalt(t *testing.T) {
	near(t, "1 mol", saltFactor(1000, 58.44), 0.96686, 1e-4)
	near(t, "6 mol", saltFactor(1000, 6*58.44), 0.7598, 5e-4)
	near(t, "saturated", saltFactor(1000, 1000), 0.7529, 0.003)
}

func TestClasses(t *testing.T) {
	last := 1.0
	for _, c := range Classes {
		if !(c.Above < last) || !c.Days.Ordered() || c.Basis == "" {
			t.Errorf("%+v", c)
		}
		last = c.Above
	}
	for high, want := range map[float64]int{0.95: 0, 0.851: 0, 0.85: 1, 0.71: 1, 0.70: 2, 0.61: 2, 0.6: 3, 0.3: 3, 0: 3} {
		if got := Keeping(unit.Between(0, high/2, high)); got != want {
			t.Errorf("%g: class %d, want %d", high, got, want)
		}
	}
	// Nothing that makes ill grows in the class of weeks, but that S. aureus's 0.83 of one
	// guide lies below the legal line: the estimate's high end and its band cover that.
	for _, g := range Growth {
		if g.Activity < 0.83 {
			t.Errorf("%s grows at %g", g.Name, g.Activity)
		}
	}
}

// More water raises the activity, more of any solute lowers it, and the size of the
// batch changes nothing.
func TestProperties(t *testing.T) {
	all := []Solute{Sucrose, Glucose, Fructose, Lactose, Maltose, Syrup42, Sorbitol, Xylitol, Glycerol, Citric}
	rapid.Check(t, func(t *rapid.T) {
		s := Solution{WaterG: rapid.Float64Range(20, 200).Draw(t, "water"), SaltG: rapid.Float64Range(0, 5).Draw(t, "salt"), EthanolG: rapid.Float64Range(0, 10).Draw(t, "ethanol")}
		n := rapid.IntRange(1, 4).Draw(t, "solutes")
		for i := range n {
			// Below what dissolves: beyond it more changes nothing.
			so := all[(i*3+rapid.IntRange(0, 2).Draw(t, "which"))%len(all)]
			s.Parts = append(s.Parts, Part{so, rapid.Float64Range(1, 15).Draw(t, "g") * math.Min(1, so.SolubleG) * s.WaterG / 100})
		}
		one, err := Estimate(s)
		if err != nil || !one.Range.Ordered() || one.Range.High > 1 || one.Range.Low < 0 {
			t.Fatal(one, err)
		}
		scaled := s
		scaled.WaterG, scaled.SaltG, scaled.EthanolG = 7*s.WaterG, 7*s.SaltG, 7*s.EthanolG
		scaled.Parts = nil
		for _, p := range s.Parts {
			scaled.Parts = append(scaled.Parts, Part{p.Solute, 7 * p.MassG})
		}
		if big, _ := Estimate(scaled); math.Abs(big.Range.Likely-one.Range.Likely) > 1e-12 {
			t.Fatal("the size of the batch matters")
		}
		wetter := s
		wetter.WaterG *= 1.1
		if w, _ := Estimate(wetter); !(w.Range.Likely > one.Range.Likely) {
			t.Fatalf("more water: %g, before %g", w.Range.Likely, one.Range.Likely)
		}
		sweeter := s
		sweeter.Parts = append([]Part{}, s.Parts...)
		sweeter.Parts[0].MassG *= 1.2
		if w, _ := Estimate(sweeter); !(w.Range.Likely < one.Range.Likely) {
			t.Fatalf("more %s: %g, before %g", s.Parts[0].Solute.Name, w.Range.Likely, one.Range.Likely)
		}
	})
}

func TestRefuses(t *testing.T) {
	for _, s := range []Solution{{}, {WaterG: -1}, {WaterG: math.NaN()}, {WaterG: 10, SaltG: -1}, {WaterG: 10, Parts: []Part{{Sucrose, -1}}}} {
		if _, err := Estimate(s); err == nil {
			t.Errorf("%+v is taken", s)
		}
	}
}
