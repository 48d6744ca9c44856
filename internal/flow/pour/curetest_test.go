package pour

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/unit"
)

var job = CureTest{Resin: "grey", Treatment: "washed twice, 30 min at 60 °C", Coating: "none", Silicone: "soft"}

func tested(t CureTest, o Outcome, day int) CureTest {
	t.Outcome, t.Date = o, unit.Date{Year: 2027, Month: 1, Day: day}
	return t
}

// Common practice: three resins by four surfaces make twelve patches.
func TestTwelvePatches(t *testing.T) {
	got, err := Combinations(job, TestChoices{Resins: []string{"clear", "GREY ", "tough"}, Coatings: []string{"lacquer", "wax", "oil"}})
	if err != nil || len(got) != 12 || got[0] != job {
		t.Errorf("%d patches, first %+v, %v", len(got), got[0], err)
	}
}

func TestCombinationsAreTheProduct(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := func(what string, most int) []string {
			return rapid.SliceOfNDistinct(rapid.StringMatching(`[a-z]{3}[0-9]`), 0, most, rapid.ID[string]).Draw(t, what)
		}
		c := TestChoices{Resins: names("resins", 5), Treatments: names("treatments", 5), Coatings: names("coatings", 5)}
		got, err := Combinations(job, c)
		if err != nil {
			if !oneCodeTwice(c) { // of a hundred combinations, one list in two hundred is refused for that
				t.Fatal(err)
			}
			return
		}
		want := (1 + len(c.Resins)) * (1 + len(c.Treatments)) * (1 + len(c.Coatings))
		seen := map[CureTest]bool{}
		for _, g := range got {
			seen[g] = true
		}
		if len(got) != want || len(seen) != want {
			t.Fatalf("%d combinations, %d different, want %d", len(got), len(seen), want)
		}
	})
	if _, err := Combinations(job, TestChoices{Resins: make([]string, 1)}); err != nil {
		t.Errorf("an empty name counts: %v", err)
	}
	many := make([]string, 30)
	for i := range many {
		many[i] = strings.Repeat("x", i+1)
	}
	if _, err := Combinations(job, TestChoices{Resins: many, Treatments: many}); err == nil {
		t.Error("961 pads were planned")
	}
}

// oneCodeTwice tells whether two of the job's and the further combinations share a code.
func oneCodeTwice(c TestChoices) bool {
	seen := map[string]bool{}
	for _, resin := range append([]string{job.Resin}, c.Resins...) {
		for _, treatment := range append([]string{job.Treatment}, c.Treatments...) {
			for _, coating := range append([]string{job.Coating}, c.Coatings...) {
				code := CureTest{Resin: resin, Treatment: treatment, Coating: coating}.Code()
				if seen[code] {
					return true
				}
				seen[code] = true
			}
		}
	}
	return false
}

func TestReleased(t *testing.T) {
	coated := job
	coated.Coating = "lacquer"
	other := coated
	other.Resin = "clear"
	loud := job
	loud.Resin = "  Grey"
	for _, c := range []struct {
		what  string
		tests []CureTest
		ok    bool
		says  []string
	}{
		{"nothing", nil, false, []string{"no combination was tested"}},
		{"clean", []CureTest{tested(job, Clean, 2)}, true, []string{"2027-01-02"}},
		{"clean, written otherwise", []CureTest{tested(loud, Clean, 2)}, true, nil},
		{"tacky", []CureTest{tested(job, TackySkin, 2)}, false, []string{"tacky skin", "2027-01-02"}},
		{"first clean, then gummy", []CureTest{tested(job, Clean, 2), tested(job, Gummy, 5)}, false, []string{"gummy"}},
		{"first gummy, then clean", []CureTest{tested(job, Clean, 5), tested(job, Gummy, 2)}, true, nil},
		{"both on one day", []CureTest{tested(job, Liquid, 5), tested(job, Clean, 5)}, false, []string{"liquid"}},
		{"planned only", []CureTest{job}, false, []string{"not tested"}},
		{"a near one", []CureTest{tested(other, Clean, 3), tested(coated, Clean, 2)}, false, []string{"differs in coating (tested: lacquer, job: none)"}},
		{"a far one", []CureTest{tested(other, Clean, 3)}, false, []string{"resin", "coating"}},
		{"a near one that failed later", []CureTest{tested(coated, Clean, 2), tested(coated, Gummy, 3)}, false, []string{"no other test came out clean"}},
	} {
		ok, why, err := Released(job, c.tests)
		if err != nil || ok != c.ok {
			t.Errorf("%s: released %v, %q, %v", c.what, ok, why, err)
		}
		for _, s := range c.says {
			if !strings.Contains(why, s) {
				t.Errorf("%s: %q does not say %q", c.what, why, s)
			}
		}
	}
	if _, _, err := Released(job, []CureTest{tested(job, "fine", 1)}); err == nil {
		t.Error("outcome \"fine\" was taken")
	}
}

func TestLookAt(t *testing.T) {
	if r, _ := lookAt(unit.Between(4, 5, 8)); r != overnightH {
		t.Errorf("a quick rubber is judged after %v h", r)
	}
	if r, _ := lookAt(unit.Between(12, 18, 30)); r.Low != 30 || !r.Ordered() {
		t.Errorf("a slow rubber is judged after %v h", r)
	}
}
