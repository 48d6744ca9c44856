package flow

import (
	"mouldwright/internal/flow/kitchen"
)

// keeping works out the fillings.
func (b *build) keeping(list []kitchen.Filling, settings map[int]kitchen.Setting) error {
	own, err := b.ownIngredients()
	if err != nil {
		return err
	}
	for _, f := range list {
		k, found, err := kitchen.Keep(f.Name, b.c.Filling[f.Name], own, f.MassG.Likely, b.c.Kitchen)
		if err != nil {
			return err
		}
		b.found(found)
		safe := b.safeC(f.Name, settings)
		fits, found := k.Piping(safe)
		b.found(found)
		p := planKeeping(&k)
		if p.MassG = &f.MassG; k.Recipe != nil && safe > 0 {
			p.SafeC, p.Pipes = safe, &fits
		}
		b.r.Plan.Kitchen.Fillings = append(b.r.Plan.Kitchen.Fillings, p)
	}
	return nil
}

// safeC is the warmest that all shells bear which a filling goes into; 0: into none that
// was computed.
func (b *build) safeC(filling string, settings map[int]kitchen.Setting) (safe float64) {
	for d, s := range settings {
		if b.c.Pieces[d].Filling == filling && (safe == 0 || s.WarmestC < safe) {
			safe = s.WarmestC
		}
	}
	return safe
}

func planKeeping(k *kitchen.Keeping) PlanKeeping {
	p := PlanKeeping{Name: k.Name, Ingredients: []PlanAmount{}, Method: k.Method, Allergens: append([]string{}, k.Allergens...)}
	r := k.Recipe
	if r == nil {
		return p
	}
	for _, a := range k.Amounts {
		p.Ingredients = append(p.Ingredients, PlanAmount{a.Name, a.MassG})
	}
	for _, s := range k.Suggestions {
		p.Suggestions = append(p.Suggestions, PlanSuggestion{s.String(), s.IngredientsG, s.WaterPct})
	}
	for _, m := range r.Activity.Methods {
		p.Methods = append(p.Methods, PlanMethod(m))
	}
	p.Activity, p.Days, p.Outlives, p.DensityGML, p.PipeC = &r.Activity.Range, &k.Class.Days, &k.Outlives, &r.DensityGML, &k.PipeC
	p.Class, p.Basis, p.Storage = k.Class.Name, k.Class.Basis, k.Class.Storage
	p.EnergyKJ, p.EnergyKcal, p.WaterPct, p.AlcoholPct = r.KJ, r.Kcal, r.Of100G.WaterG, r.Of100G.AlcoholG
	p.Doubts, p.Warnings, p.WrittenG, p.CookedPct = r.Activity.Doubts, r.Warnings, k.WrittenG, k.CookedPct
	c := r.Of100G
	p.Nutrients = &PlanNutrients{FatG: c.FatG, SaturatedG: c.SaturatedG, CarbohydrateG: c.SugarsG + c.PolyolsG + c.StarchG, SugarsG: c.SugarsG,
		FibreG: c.FibreG, ProteinG: c.ProteinG, SaltG: c.SaltG, Source: r.Sources()}
	return p
}
