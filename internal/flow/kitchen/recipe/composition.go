package recipe

import (
	"slices"

	"mouldwright/internal/flow/kitchen/water"
)

// Composition is what is in a food, in g; of 100 g unless a name says otherwise.
type Composition struct {
	WaterG     float64
	ProteinG   float64
	FatG       float64
	SaturatedG float64
	SugarsG    float64
	PolyolsG   float64
	StarchG    float64 // digestible carbohydrate that is no sugar
	FibreG     float64
	SaltG      float64
	AcidG      float64
	AlcoholG   float64

	LiquidFatG float64               // fat that is oil at room temperature
	Solutes    [len(solutes)]float64 // what the sugars and polyols are, in the order of solutes
}

// solutes is what sugars and polyols may be.
var solutes = [...]struct {
	key    string
	solute water.Solute
	polyol bool
}{
	{"sucrose", water.Sucrose, false}, {"glucose", water.Glucose, false}, {"fructose", water.Fructose, false}, {"lactose", water.Lactose, false},
	{"maltose", water.Maltose, false}, {"syrup", water.Syrup42, false}, {"sorbitol", water.Sorbitol, true}, {"xylitol", water.Xylitol, true}, {"glycerol", water.Glycerol, true},
}

func soluteIndex(key string) int {
	for i := range solutes {
		if solutes[i].key == key {
			return i
		}
	}
	return -1
}

// add adds f times another composition.
func (c *Composition) add(o *Composition, f float64) {
	for _, p := range [...]struct {
		to   *float64
		from float64
	}{
		{&c.WaterG, o.WaterG}, {&c.ProteinG, o.ProteinG}, {&c.FatG, o.FatG}, {&c.SaturatedG, o.SaturatedG}, {&c.SugarsG, o.SugarsG},
		{&c.PolyolsG, o.PolyolsG}, {&c.StarchG, o.StarchG}, {&c.FibreG, o.FibreG}, {&c.SaltG, o.SaltG}, {&c.AcidG, o.AcidG},
		{&c.AlcoholG, o.AlcoholG}, {&c.LiquidFatG, o.LiquidFatG},
	} {
		*p.to += f * p.from
	}
	for i := range c.Solutes {
		c.Solutes[i] += f * o.Solutes[i]
	}
}

// totalG is the sum of what is known; ash and what is not measured is the rest.
func (c *Composition) totalG() float64 {
	return c.WaterG + c.ProteinG + c.FatG + c.SugarsG + c.PolyolsG + c.StarchG + c.FibreG + c.SaltG + c.AcidG + c.AlcoholG
}

// Energy is the energy of the composition by the factors of Regulation (EU) 1169/2011,
// Annex XIV; both sums are made from their own factors.
func (c *Composition) Energy() (kJ, kcal float64) {
	carbohydrate := c.SugarsG + c.StarchG
	kJ = 17*carbohydrate + 10*c.PolyolsG + 17*c.ProteinG + 37*c.FatG + 29*c.AlcoholG + 13*c.AcidG + 8*c.FibreG
	kcal = 4*carbohydrate + 2.4*c.PolyolsG + 4*c.ProteinG + 9*c.FatG + 7*c.AlcoholG + 3*c.AcidG + 2*c.FibreG
	return kJ, kcal
}

// solution is the water phase.
func (c *Composition) solution() water.Solution {
	s := water.Solution{WaterG: c.WaterG, SaltG: c.SaltG, EthanolG: c.AlcoholG, GumsG: c.StarchG + c.FibreG}
	for i, g := range c.Solutes {
		if g > 0 {
			s.Parts = append(s.Parts, water.Part{Solute: solutes[i].solute, MassG: g})
		}
	}
	if c.AcidG > 0 {
		s.Parts = append(s.Parts, water.Part{Solute: water.Citric, MassG: c.AcidG})
	}
	return s
}

// densityGML adds up volumes: water 1.0, fat 0.92, sugars and other solids 1.55, protein
// 1.35, alcohol 0.79 g/ml (handbook values, from memory); air beaten in is not known.
func (c *Composition) densityGML() float64 {
	total := c.totalG()
	solids := c.SugarsG + c.PolyolsG + c.StarchG + c.FibreG + c.SaltG + c.AcidG
	return total / (c.WaterG + c.FatG/0.92 + solids/1.55 + c.ProteinG/1.35 + c.AlcoholG/0.79)
}

// Ingredient is a food by name.
type Ingredient struct {
	Name      string
	Of100G    Composition
	Allergens []string
	Source    string
}

// merge puts words together, sorted, each once.
func merge(a, b []string) []string {
	all := append(slices.Clone(a), b...)
	slices.Sort(all)
	return slices.Compact(all)
}
