package kitchen

import (
	"math"
	"testing"

	"mouldwright/internal/base/unit"
)

func near(a unit.Range, low, likely, high float64) bool {
	return math.Abs(a.Low-low) < 1e-9 && math.Abs(a.Likely-likely) < 1e-9 && math.Abs(a.High-high) < 1e-9
}

// Worked by hand: 10 filled pieces of 3 ml shell and 1 ml cap and 2 solid ones of 5 ml,
// all dark; 10 x 4 ml of filling.
func TestMasses(t *testing.T) {
	dark := unit.Between(1.2, 1.3, 1.4)
	k, list, err := Make([]Item{
		{Piece: "a", Count: 10, Chocolate: "dark", ChocolateGML: dark, Filling: "praline", FillingGML: unit.Sure(1.1), ShellMM3: 3000, FillingMM3: 4000, CapMM3: 1000},
		{Piece: "b", Count: 2, Chocolate: "dark", ChocolateGML: dark, ShellMM3: 5000},
		{Piece: "c", Count: 0, Chocolate: "milk", ChocolateGML: dark, ShellMM3: 5000},
	}, Choices{BowlFactor: 2, LossShare: 0.2, FillingLossShare: 0.12})
	if err != nil || len(list) != 0 {
		t.Fatal(err, list)
	}
	if len(k.Chocolates) != 2 || len(k.Fillings) != 1 || k.Chocolates[0].Name != "dark" || k.Fillings[0].Name != "praline" {
		t.Fatalf("%+v", k)
	}
	d := k.Chocolates[0]
	if !near(d.ShellMassG, 48, 52, 56) { // 30 + 10 ml
		t.Errorf("shell %v", d.ShellMassG)
	}
	if !near(d.CapMassG, 12, 13, 14) { // 10 ml
		t.Errorf("cap %v", d.CapMassG)
	}
	if !near(d.MeltMassG, 1.2*90/0.8, 1.3*90/0.8, 1.4*90/0.8) { // twice 40 ml and 10 ml solid, of which a fifth is lost
		t.Errorf("melt %v", d.MeltMassG)
	}
	if !near(d.ReturnG, 48, 52, 56) { // all in one round: the 40 ml once more
		t.Errorf("return %v", d.ReturnG)
	}
	if !near(d.RoundG, 2*48+12, 2*52+13, 2*56+14) { // twice the 40 ml, and the 10 ml of the solid ones
		t.Errorf("in the bowl %v", d.RoundG)
	}
	if !near(k.Fillings[0].MassG, 50, 50, 50) { // 44 g and 12 % of what is made
		t.Errorf("filling %v", k.Fillings[0].MassG)
	}
	if !near(k.Chocolates[1].MeltMassG, 0, 0, 0) {
		t.Errorf("none of a kind: %v", k.Chocolates[1])
	}
}

func TestMakeRefuses(t *testing.T) {
	ok := Item{Piece: "a", Count: 1, Chocolate: "dark", ChocolateGML: unit.Sure(1.3), ShellMM3: 1}
	good := Choices{BowlFactor: 2}
	for name, c := range map[string]struct {
		item    Item
		choices Choices
	}{
		"bowl below one": {ok, Choices{BowlFactor: 0.5}},
		"all is lost":    {ok, Choices{BowlFactor: 2, LossShare: 1}},
		"no number":      {ok, Choices{BowlFactor: math.NaN()}},
		"no density":     {Item{Piece: "a", Count: 1}, good},
		"count":          {Item{Piece: "a", Count: -1, ChocolateGML: unit.Sure(1.3)}, good},
		"filling":        {Item{Piece: "a", Count: 1, ChocolateGML: unit.Sure(1.3), Filling: "x"}, good},
	} {
		if _, _, err := Make([]Item{c.item}, c.choices); err == nil {
			t.Errorf("%s is taken", name)
		}
	}
}
