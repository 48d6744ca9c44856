// Package water estimates the water activity of a filling from its composition.
//
//	Solution (water and what is dissolved) --Estimate--> Activity (low / likely / high)
//	Activity --Keeping--> class with its basis
//
// Several published methods are worked out and their spread is shown: they differ by
// some 0.02 on a mixture, and no estimate replaces a measurement.
package water

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// Solute is what dissolves: molar mass, Norrish constant (natural logarithm), factor of
// Grover's method, and how much dissolves in its own mass of water.
type Solute struct {
	Name     string
	MolarG   float64
	Norrish  float64 // K < 0
	Grover   float64
	SolubleG float64 // per g of water at 25 °C
}

// Solutes: molar mass in g/mol, and numbers that are factors of their models. Norrish
// constants after J. Chirife, C. Ferro Fontan, E. Benmergui, J. Food
// Technol. 15 (1980) 59: glycerol and xylitol and fructose as other texts print them,
// the rest from memory; sucrose's agrees with measured osmotic coefficients within 0.001.
// Glucose syrup has no published constant: molar mass 18016/DE and a constant beyond
// maltose's are a stand-in of low confidence. Grover factors from Grover 1947, and
// solubilities, from memory.
var (
	Sucrose  = Solute{"sucrose", 342.30, -6.47, 1, 2.07}
	Glucose  = Solute{"glucose", 180.16, -2.25, 1.3, 1.05}
	Fructose = Solute{"fructose", 180.16, -2.15, 1.3, 4}
	Lactose  = Solute{"lactose", 342.30, -10.2, 1, 0.22}
	Maltose  = Solute{"maltose", 342.30, -4.54, 1, 1}
	Syrup42  = Solute{"glucose syrup solids, 42 DE", 429, -6, 0.8, 5}
	Sorbitol = Solute{"sorbitol", 182.17, -1.65, 2, 2.6}
	Xylitol  = Solute{"xylitol", 152.15, -1.66, 2, 1.7}
	Glycerol = Solute{"glycerol", 92.09, -1.16, 4, 100}
	Citric   = Solute{"citric acid", 192.12, -6.17, 2.5, 1.6}
)

// Molar masses in g/mol (derived from the elements' standard atomic masses, from memory).
const waterG, ethanolG, saltG = 18.0153, 46.07, 58.44

// Solution is the water of a filling and what is in it, in g of any amount.
type Solution struct {
	WaterG   float64
	Parts    []Part
	SaltG    float64 // sodium chloride
	EthanolG float64
	GumsG    float64 // starch, pectin, gums: they bind a little water
}

// Part is a mass of one solute.
type Part struct {
	Solute Solute
	MassG  float64
}

// dissolved is each part bounded by its solubility: what lies undissolved binds nothing.
func (s Solution) dissolved() []Part {
	list := make([]Part, 0, len(s.Parts))
	for _, p := range s.Parts {
		p.MassG = math.Min(p.MassG, p.Solute.SolubleG*s.WaterG)
		if p.MassG > 0 {
			list = append(list, p)
		}
	}
	return list
}

// Norrish is one solute in water: aw = Xw exp(K Xs²) (R. S. Norrish, J. Food Technol. 1
// (1966) 25, in the form of L. Baeza et al., Food Bioprocess Technol. 3 (2010) 87).
func Norrish(waterMass float64, p Part) float64 {
	w, n := waterMass/waterG, p.MassG/p.Solute.MolarG
	xs := n / (w + n)
	return (1 - xs) * math.Exp(p.Solute.Norrish*xs*xs)
}

// norrishMixed is Norrish for several: aw = Xw exp(-(sum sqrt(-K) X)²) (from memory).
func norrishMixed(w float64, parts []Part) float64 {
	total, sum := w/waterG, 0.0
	for _, p := range parts {
		total += p.MassG / p.Solute.MolarG
	}
	for _, p := range parts {
		sum += math.Sqrt(-p.Solute.Norrish) * p.MassG / p.Solute.MolarG / total
	}
	return w / waterG / total * math.Exp(-sum*sum)
}

// ross is the product over the solutes, each in all the water (K. D. Ross, Food Technol.
// 29 (3) (1975) 26).
func ross(w float64, parts []Part) float64 {
	a := 1.0
	for _, p := range parts {
		a *= Norrish(w, p)
	}
	return a
}

// ferroFontan weighs the constants by mass and molar mass (C. Ferro Fontan, J. Chirife,
// R. Boquet 1981, from memory): Km = sum C (Mt/M) K, Mt = 1/sum(C/M).
func ferroFontan(w float64, parts []Part) float64 {
	mass, moles := 0.0, 0.0
	for _, p := range parts {
		mass, moles = mass+p.MassG, moles+p.MassG/p.Solute.MolarG
	}
	if mass == 0 {
		return 1
	}
	mt, km := mass/moles, 0.0
	for _, p := range parts {
		km += p.MassG / mass * mt / p.Solute.MolarG * p.Solute.Norrish
	}
	xs := moles / (moles + w/waterG)
	return (1 - xs) * math.Exp(km*xs*xs)
}

// moneyBorn is aw = 1/(1 + 0.27 n), n mol of solute in 100 g of water (R. W. Money, R.
// Born, J. Sci. Food Agric. 2 (1951) 180).
func moneyBorn(w float64, parts []Part) float64 {
	moles := 0.0
	for _, p := range parts {
		moles += p.MassG / p.Solute.MolarG
	}
	return 1 / (1 + 0.27*moles*100/w)
}

// grover is aw = 1.04 - 0.10 E + 0.0045 E², E = sum of factor times g of solid for each g
// of water (D. W. Grover, J. Soc. Chem. Ind. 66 (1947) 201). ok is false beyond E = 10,
// where the parabola turns up again.
func grover(w float64, parts []Part, gums float64) (a float64, ok bool) {
	e := 0.8 * gums / w
	for _, p := range parts {
		e += p.Solute.Grover * p.MassG / w
	}
	return math.Min(1, 1.04-0.10*e+0.0045*e*e), e <= 10
}

// saltFactor lowers the activity by sodium chloride: exp(-2 m phi 0.0180153) with the
// osmotic coefficient phi between measured points at 25 °C (R. A. Robinson, R. H. Stokes,
// Electrolyte Solutions, 1959, from memory).
func saltFactor(w, saltMass float64) float64 {
	m := math.Min(6.14, saltMass/saltG/w*1000)
	table := [][2]float64{{0, 0.93}, {1, 0.9355}, {2, 0.9833}, {3, 1.0453}, {4, 1.1158}, {5, 1.1916}, {6, 1.2706}, {6.14, 1.282}}
	phi := table[0][1]
	for i := 1; i < len(table); i++ {
		if a, b := table[i-1], table[i]; m >= a[0] {
			phi = a[1] + (b[1]-a[1])*math.Min(1, (m-a[0])/(b[0]-a[0]))
		}
	}
	return math.Exp(-2 * m * phi * waterG / 1000)
}

// ethanolFactor is Raoult's law for ethanol, good below some 10 % of the water phase.
func ethanolFactor(w, ethanolMass float64) float64 {
	n := w / waterG
	return n / (n + ethanolMass/ethanolG)
}

// Method is one method's estimate.
// Activities have no unit: 0 to 1.
type Method struct {
	Name     string
	Activity float64
}

// Activity is an estimate with its methods and what is doubtful about it.
type Activity struct {
	Range   unit.Range
	Methods []Method
	Doubts  []string
}

// leastBand is the least half width of activity that an estimate shows (our choice: five
// published methods span 0.023 on one mixture of sugars, and a reading has its error).
const leastBand = 0.015

// Estimate works out the water activity, dimensionless, 0-1. The water must be above 0
// and no mass below it.
func Estimate(s Solution) (Activity, error) {
	bad := !(s.WaterG > 0) || !(s.SaltG >= 0) || !(s.EthanolG >= 0) || !(s.GumsG >= 0) || math.IsInf(s.WaterG, 0)
	for _, p := range s.Parts {
		bad = bad || !(p.MassG >= 0) || math.IsInf(p.MassG, 0)
	}
	if bad {
		return Activity{}, &finding.Error{Found: fmt.Sprintf("%g g of water, or a mass below 0", s.WaterG), Allowed: "water above 0, nothing below it"}
	}
	parts := s.dissolved()
	rest := saltFactor(s.WaterG, s.SaltG) * ethanolFactor(s.WaterG, s.EthanolG)
	a := Activity{Methods: []Method{
		{"Ross", ross(s.WaterG, parts) * rest},
		{"Norrish, several solutes", norrishMixed(s.WaterG, parts) * rest},
		{"Ferro Fontan", ferroFontan(s.WaterG, parts) * rest},
		{"Money and Born", moneyBorn(s.WaterG, parts) * rest},
	}}
	if g, ok := grover(s.WaterG, parts, s.GumsG); ok {
		a.Methods = append(a.Methods, Method{"Grover", g * rest})
	}
	low, high, sum := math.Inf(1), 0.0, 0.0
	for _, m := range a.Methods {
		low, high, sum = math.Min(low, m.Activity), math.Max(high, m.Activity), sum+m.Activity
	}
	mid := sum / float64(len(a.Methods))
	extra := 0.0
	for _, p := range parts {
		if p.Solute.Name == Syrup42.Name && p.MassG > 0.1*s.WaterG {
			extra = 0.01
			a.Doubts = append(a.Doubts, "glucose syrup's own constant is not published: a stand-in is used")
		}
	}
	if e := s.EthanolG / (s.EthanolG + s.WaterG); e > 0.1 {
		extra += 0.01
		a.Doubts = append(a.Doubts, fmt.Sprintf("alcohol is %.0f %% of the water phase; the method is good below 10 %%, and alcohol evaporates", 100*e))
	}
	a.Range = unit.Between(math.Max(0, math.Min(low, mid-leastBand)-extra), mid, math.Min(1, math.Max(high, mid+leastBand)+extra))
	return a, nil
}
