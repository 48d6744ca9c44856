package recipe

import (
	"bytes"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"mouldwright/internal/flow/kitchen/water"
	"pgregory.net/rapid"
)

// Energy by the factors of Regulation (EU) 1169/2011, Annex XIV, over composition from
// USDA SR26: milk chocolate 2207 kJ / 528 kcal, dark 70-85 % 2392 / 577 (computed), pure
// sorbitol 1000 / 240. Within 1.
func TestEnergy(t *testing.T) {
	k := Library().Ingredients
	for name, want := range map[string][2]float64{"milk chocolate": {2207, 528}, "dark chocolate 75": {2392, 577}} {
		c := k[name].Of100G
		kj, kcal := c.Energy()
		if math.Abs(kj-want[0]) > 1 || math.Abs(kcal-want[1]) > 1 {
			t.Errorf("%s: %.1f kJ, %.1f kcal, want %v", name, kj, kcal, want)
		}
	}
	c := Composition{PolyolsG: 100}
	if kj, kcal := c.Energy(); kj != 1000 || kcal != 240 {
		t.Errorf("sorbitol: %g kJ, %g kcal", kj, kcal)
	}
}

// Every ingredient adds up to at most 100 g, with its sugars divided wholly.
func TestLibrary(t *testing.T) {
	k := Library()
	if len(k.Recipes) < 12 {
		t.Errorf("%d recipes", len(k.Recipes))
	}
	for name, in := range k.Ingredients {
		c := in.Of100G
		sum := 0.0
		for _, g := range c.Solutes {
			sum += g
		}
		if total := c.totalG(); total > 101.5 || total < 90 { // ash is left out; fruit acids are from memory and add a gram
			t.Errorf("%s adds up to %.1f g", name, total)
		}
		if math.Abs(sum-c.SugarsG-c.PolyolsG) > 0.011*c.SugarsG {
			t.Errorf("%s: sugars %.2f g, divided into %.2f g", name, c.SugarsG, sum)
		}
		if in.Source == "" {
			t.Errorf("%s has no source", name)
		}
	}
}

// The rows taken from the database are those of the database.
func TestRowsAreTheDatabase(t *testing.T) {
	all, err := os.ReadFile("../../../../../shared/data/usda-composition.csv")
	if err != nil {
		t.Skip("left out: the optional folder with test data is not there, so rows are not compared with the database")
	}
	ours, err := data.ReadFile("data/usda-sr26.csv")
	if err != nil {
		t.Fatal(err)
	}
	for line := range bytes.Lines(ours) {
		if !bytes.Contains(all, bytes.TrimSpace(line)) {
			t.Errorf("not in the database: %s", line)
		}
	}
}

func TestRecipes(t *testing.T) {
	k := Library()
	for _, name := range slices.Sorted(maps.Keys(k.Recipes)) {
		r := k.Recipes[name]
		f, err := Work(r.IngredientsG, r.WaterPct, nil)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		s, err := Suggest(r.IngredientsG, r.WaterPct, nil)
		t.Logf("%-24s water %4.1f %% aw %.3f-%.3f-%.3f %-18s density %.2f %4.0f kcal %v %v", name, f.Of100G.WaterG, f.Activity.Range.Low, f.Activity.Range.Likely, f.Activity.Range.High, f.Keeping().Name, f.DensityGML.Likely, f.Kcal, f.Allergens, s)
		if err != nil || !f.Activity.Range.Ordered() || f.DensityGML.Likely < 0.9 || f.DensityGML.Likely > 1.5 || f.Kcal < 150 || f.Kcal > 700 {
			t.Errorf("%s: %+v %v", name, f, err)
		}
		// What is suggested must work.
		for _, s := range s {
			g, err := Work(s.IngredientsG, s.WaterPct, nil)
			if err != nil || g.Class <= f.Class {
				t.Errorf("%s: %v does not reach the next class: %v", name, s, err)
			}
		}
		if r.Method == "" {
			t.Errorf("%s: no method", name)
		}
		// What is cooked and falls short has a way out as well.
		if r.WaterPct > 0 && f.Class == 0 && len(s) == 0 {
			t.Errorf("%s: nothing is suggested", name)
		}
	}
}

// By hand: 100 g of sugar and 100 g of water boiled down to 20 % of water leave 100/0.8 =
// 125 g (less what is in the sugar and tap water).
func TestBoiledDown(t *testing.T) {
	f, err := Work(map[string]float64{"sugar": 100, "water": 100}, 20, nil)
	if err != nil || math.Abs(f.YieldShare*200-125) > 0.2 || math.Abs(f.Of100G.WaterG-20) > 1e-9 {
		t.Errorf("%+v %v", f, err)
	}
	if _, err := Work(map[string]float64{"sugar": 100, "water": 100}, 60, nil); err == nil || !strings.Contains(err.Error(), "at most 50.0 %") {
		t.Errorf("wetter than its own ingredients: %v", err)
	}
}

func TestRefuses(t *testing.T) {
	for name, in := range map[string]map[string]float64{
		"nothing": {}, "zero": {"sugar": 0}, "less than nothing": {"sugar": 100, "water": -1}, "no number": {"sugar": math.NaN()}, "unknown": {"moon dust": 3},
	} {
		if _, err := Work(in, 0, nil); err == nil {
			t.Errorf("%s is taken", name)
		}
	}
	if _, err := Work(map[string]float64{"creme": 1, "dark chocolate": 1}, 0, nil); err == nil || !strings.Contains(err.Error(), "dark chocolate 65") && !strings.Contains(err.Error(), "cream") {
		t.Errorf("an unknown one: %v", err)
	}
	if _, err := (Own{WaterPct: 60, SucrosePct: 50}).Ingredient("x"); err == nil || !strings.Contains(err.Error(), "110.0 g") {
		t.Errorf("over 100 %%: %v", err)
	}
	if _, err := (Own{WaterPct: -3}).Ingredient("x"); err == nil {
		t.Error("negative water is taken")
	}
}

func TestOwn(t *testing.T) {
	in, err := Own{WaterPct: 30, SucrosePct: 70, Allergens: []string{"milk"}}.Ingredient("my syrup")
	if err != nil {
		t.Fatal(err)
	}
	f, err := Work(map[string]float64{"my syrup": 50}, 0, map[string]*Ingredient{"my syrup": in})
	// Sucrose of 70 % is more than dissolves, so the water phase is saturated: 0.85 at
	// most by Ross and Norrish.
	if err != nil || f.Activity.Range.Likely > 0.86 || f.Activity.Range.Likely < 0.8 || !slices.Equal(f.Allergens, []string{"milk"}) {
		t.Errorf("%+v %v", f, err)
	}
	if f, err = Work(map[string]float64{"my syrup": 50, "pectin": 1, "cream": 50}, 0, map[string]*Ingredient{"my syrup": in}); err != nil {
		t.Fatal(err)
	}
	if want := "USDA National Nutrient Database for Standard Reference, release 26; entered: my syrup; from memory, no source at hand: pectin"; f.Sources() != want {
		t.Errorf("%s\nwant %s", f.Sources(), want)
	}
}

// The size of the batch changes nothing, more water raises the activity, fat leaves it.
func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := map[string]float64{"cream": rapid.Float64Range(50, 150).Draw(t, "cream"), "dark chocolate 65": rapid.Float64Range(100, 250).Draw(t, "chocolate"), "honey": rapid.Float64Range(5, 40).Draw(t, "honey")}
		f, err := Work(in, 0, nil)
		if err != nil {
			t.Fatal(err)
		}
		double := map[string]float64{}
		for k, v := range in {
			double[k] = 2 * v
		}
		if d, _ := Work(double, 0, nil); math.Abs(d.Activity.Range.Likely-f.Activity.Range.Likely) > 1e-9 || math.Abs(d.Kcal-f.Kcal) > 1e-9 {
			t.Fatal("the size of the batch matters")
		}
		in["water"] = 20
		if w, _ := Work(in, 0, nil); !(w.Activity.Range.Likely > f.Activity.Range.Likely) {
			t.Fatal("water does not raise the activity")
		}
		delete(in, "water")
		in["cocoa butter"] = 60
		if w, _ := Work(in, 0, nil); math.Abs(w.Activity.Range.Likely-f.Activity.Range.Likely) > 1e-9 {
			t.Fatal("fat changes the activity")
		}
	})
}

func TestClassesReachAll(t *testing.T) {
	if f, _ := Work(map[string]float64{"cream": 100, "dark chocolate 50": 100}, 0, nil); f.Class != 0 || len(f.Warnings) == 0 {
		t.Errorf("a wet ganache: %s, %v", f.Keeping().Name, f.Warnings)
	}
	if f, _ := Work(map[string]float64{"hazelnuts": 60, "sugar": 40}, 0, nil); f.Class != len(water.Classes)-1 || len(f.Warnings) == 0 {
		t.Errorf("praline: %s, %v", f.Keeping().Name, f.Warnings)
	}
	if f, _ := Work(map[string]float64{"rum": 20, "dark chocolate 65": 100, "cream": 30}, 0, nil); !strings.Contains(strings.Join(f.Warnings, " "), "alcohol") {
		t.Errorf("rum: %v", f.Warnings)
	}
}
