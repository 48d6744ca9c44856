package recipe

import (
	"fmt"
	"maps"

	"mouldwright/internal/base/solve"
	"mouldwright/internal/flow/kitchen/water"
)

// Suggestion is a change that brings a filling just into the next class.
type Suggestion struct {
	Ingredient string
	FromG, ToG float64 // in the recipe as written
	Class      string
}

// String words it.
func (s Suggestion) String() string {
	return fmt.Sprintf("%s from %.0f g to %.0f g for the class \"%s\"", s.Ingredient, s.FromG, s.ToG, s.Class)
}

// helpers are what may be added, mildest change of taste first.
var helpers = []string{"invert sugar syrup", "glucose syrup", "sorbitol syrup"}

// mostAdded is how much may be added, as a share of the recipe: with more it is another
// recipe.
const mostAdded = 0.6

// Suggest solves for the next class: less of the wettest ingredient, or more of a syrup.
// What cannot be reached within a changed recipe is left out; a cooked filling is taken
// as uncooked ingredients do not say how it boils down.
func Suggest(ingredientsG map[string]float64, waterPct float64, own map[string]*Ingredient) ([]Suggestion, error) {
	f, err := Work(ingredientsG, waterPct, own)
	if err != nil || f.Class == len(water.Classes)-1 || waterPct > 0 {
		return nil, err
	}
	goal := water.Classes[f.Class].Above
	next := water.Classes[f.Class+1].Name
	total := 0.0
	for _, a := range f.IngredientG {
		total += ingredientsG[a.Name]
	}
	// above is by how much the high end lies over the goal with g of an ingredient.
	above := func(name string, g float64) float64 {
		changed := maps.Clone(ingredientsG)
		changed[name] = g
		w, err := Work(changed, 0, own)
		if err != nil || w.Of100G.WaterG < 100*dryShare {
			return -1 // dry: certainly below
		}
		return w.Activity.Range.High - goal
	}
	var list []Suggestion
	try := func(name string, lo, hi float64) {
		at, err := solve.Root(func(g float64) float64 { return above(name, g) }, lo, hi, 0.01)
		if err == nil {
			// A gram on the safe side, so that the rounded number works.
			from := ingredientsG[name]
			if at > from {
				at++
			} else {
				at = max(lo, at-1)
			}
			list = append(list, Suggestion{name, from, float64(int(at + 0.5)), next})
		}
	}
	wet, most := "", 0.0
	for _, a := range f.IngredientG {
		in, err := find(a.Name, own)
		if err != nil {
			return nil, err
		}
		if w := in.Of100G.WaterG * a.MassG; in.Of100G.WaterG > 40 && w > most {
			wet, most = a.Name, w
		}
	}
	if wet != "" {
		try(wet, ingredientsG[wet]/3, ingredientsG[wet])
	}
	for _, h := range helpers {
		try(h, ingredientsG[h], ingredientsG[h]+mostAdded*total)
	}
	return list, nil
}
