package pour

import (
	"math"
	"testing"

	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/master"
	"pgregory.net/rapid"
)

// By hand: 200 ml at 1.08 g/ml with 4 % left in the cup are 225 g; 10:1 by mass
// gives 204.545 g of A. By volume with A 1.10 and B 1.00 it is 11:1.
func TestMake(t *testing.T) {
	s := material.Silicone{RatioA: 10, RatioB: 1, RatioBy: "mass", DensityGML: unit.Sure(1.08), DensityAGML: 1.1, DensityBGML: 1}
	trays := []master.Tray{{Number: 1, RubberMM3: 150_000}, {Number: 2, RubberMM3: 50_000}}
	p, _, err := Make(trays, Choices{CupShare: 0.04}, s)
	if err != nil {
		t.Fatal(err)
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-3 {
			t.Errorf("%s: %.4f g, want %.4f g", what, got, want)
		}
	}
	near("all", p.Total.MassG.Likely, 225)
	near("A", p.Total.PartAG, 204.545)
	near("B", p.Total.PartBG, 20.455)
	near("tray 2", p.Trays[1].MassG.Likely, 56.25)
	s.RatioBy = "volume"
	if p, _, err = Make(trays, Choices{CupShare: 0.04}, s); err != nil {
		t.Fatal(err)
	}
	near("A by volume", p.Total.PartAG, 225*11/12.0)
}

func TestPartsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := rapid.Float64Range(0.1, 100)
		s := material.Silicone{RatioA: part.Draw(t, "a"), RatioB: part.Draw(t, "b"), DensityGML: unit.Between(1.05, 1.1, 1.2)}
		var trays []master.Tray
		for i := range rapid.IntRange(0, 5).Draw(t, "trays") {
			trays = append(trays, master.Tray{Number: i + 1, RubberMM3: rapid.Float64Range(0, 1e6).Draw(t, "mm3")})
		}
		p, _, err := Make(trays, Choices{CupShare: rapid.Float64Range(0, 0.5).Draw(t, "cup")}, s)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, m := range p.Trays {
			if math.Abs(m.PartAG+m.PartBG-m.MassG.Likely) > 1e-9*(1+m.MassG.Likely) || !m.MassG.Ordered() {
				t.Fatalf("%+v does not add up", m)
			}
			sum += m.PartAG
		}
		if math.Abs(sum-p.Total.PartAG) > 1e-9*(1+sum) {
			t.Fatalf("trays need %g g of A, all together %g g", sum, p.Total.PartAG)
		}
	})
}

func TestBadRatio(t *testing.T) {
	if _, _, err := Make(nil, Choices{}, material.Silicone{RatioA: 1}); err == nil {
		t.Error("a ratio of 1 to 0 was taken")
	}
	if _, _, err := Make(nil, Choices{CupShare: math.NaN()}, material.Silicone{RatioA: 1, RatioB: 1}); err == nil {
		t.Error("a share that is no number was taken")
	}
}
