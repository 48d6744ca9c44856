package workshop

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow"
)

func wordsOf[T any](field string) []string {
	f, _ := reflect.TypeFor[T]().FieldByName(field)
	return strings.Split(f.Tag.Get("enum"), ",")
}

// The front end's types name exactly the pages there are; the record has no findings.
func TestEveryPageIsNamed(t *testing.T) {
	var names []string
	for _, p := range pages {
		names = append(names, p.stage)
	}
	if got := wordsOf[Remark]("Stage"); !slices.Equal(got, names) {
		t.Errorf("Remark.Stage takes %v, pages are %v", got, names)
	}
	if got := wordsOf[Stage]("Stage"); !slices.Equal(got, append(names, "record")) {
		t.Errorf("Stage.Stage takes %v, pages are %v and record", got, names)
	}
}

// A remark of any stage stands on a page that there is, and tells on it.
func TestEveryRemarkHasItsPage(t *testing.T) {
	v := opened(t, letters(t))
	v.want(200, "GET", "/api/tray", nil, nil) // makes the sketch
	s := v.state()
	allowed, mould := wordsOf[Remark]("Stage"), 0
	for _, f := range s.Findings {
		if !slices.Contains(allowed, f.Stage) {
			t.Errorf("%s: %s stands on no page: %q", f.Where, f.What, f.Stage)
		}
		if strings.HasPrefix(f.Where, "mould of tray") {
			mould++
		}
	}
	if mould == 0 {
		t.Error("the cured mould gave no remark, so nothing was tried")
	}
	r := &flow.Result{Plan: flow.Plan{Findings: []finding.Finding{{Severity: finding.Care}}}, Stages: []string{"mould"}}
	for _, st := range stages(&flow.Input{}, r) {
		if (st.Worst == finding.Care) != (st.Stage == "pour") {
			t.Errorf("what is said of the mould shows on %s as %q", st.Stage, st.Worst)
		}
	}
}
