package pour

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// Outcome is what a patch of rubber was like after its full cure.
type Outcome string

// The outcomes, from worst to best. Judge both the body and the skin that touched the
// print: a firm body with a sticky skin is TackySkin.
const (
	Liquid    Outcome = "liquid"
	Gummy     Outcome = "gummy"
	TackySkin Outcome = "tacky skin"
	Clean     Outcome = "clean"
)

// Outcomes lists the outcomes from worst to best.
var Outcomes = []Outcome{Liquid, Gummy, TackySkin, Clean}

// CureTest is one combination of materials and, once it was looked at, its outcome.
// Outcome is "" for a combination that was not tested.
type CureTest struct {
	Resin     string
	Treatment string // washing and post-cure: times and temperatures as the person words them
	Coating   string // "none" among them
	Silicone  string
	Outcome   Outcome
	Date      unit.Date
}

// TestChoices is which combinations the cure test tries: the job file's [cure_test].
// The job's own resin, treatment and coating, and no coating at all, are always among
// them.
type TestChoices struct {
	Resins     []string   `toml:"resins" optional:"yes" doc:"further resins to test"`
	Treatments []string   `toml:"treatments" optional:"yes" doc:"further ways to wash and post-cure, each with its times and temperatures"`
	Coatings   []string   `toml:"coatings" optional:"yes" doc:"further coatings to test; none is always tested"`
	PadMM      float64    `toml:"pad_mm" default:"20" min:"8" max:"100" doc:"side of a pad"`
	RubberMM   unit.Range `toml:"rubber_mm" default:"[2, 3, 4]" min:"1" max:"20" doc:"rubber on a pad; inhibition reaches about half a millimetre deep, so the body above it shows what the rubber itself does"`
}

// NoCoating is the bare print.
const NoCoating = "none"

// MaxCombinations bounds a cure test (our choice: more pads would not be kept apart on a
// bench).
const MaxCombinations = 400

// same compares two names as a person reads them: case and spaces do not count.
func same(a, b string) bool { return plain(a) == plain(b) }

func plain(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }

// distinct keeps the first of names that read the same, and no empty ones.
func distinct(names ...string) (out []string) {
	for _, n := range names {
		if plain(n) != "" && !slices.ContainsFunc(out, func(o string) bool { return same(o, n) }) {
			out = append(out, n)
		}
	}
	return out
}

// Combinations are every resin with every treatment and every coating: their number
// is the product of the three. The job's own combination comes first.
func Combinations(own CureTest, c TestChoices) ([]CureTest, error) {
	resins := distinct(append([]string{own.Resin}, c.Resins...)...)
	treatments := distinct(append([]string{own.Treatment}, c.Treatments...)...)
	coatings := distinct(append([]string{own.Coating, NoCoating}, c.Coatings...)...)
	if n := len(resins) * len(treatments) * len(coatings); n > MaxCombinations {
		return nil, &finding.Error{Key: "cure_test", Found: fmt.Sprintf("%d combinations: %d resins, %d treatments, %d coatings", n, len(resins), len(treatments), len(coatings)),
			Allowed: fmt.Sprintf("at most %d", MaxCombinations), Do: "test the treatments of one resin first"}
	}
	var out []CureTest
	for _, r := range resins {
		for _, t := range treatments {
			for _, k := range coatings {
				out = append(out, CureTest{Resin: r, Treatment: t, Coating: k, Silicone: own.Silicone})
			}
		}
	}
	return out, distinctCodes(out)
}

// differences names what tells two combinations apart, as test against job.
func (t CureTest) differences(job CureTest) (out []string) {
	for _, f := range [...]struct{ what, test, job string }{
		{"resin", t.Resin, job.Resin}, {"treatment", t.Treatment, job.Treatment},
		{"coating", t.Coating, job.Coating}, {"rubber", t.Silicone, job.Silicone},
	} {
		if !same(f.test, f.job) {
			out = append(out, fmt.Sprintf("%s (tested: %s, job: %s)", f.what, f.test, f.job))
		}
	}
	return out
}

// latest is the test that speaks for a combination: the newest one, and of those of
// one day the worst. ok is false when there is none.
func latest(job CureTest, tests []CureTest) (newest CureTest, ok bool) {
	for _, t := range tests {
		if t.Outcome == "" || len(t.differences(job)) > 0 {
			continue
		}
		later := cmp.Or(cmp.Compare(t.Date.String(), newest.Date.String()), cmp.Compare(rank(newest.Outcome), rank(t.Outcome)))
		if !ok || later > 0 {
			newest, ok = t, true
		}
	}
	return newest, ok
}

func rank(o Outcome) int { return slices.Index(Outcomes, o) }

// Released says whether rubber may be poured: only when the newest test of exactly
// the job's combination came out clean. why gives the reason in words; where another
// combination came out clean it says what differs.
func Released(job CureTest, tests []CureTest) (released bool, why string, err error) {
	for _, t := range tests {
		if t.Outcome != "" && rank(t.Outcome) < 0 {
			return false, "", &finding.Error{Key: "cure test", Found: fmt.Sprintf("outcome %q", t.Outcome), Allowed: "liquid, gummy, tacky skin, clean", Do: "choose the worst of them that you see"}
		}
	}
	if t, ok := latest(job, tests); ok {
		if t.Outcome == Clean {
			return true, "this combination came out clean on " + t.Date.String(), nil
		}
		return false, fmt.Sprintf("the rubber stayed %s against this combination on %s", t.Outcome, t.Date), nil
	}
	best, fewest := "", 5
	for _, t := range tests {
		d := t.differences(job)
		if now, ok := latest(t, tests); !ok || now.Outcome != Clean || len(d) >= fewest {
			continue
		}
		best, fewest = fmt.Sprintf("not tested; a clean test of %s differs in %s", t.Date, strings.Join(d, " and ")), len(d)
	}
	switch {
	case best != "":
		return false, best, nil
	case len(tests) > 0:
		return false, "not tested, and no other test came out clean", nil
	}
	return false, fmt.Sprintf("no combination was tested; the job's is %s, %s, coating %s, under %s", job.Resin, job.Treatment, job.Coating, job.Silicone), nil
}

// Pads is the cure test as work: what to mix, and when to look.
type Pads struct {
	Tests   []CureTest // with the outcomes known
	MassG   float64    // of rubber to mix; at least the smallest safe batch
	PartAG  float64
	PartBG  float64
	LookH   unit.Range // after mixing
	LookWhy string
}

// overnightH is how long a patch is left before it is judged: common practice, no
// source: a patch overnight, about 18-24 h, is long enough to judge.
var overnightH = unit.Between(18, 20, 24)

// lookAt is when a pad may be judged: after the cure at the slowest, and not before
// the morning after.
func lookAt(cureH unit.Range) (unit.Range, string) {
	if cureH.High > overnightH.Low {
		return unit.Range{Low: cureH.High, Likely: max(cureH.High, overnightH.Likely), High: max(cureH.High, overnightH.High)}, "after the longest cure time at the room's temperature"
	}
	return overnightH, "overnight: longer than the cure, so that a skin which is late is not taken for one that never sets (common practice, no source)"
}
