package box

import (
	"reflect"
	"slices"
	"strings"
	"testing"
)

// listed is how many groups each set of rules lists: Annex II of Regulation (EU) 1169/2011;
// FALCPA 2004 and the FASTER Act of 2021, without celery, mustard, sulphites, lupin and molluscs.
var listed = map[string]int{"EU": 14, "US": 9}

// The job file takes exactly the rules that there is a wording for, and each wording is whole.
func TestEveryRuleHasItsWording(t *testing.T) {
	f, _ := reflect.TypeFor[Label]().FieldByName("Rules")
	words := strings.Split(f.Tag.Get("enum"), ",")
	for name, w := range wordings {
		if !slices.Contains(words, name) {
			t.Errorf("the job file does not take %q", name)
		}
		if w.BestBefore == "" || !(w.LeastXMM > 0) || !(w.LeastXSmallMM > 0) || w.net == nil || !w.stressed && w.contains == nil {
			t.Errorf("%s: %+v", name, w)
		}
		if listed[name] == 0 || len(w.called) != listed[name] {
			t.Errorf("%s: %d groups are called by a name; its act lists %d (say so here)", name, len(w.called), listed[name])
		}
		for key := range w.called {
			if groupOf(key) == nil {
				t.Errorf("%s names %q, which is no group", name, key)
			}
		}
	}
	if len(words) != len(wordings) {
		t.Errorf("%d rules, %d wordings", len(words), len(wordings))
	}
}

// 100 g are 3.527 oz (an ounce is 28.349523125 g, exactly): never more than is in it.
func TestNet(t *testing.T) {
	if got := WordingOf("US").Net(100); got != "Net Wt 3.5 oz (100 g)" {
		t.Error(got)
	}
	if got := WordingOf("EU").Net(100); got != "100 g" {
		t.Error(got)
	}
}
