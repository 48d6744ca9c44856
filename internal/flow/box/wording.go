package box

import (
	"fmt"
	"math"
)

// Wording is how one set of rules has a label written. Everything that differs between
// the rules of two countries stands here.
type Wording struct {
	BestBefore string // what stands before the date
	// The least height of a small x on the label, in mm: LeastXMM, and on a package whose
	// largest side is below SmallMM2 LeastXSmallMM.
	LeastXMM, LeastXSmallMM, SmallMM2 float64

	called   map[string]string                               // what the rules call each group, by its key; others they do not list
	stressed bool                                            // those groups stand out in the list of ingredients
	contains func(w *Wording, keys, texts []string) []string // the statement that lists allergens apart; nil: there is none
	net      func(g float64) string                          // the net mass, never rounded up
}

// wordings by the words of Label.Rules.
//
// EU: Regulation (EU) 1169/2011, Annex II (its names shortened), Articles 13 (1.2 mm; 0.9 mm
// below 80 cm²), 21 and 24. US: FALCPA 2004 (Pub. L. 108-282, title II) and the FASTER Act of
// 2021 (Pub. L. 117-11), nine groups in all; 21 CFR 101.2(c) (a sixteenth of an inch for a
// small o) and 101.7 (ounces beside grams). The articles' numbers are from memory.
var wordings = map[string]*Wording{
	"EU": {
		BestBefore: "Best before", LeastXMM: 1.2, LeastXSmallMM: 0.9, SmallMM2: 8000, stressed: true,
		called: map[string]string{
			"gluten": "cereals containing gluten", "crustaceans": "crustaceans", "eggs": "eggs", "fish": "fish",
			"peanuts": "peanuts", "soya": "soybeans", "milk": "milk", "nuts": "nuts", "celery": "celery",
			"mustard": "mustard", "sesame": "sesame", "sulphites": "sulphur dioxide and sulphites", "lupin": "lupin",
			"molluscs": "molluscs",
		},
		net: func(g float64) string { return fmt.Sprintf("%.0f g", g) },
	},
	"US": {
		BestBefore: "Best by", LeastXMM: 25.4 / 16, LeastXSmallMM: 25.4 / 16, contains: containsUS,
		called: map[string]string{
			"gluten": "wheat", "crustaceans": "crustacean shellfish", "eggs": "eggs", "fish": "fish", "peanuts": "peanuts",
			"soya": "soybeans", "milk": "milk", "nuts": "tree nuts", "sesame": "sesame",
		},
		net: func(g float64) string {
			const ounceG = 28.349523125 // exact: the international pound of 1959, a sixteenth
			return fmt.Sprintf("Net Wt %.1f oz (%.0f g)", math.Floor(g/ounceG*10)/10, g)
		},
	},
}

// WordingOf is the wording by its word in the job file; without one it is that of the EU.
func WordingOf(rules string) *Wording {
	if w := wordings[rules]; w != nil {
		return w
	}
	return wordings["EU"]
}

// stresses tells whether the words for a group stand out among the ingredients.
func (w *Wording) stresses(key string) bool { return w.stressed && w.called[key] != "" }

// Net words a net mass in g.
func (w *Wording) Net(g float64) string { return w.net(g) }

// Called names groups, by their keys, as the rules do; those that the rules do not list are
// left out.
func (w *Wording) Called(keys []string) []string {
	out := []string{}
	for _, k := range keys {
		if w.called[k] != "" {
			out = append(out, w.called[k])
		}
	}
	return out
}
