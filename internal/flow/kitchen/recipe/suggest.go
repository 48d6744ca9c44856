package recipe

import (
	"fmt"
	"maps"
	"math"

	"mouldwright/internal/base/solve"
	"mouldwright/internal/flow/kitchen/water"
)

// Suggestion is a change that brings a filling just into the next class: of one
// ingredient, or of the water that cooking leaves.
type Suggestion struct {
	Ingredient   string  // "" when the water is changed
	FromG, ToG   float64 // of it, in the recipe as written
	FromPct      float64 // water left by cooking
	WaterPct     float64 // of the changed recipe; 0: nothing is cooked down
	Class        string
	IngredientsG map[string]float64 // the changed recipe, as written
}

// String words it.
func (s Suggestion) String() string {
	if s.Ingredient == "" {
		return fmt.Sprintf("cook it down to %g %% of water instead of %g %% for the class \"%s\"", s.WaterPct, s.FromPct, s.Class)
	}
	return fmt.Sprintf("%s from %.0f g to %.0f g for the class \"%s\"", s.Ingredient, s.FromG, s.ToG, s.Class)
}

// helpers are what may be added, mildest change of taste first.
var helpers = []string{"invert sugar syrup", "glucose syrup", "sorbitol syrup"}

const (
	mostAdded  = 0.6 // of a helper, as a share of the recipe (our choice: with more it is another recipe)
	leastWater = 8.0 // per cent left by cooking: below it a filling is a boiled sweet (from memory)
)

// Suggest solves for the next class: less of the wettest ingredient, more of a syrup,
// or, for what is cooked, less water left. What cannot be reached within a changed
// recipe is left out.
func Suggest(ingredientsG map[string]float64, waterPct float64, own map[string]*Ingredient) ([]Suggestion, error) {
	f, err := Work(ingredientsG, waterPct, own)
	if err != nil || f.Class == len(water.Classes)-1 {
		return nil, err
	}
	goal := water.Classes[f.Class].Above
	next := water.Classes[f.Class+1].Name
	total := 0.0
	for _, a := range f.IngredientG {
		total += ingredientsG[a.Name]
	}
	// above is by how much the high end lies over the goal.
	above := func(grams map[string]float64, pct float64) float64 {
		w, err := Work(grams, pct, own)
		if err != nil || w.Of100G.WaterG < 100*dryShare {
			return -1 // dry: certainly below
		}
		return w.Activity.Range.High - goal
	}
	with := func(name string, g float64) map[string]float64 {
		changed := maps.Clone(ingredientsG)
		changed[name] = g
		return changed
	}
	var list []Suggestion
	if waterPct > leastWater {
		at, err := solve.Root(func(pct float64) float64 { return above(ingredientsG, pct) }, leastWater, waterPct, 0.01)
		if pct := math.Floor(2*at) / 2; err == nil && pct >= leastWater && above(ingredientsG, pct) <= 0 {
			list = append(list, Suggestion{FromPct: waterPct, WaterPct: pct, Class: next, IngredientsG: maps.Clone(ingredientsG)})
		}
	}
	try := func(name string, lo, hi float64) {
		at, err := solve.Root(func(g float64) float64 { return above(with(name, g), waterPct) }, lo, hi, 0.01)
		if err != nil {
			return
		}
		// A gram on the safe side, so that the rounded number works.
		from := ingredientsG[name]
		if at > from {
			at = math.Round(at + 1)
		} else {
			at = math.Round(math.Max(lo, at-1))
		}
		changed := with(name, at)
		if above(changed, waterPct) > 0 { // it wavers: nothing to promise
			return
		}
		list = append(list, Suggestion{Ingredient: name, FromG: from, ToG: at, WaterPct: waterPct, Class: next, IngredientsG: changed})
	}
	if waterPct == 0 { // cooking takes the water of cooked ones, whatever it came from
		wet, err := wettest(f, own)
		if err != nil {
			return nil, err
		}
		if wet != "" {
			try(wet, ingredientsG[wet]/3, ingredientsG[wet])
		}
	}
	for _, h := range helpers {
		try(h, ingredientsG[h], ingredientsG[h]+mostAdded*total)
	}
	return list, nil
}

// wettest is the ingredient that brings most water, of those that are mostly water.
func wettest(f *Filling, own map[string]*Ingredient) (wet string, err error) {
	most := 0.0
	for _, a := range f.IngredientG {
		in, err := find(a.Name, own)
		if err != nil {
			return "", err
		}
		if w := in.Of100G.WaterG * a.MassG; in.Of100G.WaterG > 40 && w > most {
			wet, most = a.Name, w
		}
	}
	return wet, nil
}
