package forecast

import (
	"math"
	"testing"

	"mouldwright/internal/base/field"
)

// Cusp and terrace of a 50 µm layer, from the formula of A. Dolenc, I. Makela, "Slicing
// procedures for layered manufacturing techniques", Computer-Aided Design 26(2), 1994,
// computed apart from this code.
func TestCuspAndTerrace(t *testing.T) {
	for _, c := range []struct{ deg, cusp, run float64 }{
		{10, 49.240, 283.6}, {30, 43.301, 86.60}, {45, 35.355, 50}, {60, 25, 28.87}, {80, 8.682, 8.82},
	} {
		if got := 1000 * Cusp(0.05, c.deg); math.Abs(got-c.cusp) > 0.01 {
			t.Errorf("cusp at %g°: %.3f µm, want %g", c.deg, got, c.cusp)
		}
		if got := 1000 * TerraceMM(0.05, c.deg); math.Abs(got-c.run) > 0.05 {
			t.Errorf("terrace at %g°: %.2f µm, want %g", c.deg, got, c.run)
		}
	}
}

// plane rises by the tangent of deg along a direction.
func plane(deg, toward float64) *field.Field {
	f := field.New(field.Grid{W: 100, H: 80, PitchMM: pitch})
	sin, cos := math.Sincos(toward)
	for k := range f.Z {
		q := f.XY(k%f.W, k/f.W)
		f.Z[k] = float32(5 + math.Tan(deg*math.Pi/180)*(q.X*cos+q.Y*sin))
	}
	return f
}

// A plane is all of one kind, and its remedies hide its steps: layers whose terrace is
// just too narrow to be seen, a coat as thick as the cusp.
func TestFinishOfAPlane(t *testing.T) {
	_, c := usual()
	for _, k := range []struct {
		deg                     float64
		glossy, satin, stepped  float64
		hideLayerMM, hideCoatMM float64
	}{
		{0, 1, 0, 0, 0, 0},
		{60, 0, 1, 0, 0, 0},
		{10, 0, 0, 1, 0.1 * math.Tan(10*math.Pi/180), 0.04924},
		{5, 0, 0, 1, 0.1 * math.Tan(5*math.Pi/180), 0.04981},
	} {
		s, err := surveySlopes(bg, plane(k.deg, 0.7))
		if err != nil {
			t.Fatal(err)
		}
		f := s.finish(0.05, c)
		// Bins are a per cent of slope wide.
		near := func(a, b float64) bool { return math.Abs(a-b) <= 0.01*b }
		if f.GlossyShare != k.glossy || f.SatinShare != k.satin || f.SteppedShare != k.stepped || !near(f.HideLayerMM, k.hideLayerMM) || !near(f.HideCoatMM, k.hideCoatMM) {
			t.Errorf("%g degrees: %+v", k.deg, f)
		}
		coated := c
		coated.CoatMM = 0.0501
		if f = s.finish(0.05, coated); f.GlossyShare != 1 {
			t.Errorf("%g degrees under a coat thicker than the layer: %+v", k.deg, f)
		}
	}
}

// Walls of 2 and 5 degrees against a rule of 3: shares by area, the draft as built.
func TestDraft(t *testing.T) {
	for lean, want := range map[float64]float64{2: 1, 3: 0, 5: 0} {
		f := plane(90-lean, 1.1)
		s, err := surveySlopes(bg, f)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.belowShare(3); got != want {
			t.Errorf("lean %g: share %g, want %g", lean, got, want)
		}
		m, err := DraftMap(bg, f)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range m.Z[:m.W*m.H] {
			if math.Abs(float64(v)-lean) > 0.02 {
				t.Fatalf("lean %g is mapped as %g", lean, v)
			}
		}
	}
}
