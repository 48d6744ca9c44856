// Package recipe does the arithmetic of fillings: from ingredients to composition, water
// activity, keeping class, energy, allergens and warnings.
//
//	ingredients in g + Known --Work--> Filling (of 100 g)
//	Filling --Suggest--> what would bring it into the next class
//
// Composition data and the project's own recipes lie in data/.
package recipe

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/kitchen/water"
)

// Own is an ingredient of a person's own: the job file's [ingredient.NAME], in g of 100 g.
type Own struct {
	WaterPct    float64  `toml:"water_pct" optional:"yes" min:"0" max:"100" doc:"water"`
	SucrosePct  float64  `toml:"sucrose_pct" optional:"yes" min:"0" max:"100" doc:"sugar as in the sugar bowl"`
	GlucosePct  float64  `toml:"glucose_pct" optional:"yes" min:"0" max:"100" doc:"glucose (dextrose)"`
	FructosePct float64  `toml:"fructose_pct" optional:"yes" min:"0" max:"100" doc:"fructose"`
	LactosePct  float64  `toml:"lactose_pct" optional:"yes" min:"0" max:"100" doc:"milk sugar"`
	SyrupPct    float64  `toml:"syrup_solids_pct" optional:"yes" min:"0" max:"100" doc:"solids of glucose syrup"`
	SorbitolPct float64  `toml:"sorbitol_pct" optional:"yes" min:"0" max:"100" doc:"sorbitol"`
	FatPct      float64  `toml:"fat_pct" optional:"yes" min:"0" max:"100" doc:"fat"`
	LiquidFat   bool     `toml:"liquid_fat" optional:"yes" doc:"whether that fat is oil at room temperature, as that of nuts"`
	ProteinPct  float64  `toml:"protein_pct" optional:"yes" min:"0" max:"100" doc:"protein"`
	FibrePct    float64  `toml:"fibre_pct" optional:"yes" min:"0" max:"100" doc:"fibre"`
	StarchPct   float64  `toml:"starch_pct" optional:"yes" min:"0" max:"100" doc:"other carbohydrate"`
	SaltPct     float64  `toml:"salt_pct" optional:"yes" min:"0" max:"100" doc:"salt"`
	AcidPct     float64  `toml:"acid_pct" optional:"yes" min:"0" max:"100" doc:"acids"`
	AlcoholPct  float64  `toml:"alcohol_pct" optional:"yes" min:"0" max:"100" doc:"alcohol, by mass"`
	Allergens   []string `toml:"allergens" optional:"yes" doc:"what the package declares"`
}

// overPct is how much over 100 % a composition may add up to, since labels are
// rounded.
const overPct = 1

// Ingredient checks an own ingredient; what is missing to 100 g is ash and the unknown.
func (o Own) Ingredient(name string) (*Ingredient, error) {
	c := Composition{
		WaterG: o.WaterPct, ProteinG: o.ProteinPct, FatG: o.FatPct, StarchG: o.StarchPct, FibreG: o.FibrePct,
		SaltG: o.SaltPct, AcidG: o.AcidPct, AlcoholG: o.AlcoholPct,
	}
	for key, v := range map[string]float64{"sucrose": o.SucrosePct, "glucose": o.GlucosePct, "fructose": o.FructosePct, "lactose": o.LactosePct, "syrup": o.SyrupPct, "sorbitol": o.SorbitolPct} {
		c.Solutes[soluteIndex(key)] = v
	}
	c.sumSolutes()
	if o.LiquidFat {
		c.LiquidFatG = c.FatG
	}
	key := "ingredient." + name
	for _, v := range append([]float64{c.WaterG, c.ProteinG, c.FatG, c.StarchG, c.FibreG, c.SaltG, c.AcidG, c.AlcoholG}, c.Solutes[:]...) {
		if !(v >= 0 && v <= 100) {
			return nil, &finding.Error{Key: key, Found: fmt.Sprintf("%g %%", v), Allowed: "0 to 100 %", Do: "write the share of its mass"}
		}
	}
	if t := c.totalG(); t > 100+overPct {
		return nil, &finding.Error{Key: key, Found: fmt.Sprintf("%.1f g in 100 g", t), Allowed: "at most 100 g", Do: fmt.Sprintf("lower its parts by %.1f g in all", t-100)}
	}
	return &Ingredient{name, c, slices.Clone(o.Allergens), enteredSource}, nil
}

// Filling is what a recipe makes, of 100 g.
type Filling struct {
	Of100G      Composition
	YieldShare  float64  // g of filling from 1 g of ingredients
	IngredientG []Amount // in 100 g of ingredients, the most first
	Allergens   []string
	DensityGML  unit.Range
	Activity    water.Activity
	Class       int // of water.Classes
	KJ, Kcal    float64
	Warnings    []string
	from        map[string][]string // names of the ingredients that are not the database's, by their source
}

// Sources says where the compositions are from.
func (f *Filling) Sources() string {
	s := strings.TrimSuffix(usdaSource, ", row ")
	for _, source := range slices.Sorted(maps.Keys(f.from)) {
		s += "; " + source + ": " + strings.Join(f.from[source], ", ")
	}
	return s
}

// Amount is so much of an ingredient.
type Amount struct {
	Name  string
	MassG float64
}

// MaxIngredients bounds a recipe (our choice: ten times a long one).
const MaxIngredients = 200

// dryShare is the share of water below which a filling has no solution to speak of
// (common practice, no source).
const dryShare = 0.03

// Work adds up a recipe. Ingredients are in g (any amount in all); own ones come before
// the program's. waterPct above 0 is the finished filling's, the rest being boiled off.
func Work(ingredientsG map[string]float64, waterPct float64, own map[string]*Ingredient) (*Filling, error) {
	if len(ingredientsG) == 0 || len(ingredientsG) > MaxIngredients {
		return nil, &finding.Error{Found: fmt.Sprintf("%d ingredients", len(ingredientsG)), Allowed: fmt.Sprintf("1 to %d", MaxIngredients), Do: "leave out what is in it by the pinch"}
	}
	f := &Filling{from: map[string][]string{}}
	var c Composition
	total := 0.0
	for _, name := range slices.Sorted(maps.Keys(ingredientsG)) {
		g := ingredientsG[name]
		if !(g >= 0) || math.IsInf(g, 0) {
			return nil, &finding.Error{Key: "ingredients_g." + name, Found: fmt.Sprintf("%g g", g), Allowed: "0 g or more", Do: "write its mass, or leave it out"}
		}
		in, err := find(name, own)
		if err != nil {
			return nil, err
		}
		c.add(&in.Of100G, g/100)
		total += g
		if g > 0 {
			f.Allergens = merge(f.Allergens, in.Allergens)
			f.IngredientG = append(f.IngredientG, Amount{name, g})
			if !strings.HasPrefix(in.Source, usdaSource) {
				f.from[in.Source] = append(f.from[in.Source], name)
			}
		}
	}
	if total <= 0 {
		return nil, &finding.Error{Key: "ingredients_g", Found: "nothing", Allowed: "more than 0 g", Do: "write the mass of each ingredient"}
	}
	f.YieldShare = 1
	if waterPct > 0 {
		w := waterPct / 100
		has := c.WaterG / total
		if w > has+1e-9 || w >= 1 {
			return nil, &finding.Error{Key: "water_pct", Found: fmt.Sprintf("%g %% of water in the finished filling", waterPct),
				Allowed: fmt.Sprintf("at most %.1f %%, which its ingredients bring", 100*has), Do: "leave water_pct out where nothing is boiled off, or add the missing water to the ingredients"}
		}
		gone := (c.WaterG - w*total) / (1 - w)
		c.WaterG -= gone
		f.YieldShare = (total - gone) / total
	}
	f.Of100G.add(&c, 100/(total*f.YieldShare))
	for i := range f.IngredientG {
		f.IngredientG[i].MassG *= 100 / total
	}
	slices.SortStableFunc(f.IngredientG, func(a, b Amount) int {
		switch {
		case a.MassG > b.MassG:
			return -1
		case a.MassG < b.MassG:
			return 1
		}
		return 0
	})
	return f, f.judge()
}

func find(name string, own map[string]*Ingredient) (*Ingredient, error) {
	if in := own[name]; in != nil {
		return in, nil
	}
	known := Library().Ingredients
	if in := known[name]; in != nil {
		return in, nil
	}
	var near []string
	for _, k := range slices.Sorted(maps.Keys(known)) {
		for _, word := range strings.Fields(name) {
			if len(word) > 3 && strings.Contains(k, word) {
				near = append(near, k)
				break
			}
		}
	}
	if len(near) == 0 {
		near = slices.Sorted(maps.Keys(known))
	}
	return nil, &finding.Error{Key: "ingredients_g." + name, Found: "an unknown ingredient", Allowed: strings.Join(near, ", "), Do: "take one of these, or enter its composition as [ingredient.\"" + name + "\"]"}
}

// judge fills in what follows from the composition.
func (f *Filling) judge() (err error) {
	c := &f.Of100G
	d := c.densityGML()
	f.DensityGML = unit.Between(0.95*d, d, 1.03*d) // air beaten in; rounding of the parts
	f.KJ, f.Kcal = c.Energy()
	if c.WaterG < 100*dryShare {
		// Nearly dry: sugar and solids share what water there is as they please.
		f.Activity = water.Activity{Range: unit.Between(0.25, 0.4, 0.6), Doubts: []string{"hardly any water: methods for solutions do not hold; pastes of nuts and sugar are found between 0.25 and 0.6 (from memory, no source at hand)"}}
	} else if f.Activity, err = water.Estimate(c.solution()); err != nil {
		return err
	}
	f.Class = water.Keeping(f.Activity.Range)
	if c.LiquidFatG > 15 {
		f.Warnings = append(f.Warnings, fmt.Sprintf("%.0f %% is oil of nuts or seeds: it wanders into the shell within weeks, softens it and makes it bloom; keep cool, or give it cocoa butter and a thicker shell", c.LiquidFatG))
	}
	if c.AlcoholG > 0.5 {
		f.Warnings = append(f.Warnings, fmt.Sprintf("holds %.1f %% of alcohol: say so on the box, not for children; it evaporates, so that the filling grows wetter than estimated", c.AlcoholG))
	}
	if c.WaterG >= 100*dryShare && f.Class == 0 {
		f.Warnings = append(f.Warnings, "wet enough for bacteria that make ill: keep it chilled, eat it within days, and follow the local food rules")
	}
	return nil
}

// Keeping is the class of the filling.
func (f *Filling) Keeping() water.Class { return water.Classes[f.Class] }
