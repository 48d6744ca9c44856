package kitchen

import (
	"context"
	"math"
	"strings"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/kitchen/recipe"
)

// habits is the defaults.
func habits() Choices {
	return Choices{BowlFactor: 2, LossShare: 0.05, FillingLossShare: 0.1, PieceLossShare: 0.05, RoomC: 20, FridgeC: unit.Between(4, 6, 8), Air: "still",
		FillingC: 25, BoardMM: 3, ShelfWidthMM: 450, ShelfDepthMM: 300, Shelves: 1, Hands: 1, Copies: 1, KeepDays: 14}
}

func around() Surroundings {
	return Surroundings{Chocolate: material.Chocolates["dark"].Value, Filling: material.Filling{DensityGML: unit.Between(1.1, 1.2, 1.3)},
		SiliconeG: unit.Between(1.05, 1.08, 1.12), RubberMM: 9, ShellMM: 2}
}

// Melt and seed together are what is bought, and about a quarter to a third is seed
// (common practice, no source).
func TestBowl(t *testing.T) {
	k := Chocolate{Name: "dark", ShellMassG: unit.Between(570, 600, 630), CapMassG: unit.Between(190, 200, 210), ReturnG: unit.Between(280, 300, 320)}
	b, list, err := NewBowl(k, material.Chocolates["dark"].Value, habits())
	if err != nil || len(list) != 0 {
		t.Fatal(err, list)
	}
	if want := 1100 / 0.95; math.Abs(b.BuyG.Likely-want) > 1e-9 || math.Abs(b.MeltG.Likely+b.SeedG.Likely-want) > 1e-9 {
		t.Errorf("buy %v, melt %v, seed %v", b.BuyG, b.MeltG, b.SeedG)
	}
	if s := b.SeedG.Likely / b.BuyG.Likely; s < 0.2 || s > 0.34 || !b.SeedG.Ordered() || !b.MeltG.Ordered() {
		t.Errorf("%.2f of it is seed", s)
	}
	small, list, err := NewBowl(Chocolate{ShellMassG: unit.Sure(50)}, material.Chocolates["milk"].Value, habits())
	if err != nil || len(list) != 1 {
		t.Errorf("%+v %v %v", small, list, err)
	}
	hot := habits()
	hot.RoomC = 35
	if _, _, err := NewBowl(k, material.Chocolates["dark"].Value, hot); err == nil {
		t.Error("tempering in a room of 35 °C is taken")
	}
}

// By hand: 104 pieces at 5 % loss are 109, in 24 cavities 5 rounds; a single name is
// not made twice.
func TestRounds(t *testing.T) {
	for _, c := range [][3]int{{104, 24, 5}, {1, 1, 1}, {26, 6, 5}, {24, 24, 2}, {0, 5, 0}, {9, 9, 1}} {
		if got := Rounds(c[0], c[1], habits()); got != c[2] {
			t.Errorf("%d in %d cavities: %d rounds, want %d", c[0], c[1], got, c[2])
		}
	}
}

func TestKeep(t *testing.T) {
	k, list, err := Keep("x", material.Filling{DensityGML: unit.Between(1.1, 1.2, 1.3), Recipe: "dark ganache", Allergens: []string{"soya"}}, nil, 500, habits())
	if err != nil || k.Outlives || strings.Join(k.Allergens, " ") != "milk soya" {
		t.Errorf("%+v %v", k, err)
	}
	if len(k.Suggestions) == 0 {
		t.Errorf("a dark ganache of water activity %s is found so wet that no small change lets it keep for weeks: is every method right for it?", k.Recipe.Activity.Range)
	}
	sum := 0.0
	for _, a := range k.Amounts {
		sum += a.MassG
	}
	if math.Abs(sum-500) > 1e-9 { // nothing is boiled off
		t.Errorf("%g g are weighed for 500 g", sum)
	}
	if finding.Worst(list) != finding.Care || !strings.Contains(list[0].What, "no laboratory measurement") {
		t.Errorf("%v", list)
	}
	long := habits()
	long.KeepDays = 2
	if k, _, _ := Keep("x", material.Filling{Recipe: "dark ganache"}, nil, 500, long); !k.Outlives {
		t.Error("does not outlive two days")
	}
	k, list, err = Keep("x", material.Filling{}, nil, 500, habits())
	if err != nil || k.Recipe != nil || len(list) != 1 {
		t.Errorf("without a recipe: %+v %v %v", k, list, err)
	}
	// Water boiled off is weighed in.
	if k, _, _ = Keep("x", material.Filling{Recipe: "pear caramel"}, nil, 500, habits()); k.Recipe == nil || k.Recipe.YieldShare >= 1 {
		t.Errorf("%+v", k)
	}
	sum = 0
	for _, a := range k.Amounts {
		sum += a.MassG
	}
	if math.Abs(sum*k.Recipe.YieldShare-500) > 1e-6 {
		t.Errorf("%g g boil down to %g g", sum, sum*k.Recipe.YieldShare)
	}
}

func TestKeepRefuses(t *testing.T) {
	for name, f := range map[string]material.Filling{
		"two recipes":              {Recipe: "dark ganache", IngredientsG: map[string]float64{"cream": 1}},
		"no such recipe":           {Recipe: "moon cheese"},
		"over 100 %":               {IngredientsPct: map[string]float64{"cream": 60, "honey": 55}},
		"under 100 %":              {IngredientsPct: map[string]float64{"cream": 60}},
		"an unknown ingredient":    {IngredientsG: map[string]float64{"moon dust": 5}},
		"wetter than its own food": {IngredientsG: map[string]float64{"honey": 5}, WaterPct: 40},
	} {
		if _, _, err := Keep("x", f, nil, 100, habits()); err == nil || !strings.Contains(err.Error(), "filling.x") {
			t.Errorf("%s: %v", name, err)
		}
	}
	in, err := recipe.Own{WaterPct: 10, SucrosePct: 90}.Ingredient("moon dust")
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := Keep("x", material.Filling{IngredientsG: map[string]float64{"moon dust": 5}}, map[string]*recipe.Ingredient{"moon dust": in}, 100, habits()); err != nil {
		t.Errorf("an own ingredient: %v", err)
	}
}

func bowlShape(t testing.TB, solid bool) *Body {
	t.Helper()
	g := field.Grid{W: 241, H: 241, PitchMM: 0.1, X0: -12, Y0: -12}
	out, in := field.New(g), field.New(g)
	for j := range g.H {
		for i := range g.W {
			p := g.XY(i, j)
			r := math.Hypot(p.X, p.Y)
			out.Row(j)[i] = float32(math.Min(10, math.Max(0, (10-r)*7)))
			in.Row(j)[i] = float32(math.Min(8, math.Max(0, (8-r)*7)))
		}
	}
	if solid {
		in = nil
	}
	b, err := NewBody(context.Background(), out, in, 10, 1.8, 8)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestChill(t *testing.T) {
	b := bowlShape(t, false)
	if b.WallDeg < 80 || b.WallDeg > 84 { // a wall of 7 up to 1 across leans 81.9 degrees
		t.Errorf("walls lean %g", b.WallDeg)
	}
	s, list, err := Chill(context.Background(), "x", b, around(), habits(), PageCells, true)
	if err != nil {
		t.Fatal(err)
	}
	if !s.StaysMM.Ordered() || !s.DrainS.Ordered() || s.Coats < 1 || !s.Shell.SetMin.Ordered() || !s.Cap.SetMin.Ordered() || s.WarmestC < 26 || len(s.Changes) != 6 {
		t.Errorf("%+v", s)
	}
	// 15 Pa on 82 degrees: 15/(1200 9.80665 sin 82) = 1.287 mm, so 2 mm take two coats.
	if math.Abs(s.StaysMM.Likely-1.287) > 0.01 || s.Coats != 2 || finding.Worst(list) != finding.Note {
		t.Errorf("%.3f mm stay, %d coats, %v", s.StaysMM.Likely, s.Coats, list)
	}
	hot := habits()
	hot.FillingC = 45
	if _, list, err = Chill(context.Background(), "x", b, around(), hot, PageCells, false); err != nil || finding.Worst(list) != finding.Care {
		t.Errorf("a hot filling: %v %v", list, err)
	}
	solid, _, err := Chill(context.Background(), "x", bowlShape(t, true), around(), habits(), PageCells, false)
	if err != nil || solid.Cap != nil || solid.Coats != 0 || solid.WarmestC != 0 || !(solid.Shell.SetMin.Likely > s.Shell.SetMin.Likely) {
		t.Errorf("%+v %v", solid, err)
	}
	warm := habits()
	warm.FridgeC = unit.Sure(26)
	if _, _, err := Chill(context.Background(), "x", b, around(), warm, PageCells, false); err == nil {
		t.Error("a fridge of 26 °C is taken")
	}
}

// twoTrays are two moulds of twelve cavities for five rounds, and their bowl.
func twoTrays() ([]Tray, []Bowl) {
	one := Tray{Name: "tray 1", WidthMM: 200, DepthMM: 150, Cavities: 12, Filled: true, Rounds: 5, ShellMin: 10, CapMin: 25, Bowls: []int{0}, RubberG: 400}
	two := one
	two.Name = "tray 2"
	return []Tray{one, two}, []Bowl{{Name: "dark", BuyG: unit.Sure(1500), WorkMin: unit.Between(5, 10, 20)}}
}

// By hand: two moulds take 120 min to cast. Saving 130 min pays at once, 50 min from the
// third evening on, 2 min never within a mould's life, nothing not at all.
func TestSecond(t *testing.T) {
	trays, _ := twoTrays()
	r := Rubber{PricePerG: 0.05, FoodH: unit.Between(28, 30, 34)}
	for saves, want := range map[float64]int{130: 1, 50: 3, 2: 0, 0: 0} {
		s := second(trays, saves, r)
		if s.Evenings != want || s.RubberG != 800 || s.Price != 40 || s.HandsMin != 120 || s.Verdict == "" {
			t.Errorf("saving %g min: %+v", saves, s)
		}
	}
	if v := second(trays, 50, r).Verdict; !strings.Contains(v, "third evening") || !strings.Contains(v, "800\u00a0g of rubber (40") {
		t.Error(v)
	}
}

// A second coat makes the evening longer than a spatula, which makes it longer than
// walls that keep enough.
func TestThinWalls(t *testing.T) {
	end := func(coats int, walls string) float64 {
		trays, bowls := twoTrays()
		for i := range trays {
			trays[i].Coats = coats
		}
		h := habits()
		h.ThinWalls = walls
		e, _, err := Work(trays, bowls, Rubber{}, h, nil)
		if err != nil {
			t.Fatal(err)
		}
		return e.Plan.EndMin
	}
	one, spatula, coat := end(1, "coat"), end(2, "spatula"), end(2, "coat")
	if !(one < spatula && spatula < coat) {
		t.Errorf("one coat %.1f min, with a spatula %.1f, two coats %.1f", one, spatula, coat)
	}
}

// What goes through a bag only when it is too warm for the shell is pointed out.
func TestPiping(t *testing.T) {
	k, _, err := Keep("caramel", material.Filling{Recipe: "salted caramel"}, nil, 500, habits())
	if err != nil {
		t.Fatal(err)
	}
	if fits, list := k.Piping(k.PipeC.Likely + 1); !fits || list != nil {
		t.Errorf("%v %v", fits, list)
	}
	if fits, list := k.Piping(k.PipeC.Likely - 1); fits || len(list) != 1 || list[0].Where != "filling.caramel" {
		t.Errorf("%v %v", fits, list)
	}
	if fits, list := k.Piping(0); fits || list != nil {
		t.Errorf("into no piece: %v %v", fits, list)
	}
}

func TestWork(t *testing.T) {
	trays, bowls := twoTrays()
	e, list, err := Work(trays, bowls, Rubber{}, habits(), nil)
	of := 0
	if e != nil && e.Plan != nil {
		for _, s := range e.Plan.Steps {
			if s.Mould >= 0 {
				of++
			}
		}
	}
	if err != nil || len(list) != 0 || e.Rounds != 5 || of != 2*5*8 || e.Plan.Steps[0].What != "temper" || !(e.Second.SavesMin > 0) {
		t.Fatalf("%+v %v %v", e, list, err)
	}
	more := habits()
	more.Copies = 2
	twice, _, err := Work(trays, bowls, Rubber{}, more, nil)
	if err != nil || math.Abs(e.Plan.EndMin-twice.Plan.EndMin-e.Second.SavesMin) > 1e-9 {
		t.Errorf("a second mould saves %g min, said were %g", e.Plan.EndMin-twice.Plan.EndMin, e.Second.SavesMin)
	}
	narrow := habits()
	narrow.ShelfWidthMM = 100
	if e, list, err = Work(trays, bowls, Rubber{}, narrow, nil); err != nil || e != nil || finding.Worst(list) != finding.Care {
		t.Errorf("no shelf: %+v %v %v", e, list, err)
	}
}

// Everything of the kitchen but chilling.
func BenchmarkAllButChilling(b *testing.B) {
	dark, body := material.Chocolates["dark"].Value, bowlShape(b, false)
	trays, bowls := twoTrays()
	for b.Loop() {
		if _, _, err := NewBowl(Chocolate{ShellMassG: unit.Sure(900)}, dark, habits()); err != nil {
			b.Fatal(err)
		}
		for name := range recipe.Library().Recipes {
			if _, _, err := Keep("x", material.Filling{Recipe: name}, nil, 500, habits()); err != nil {
				b.Fatal(err)
			}
		}
		body.Coat(around())
		if _, _, err := Work(trays, bowls, Rubber{}, habits(), nil); err != nil {
			b.Fatal(err)
		}
	}
}
