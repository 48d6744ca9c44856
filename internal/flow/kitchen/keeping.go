package kitchen

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/kitchen/recipe"
	"mouldwright/internal/flow/kitchen/water"
)

// Keeping is what is known of one filling.
type Keeping struct {
	Name        string
	Recipe      *recipe.Filling // nil: no recipe, nothing is estimated
	Class       water.Class
	Outlives    bool // the low end of its days reaches keep_days
	Allergens   []string
	Amounts     []recipe.Amount // to weigh for MassG, the most first
	Suggestions []recipe.Suggestion
	PipeC       unit.Range // it goes through a bag from here on: low fresh, high when it has stood
	Method      string
	WrittenG    map[string]float64 // the recipe as written
	CookedPct   float64            // of water, to which it is cooked down; 0: not cooked
}

// overPct is how far a recipe in per cent may lie from 100 (our choice: shares
// rounded to a tenth miss it by less).
const overPct = 0.5

// amounts is the recipe of a filling in g, or nil where it has none.
func amounts(key string, f material.Filling) (grams map[string]float64, waterPct float64, method string, err error) {
	given := 0
	for _, has := range []bool{f.Recipe != "", len(f.IngredientsG) > 0, len(f.IngredientsPct) > 0} {
		if has {
			given++
		}
	}
	if given > 1 {
		return nil, 0, "", &finding.Error{Key: key, Found: "more than one recipe", Allowed: "one of recipe, ingredients_g, ingredients_pct", Do: "take the others out"}
	}
	switch {
	case f.Recipe != "":
		r := recipe.Library().Recipes[f.Recipe]
		if r == nil {
			all := slices.Sorted(maps.Keys(recipe.Library().Recipes))
			near := slices.DeleteFunc(slices.Clone(all), func(name string) bool { return !sharesWord(name, f.Recipe) })
			if len(near) == 0 {
				near = []string{"one of these"}
			}
			return nil, 0, "", &finding.Error{Key: key + ".recipe", Found: fmt.Sprintf("no recipe %q", f.Recipe), Allowed: strings.Join(all, ", "),
				Do: "write " + strings.Join(near, " or ") + ", or your own ingredients_g in its place"}
		}
		grams, waterPct, method = r.IngredientsG, r.WaterPct, r.Method
	case len(f.IngredientsPct) > 0:
		total := 0.0
		for _, name := range slices.Sorted(maps.Keys(f.IngredientsPct)) {
			total += f.IngredientsPct[name]
		}
		if total > 100+overPct || total < 100-overPct {
			return nil, 0, "", &finding.Error{Key: key + ".ingredients_pct", Found: fmt.Sprintf("%.1f %% in all", total), Allowed: "100 %",
				Do: fmt.Sprintf("change its parts by %+.1f %%, or write them as ingredients_g", 100-total)}
		}
		grams = f.IngredientsPct
	default:
		grams = f.IngredientsG
	}
	if f.WaterPct > 0 {
		waterPct = f.WaterPct
	}
	return grams, waterPct, method, nil
}

// sharesWord tells whether two names have a word in common.
func sharesWord(a, b string) bool {
	words := strings.Fields(strings.ToLower(a))
	return slices.ContainsFunc(strings.Fields(strings.ToLower(b)), func(w string) bool { return slices.Contains(words, w) })
}

// Keep works out one filling of which massG g are made.
func Keep(name string, f material.Filling, own map[string]*recipe.Ingredient, massG float64, c Choices) (Keeping, []finding.Finding, error) {
	key := "filling." + name
	k := Keeping{Name: name, Allergens: slices.Clone(f.Allergens)}
	grams, waterPct, method, err := amounts(key, f)
	if err != nil {
		return k, nil, err
	}
	if len(grams) == 0 {
		return k, []finding.Finding{{Severity: finding.Note, Where: key, What: "has no recipe, so its keeping and its allergens are not worked out",
			Do: "name one of the program's recipes, or enter ingredients_g"}}, nil
	}
	if k.Recipe, err = recipe.Work(grams, waterPct, own); err != nil {
		return k, nil, within(key, err)
	}
	k.Method, k.Class, k.WrittenG, k.CookedPct = method, k.Recipe.Keeping(), grams, waterPct
	k.Allergens = append(k.Allergens, k.Recipe.Allergens...)
	slices.Sort(k.Allergens)
	k.Allergens = slices.Compact(k.Allergens)
	for _, a := range k.Recipe.IngredientG {
		k.Amounts = append(k.Amounts, recipe.Amount{Name: a.Name, MassG: a.MassG / 100 * massG / k.Recipe.YieldShare})
	}
	k.Outlives = k.Class.Days.Low >= float64(c.KeepDays)
	if k.Suggestions, err = recipe.Suggest(grams, waterPct, own); err != nil {
		return k, nil, within(key, err)
	}
	k.PipeC = k.Recipe.PipeC(waterPct > 0)
	var list []finding.Finding
	if !k.Outlives {
		do := "make it later, eat it sooner, or take another filling"
		for _, s := range k.Suggestions {
			if s.Ingredient == "" {
				do += "; or " + s.String()
			} else {
				do += "; or change " + s.String()
			}
		}
		list = append(list, finding.Finding{Severity: finding.Care, Where: key,
			What: fmt.Sprintf("keeps %.0f-%.0f days by an estimate (class \"%s\"), wanted are %d; no laboratory measurement, local food rules come first", k.Class.Days.Low, k.Class.Days.High, k.Class.Name, c.KeepDays),
			Do:   do})
	}
	for _, w := range k.Recipe.Warnings {
		list = append(list, finding.Finding{Severity: finding.Note, Where: key, What: w})
	}
	if d := k.Recipe.DensityGML; d.High < f.DensityGML.Low || d.Low > f.DensityGML.High {
		list = append(list, finding.Finding{Severity: finding.Note, Where: key + ".density_g_ml",
			What: fmt.Sprintf("its ingredients come to %.2f g/ml, entered are %s", d.Likely, f.DensityGML), Do: fmt.Sprintf("weigh a spoonful, or set density_g_ml = %s", tomlRange(d))})
	}
	return k, list, nil
}

// Piping compares a filling with the warmest that its shells bear, safeC; 0 when no
// piece was computed. The finding is nil when it goes through a bag cool enough.
func (k *Keeping) Piping(safeC float64) (fits bool, list []finding.Finding) {
	if k.Recipe == nil || safeC == 0 || k.PipeC.Likely <= safeC {
		return safeC > 0 && k.Recipe != nil, nil
	}
	return false, []finding.Finding{{Severity: finding.Care, Where: "filling." + k.Name,
		What: fmt.Sprintf("goes through a bag only from about %.0f °C (%.0f-%.0f) by an estimate, and its shells bear at most %g °C", k.PipeC.Likely, k.PipeC.Low, k.PipeC.High, safeC),
		Do:   "thin it with cream or syrup, or spoon it in; try a spoonful first"}}
}

func tomlRange(r unit.Range) string {
	return fmt.Sprintf("[%.2f, %.2f, %.2f]", r.Low, r.Likely, r.High)
}

// within puts a key before an error's own.
func within(key string, err error) error {
	if e, ok := err.(*finding.Error); ok && !strings.HasPrefix(e.Key, "ingredient.") {
		own := *e
		own.Key = strings.TrimSuffix(key+"."+e.Key, ".")
		return &own
	}
	return err
}
