package kitchen

import (
	"fmt"
	"math"

	"mouldwright/internal/base/unit"
)

// Rubber is what one more mould costs, as far as the pour knows it.
type Rubber struct {
	PricePerG float64    // in the person's money; 0: not known
	DemouldH  float64    // not before
	FoodH     unit.Range // after the pour: cured, post-cured, cooled and washed
}

// Second is what one more mould of each tray brings and takes.
type Second struct {
	SavesMin float64 // of one evening like this
	RubberG  float64
	Price    float64    // 0: not known
	HandsMin float64    // of work to cast them
	WaitH    unit.Range // until they may hold chocolate
	Evenings int        // after so many evenings it has paid for the hands' time; 0: never
	Verdict  string
}

// castMin is the hands' work for one more mould: frame, weighing, mixing, pouring,
// demoulding, trimming, washing (common practice, no source).
const castMin = 60.0

// mostEvenings is how many evenings a mould is looked ahead: it wears out (20-50 uses are
// common practice, no source).
const mostEvenings = 20

// second weighs the hours that a second mould saves against those that it takes.
func second(trays []Tray, savesMin float64, r Rubber) Second {
	s := Second{SavesMin: savesMin, WaitH: r.FoodH}
	for _, t := range trays {
		s.RubberG += t.RubberG
		s.HandsMin += castMin
	}
	s.Price = s.RubberG * r.PricePerG
	cost := unit.Mass(s.RubberG) + " of rubber"
	if s.Price > 0 {
		cost += fmt.Sprintf(" (%.0f in your money)", s.Price)
	}
	cost += fmt.Sprintf(", about %s of work and %s until it may hold chocolate", unit.Duration(s.HandsMin), unit.Duration(60*s.WaitH.Likely))
	of := "A second mould of the tray"
	if len(trays) > 1 {
		of = "A second mould of each tray"
	}
	if savesMin < 1 {
		s.Verdict = fmt.Sprintf("%s saves no time: hands or the fridge's shelf are what holds the evening up. It would take %s. Leave it.", of, cost)
		return s
	}
	s.Evenings = int(math.Ceil(s.HandsMin / savesMin))
	gain := fmt.Sprintf("%s saves %s of this evening and takes %s", of, unit.Duration(savesMin), cost)
	switch {
	case s.Evenings <= 1:
		s.Verdict = gain + ". It pays on the first evening, if you have the time before it."
	case s.Evenings <= mostEvenings:
		s.Verdict = fmt.Sprintf("%s. It does not pay for one evening; from the %s evening like this one it does.", gain, unit.Ordinal(s.Evenings))
	default:
		s.Evenings = 0
		s.Verdict = gain + ". It never pays: it wears out before."
	}
	return s
}
