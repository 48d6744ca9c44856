package box

import (
	"fmt"
	"math"
)

// Wording is how one set of rules has a label written. Everything that differs between
// the rules of two countries stands here and in group.
type Wording struct {
	BestBefore string // what stands before the date
	// The least height of a small x on the label, in mm: LeastXMM, and on a package whose
	// largest side is below SmallMM2 LeastXSmallMM.
	LeastXMM, LeastXSmallMM, SmallMM2 float64

	stressed bool                                // allergens stand out in the list of ingredients
	called   func(*group) string                 // empty where the rules do not list the group
	contains func(keys, texts []string) []string // the statement that lists allergens apart; nil: there is none
	net      func(g float64) string              // the net mass, never rounded up
}

// wordings by the words of Label.Rules.
//
// EU: Regulation (EU) 1169/2011, Articles 13 (1.2 mm; 0.9 mm below 80 cm²), 21 and 24. US:
// 21 CFR 101.2(c) (a sixteenth of an inch for a small o) and 101.7 (ounces beside grams).
// The articles' numbers are from memory.
var wordings = map[string]*Wording{
	"EU": {BestBefore: "Best before", LeastXMM: 1.2, LeastXSmallMM: 0.9, SmallMM2: 8000, stressed: true, called: func(g *group) string { return g.eu },
		net: func(g float64) string { return fmt.Sprintf("%.0f g", g) }},
	"US": {BestBefore: "Best by", LeastXMM: 25.4 / 16, LeastXSmallMM: 25.4 / 16, called: func(g *group) string { return g.us }, contains: containsUS,
		net: func(g float64) string {
			const ounceG = 28.349523125 // exact: the international pound of 1959, a sixteenth
			return fmt.Sprintf("Net Wt %.1f oz (%.0f g)", math.Floor(g/ounceG*10)/10, g)
		}},
}

// WordingOf is the wording by its word in the job file; without one it is that of the EU.
func WordingOf(rules string) *Wording {
	if w := wordings[rules]; w != nil {
		return w
	}
	return wordings["EU"]
}

// Net words a net mass in g.
func (w *Wording) Net(g float64) string { return w.net(g) }

// Called names groups, by their keys, as the rules do; those that the rules do not list are
// left out.
func (w *Wording) Called(keys []string) []string {
	out := []string{}
	for _, k := range keys {
		if g := groupOf(k); g != nil && w.called(g) != "" {
			out = append(out, w.called(g))
		}
	}
	return out
}
