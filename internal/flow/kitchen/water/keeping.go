package water

import "mouldwright/internal/base/unit"

// Class is a class of keeping. Published guides do not agree on days: for one activity of
// 0.80 they give from 27 to 137. So a class is a wide range with its basis, never a date.
type Class struct {
	Name    string
	Above   float64 // lowest activity of the class
	Days    unit.Range
	Storage string
	Basis   string
}

// Classes from wet to dry. 0.85 is the line of 21 CFR 114.3; most moulds stop at 0.80,
// xerophilic moulds at 0.65, osmophilic yeasts at 0.60 (L. R. Beuchat, Cereal Foods World
// 26 (1981) 345, as quoted). The days are common practice, no source, but that a cream
// ganache keeps about two weeks at 20 °C.
var Classes = []Class{
	{"days, chilled", 0.85, unit.Between(3, 7, 14), "chilled, closed against damp", "above 0.85 bacteria that make ill can grow (21 CFR 114.3 draws its line there)"},
	{"weeks", 0.70, unit.Between(14, 28, 60), "cool and dry, 15-18\u00a0°C", "yeasts and moulds can grow; bacteria that make ill do not below 0.85"},
	{"months", 0.60, unit.Between(60, 90, 180), "cool and dry, 15-18\u00a0°C", "only few moulds and yeasts grow between 0.60 and 0.70"},
	{"as long as its fat", 0, unit.Between(90, 150, 270), "cool, dry and dark, 15-18\u00a0°C", "nothing grows below 0.60; fat that turns rancid or blooms sets the end"},
}

// Growth is the lowest activity at which something that makes ill grows; the lower where
// two texts differ (source: FDA, Bad Bug Book, factors affecting growth; a university's
// guide for S. aureus 0.83).
var Growth = []struct {
	Name     string
	Activity float64
}{
	{"C. botulinum A, B", 0.93}, {"Salmonella", 0.94}, {"E. coli", 0.935}, {"L. monocytogenes", 0.92}, {"S. aureus", 0.83},
}

// Keeping is the class of an activity: of its high end, to be on the safe side.
func Keeping(a unit.Range) (index int) {
	for i, c := range Classes {
		if a.High > c.Above {
			return i
		}
	}
	return len(Classes) - 1
}
