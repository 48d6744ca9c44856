package forecast

import (
	"math"
	"testing"

	"mouldwright/internal/base/field"
)

// A roof that leans a tenth has terraces of ten layers: under a coat as thick as a layer it
// is glossy; beside it level ground is glossy, and walls are satin. Neighbouring
// layers are told apart.
func TestFinishMap(t *testing.T) {
	f := field.New(field.Grid{W: 200, H: 40, PitchMM: 0.05})
	for k := range f.Z {
		x := float64(k%f.W) * f.PitchMM
		switch {
		case x < 5:
			f.Z[k] = float32(1 + 0.1*x)
		case x < 7:
			f.Z[k] = 1.5
		default:
			f.Z[k] = float32(math.Max(0.05, 1.5-(x-7)*2))
		}
	}
	_, c := usual()
	m, err := FinishMap(bg, f, 0.05, 0.05, c)
	if err != nil {
		t.Fatal(err)
	}
	for i := 2; i < 96; i++ {
		layer := int(math.Floor(float64(f.At(i, 20))/0.05 + 0.5))
		if v := m.At(i, 20); v != float32(2+layer%2) {
			t.Errorf("sample %d of the roof is %g, on layer %d", i, v, layer)
		}
	}
	if m.At(120, 20) != 0 || m.At(150, 20) != 1 {
		t.Errorf("level %g, wall %g", m.At(120, 20), m.At(150, 20))
	}
	c.CoatMM = 0.05
	if m, err = FinishMap(bg, f, 0.05, 0.05, c); err != nil || m.At(40, 20) != 0 {
		t.Errorf("under a coat: %g (%v)", m.At(40, 20), err)
	}
}

// All but a hundredth of what differs, on either side.
func TestReach(t *testing.T) {
	d := field.New(field.Grid{W: 1000, H: 2, PitchMM: 1})
	if low, high := Reach(d); low != 0 || high != 0 {
		t.Errorf("nothing differs: %g to %g", low, high)
	}
	for i := range 1000 {
		d.Z[i] = float32(i - 499)
	}
	if low, high := Reach(d); low != -490 || high != 491 {
		t.Errorf("-499 to 500: %g to %g", low, high)
	}
}
