package pour

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
)

const (
	gasConstant = 8.314462618 // unit J/(mol K): CODATA 2018, exact
	zeroC       = 273.15      // K, by definition of °C
)

// halvingC is by how many degrees the room must warm for times to halve, where the
// data sheet gives one temperature only: 10 °C is the rule of thumb; the spread is
// that of activation energies of 44-66 kJ/mol (from memory, no source at hand).
var halvingC = unit.Between(8, 10, 12)

// halved is a time at fromC as it is at toC, when it halves for every stepC.
func halved(t, fromC, toC, stepC float64) float64 { return t * math.Pow(2, (fromC-toC)/stepC) }

// activation is the energy in J/mol that two times at two temperatures speak for
// (S. Arrhenius 1889): Ea = R ln(t1/t2) / (1/T1 - 1/T2).
func activation(t1, c1, t2, c2 float64) float64 {
	return gasConstant * math.Log(t1/t2) / (1/(c1+zeroC) - 1/(c2+zeroC))
}

// arrhenius is a time at fromC as it is at toC: t exp(Ea/R (1/T2 - 1/T1)).
func arrhenius(t, fromC, toC, joulePerMol float64) float64 {
	return t * math.Exp(joulePerMol/gasConstant*(1/(toC+zeroC)-1/(fromC+zeroC)))
}

// Rules by which a time was brought to the room's temperature.
const (
	ByArrhenius = "Arrhenius, from the data sheet's two temperatures"
	ByHalving   = "halving for every 10 °C, a rule of thumb: the data sheet gives one temperature"
	BySheet     = "as the data sheet says, for its own temperature"
)

// atRoom brings a data sheet's time to the room. secondTime 0 means that the sheet
// gives none for secondC.
func atRoom(t unit.Range, sheetC, secondTime, secondC float64, roomC unit.Range) (unit.Range, string) {
	if roomC.IsSure() && roomC.Likely == sheetC {
		return t, BySheet
	}
	if secondTime > 0 {
		ea := activation(t.Likely, sheetC, secondTime, secondC)
		at := func(v, c float64) float64 { return arrhenius(v, sheetC, c, ea) }
		return unit.Range{Low: at(t.Low, roomC.High), Likely: at(t.Likely, roomC.Likely), High: at(t.High, roomC.Low)}, ByArrhenius
	}
	out := unit.Range{Low: math.Inf(1), Likely: halved(t.Likely, sheetC, roomC.Likely, halvingC.Likely)}
	for _, step := range [...]float64{halvingC.Low, halvingC.High} {
		out.Low = min(out.Low, halved(t.Low, sheetC, roomC.High, step))
		out.High = max(out.High, halved(t.High, sheetC, roomC.Low, step))
	}
	return out, ByHalving
}

// The room in which a pour is planned. Outside of this no rubber for moulds is meant
// to be worked at; below coldC it may stop setting (common practice, no source).
const (
	coldestC = 10.0
	warmestC = 40.0
	coldC    = 18.0
)

// Times is how long the mixed rubber stays what it is, at the room's temperature.
type Times struct {
	WorkingTimeMin unit.Range
	WorkingBy      string // the rule
	CureH          unit.Range
	CureBy         string
	DemouldH       float64    // the longest cure: earlier is a risk
	FoodH          unit.Range // from the last pour to the first food: cure, post-cure, cooling and washing
	Thickening     unit.Range // by what factor the viscosity has grown at the end of the working time
}

// Thickening, by which factor, until the end of the working time: makers end it anywhere from a doubled
// viscosity to rubber that only just flows (from memory, no source at hand).
var thickening = unit.Between(2, 4, 10)

// washH is cooling down from the post-cure and washing (common practice, no source).
var washH = unit.Between(1, 1.5, 3)

func times(s material.Silicone, roomC unit.Range) (Times, []finding.Finding, error) {
	if !roomC.Ordered() || roomC.Low < coldestC || roomC.High > warmestC {
		return Times{}, nil, &finding.Error{Key: "bench.room_c", Found: roomC.String() + " °C", Allowed: fmt.Sprintf("%g to %g °C", coldestC, warmestC), Do: "pour in a room that one can work in; warmth belongs to the post-cure"}
	}
	if err := s.CheckTimes(); err != nil {
		return Times{}, nil, err
	}
	t := Times{Thickening: thickening}
	t.WorkingTimeMin, t.WorkingBy = atRoom(s.WorkingTimeMin, s.SheetC, s.SecondWorkMin, s.SecondC, roomC)
	t.CureH, t.CureBy = atRoom(s.CureH, s.SheetC, s.SecondCureH, s.SecondC, roomC)
	t.DemouldH = t.CureH.High
	t.FoodH = unit.Range{Low: t.CureH.Low + s.PostCureH + washH.Low, Likely: t.CureH.Likely + s.PostCureH + washH.Likely, High: t.CureH.High + s.PostCureH + washH.High}
	var found []finding.Finding
	if roomC.Low < coldC {
		found = append(found, finding.Finding{Severity: finding.Care, Where: "bench.room_c", What: fmt.Sprintf("%g °C at the coldest; below %g °C some rubber does not set", roomC.Low, coldC), Do: "warm the room, the parts and the master for a day before"})
	}
	return t, found, nil
}

// flowing is the integral of eta0/eta from one minute to another: the time for which
// rubber of its first viscosity would have to stand for as much to rise in it.
// Viscosity grows as eta0 g^(t/w), g at the end w of the working time: the usual
// exponential law below gelation (from memory, no source at hand).
func flowing(fromMin, toMin, workingMin, grown float64) float64 {
	if toMin <= fromMin {
		return 0
	}
	k := math.Log(grown) / workingMin
	if k == 0 {
		return toMin - fromMin
	}
	return (math.Exp(-k*fromMin) - math.Exp(-k*toMin)) / k
}
