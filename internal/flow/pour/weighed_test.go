package pour

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/flow/master"
)

// tenToOne is a plain box of 400 ml of a rubber that is mixed 10 : 1 and weighs 1 g/ml,
// with nothing left in cups or brushes: 400 g in two cups of 200 g.
func tenToOne(t *testing.T) *Pour {
	t.Helper()
	s := soft
	s.RatioA, s.RatioB, s.RatioBy = 10, 1, "mass"
	s.DensityGML.Low, s.DensityGML.Likely, s.DensityGML.High = 1, 1, 1
	b := bench
	b.HandG = 220
	p, _ := plan(t, Work{Trays: []master.Tray{plainTray(1, 400_000)}, Silicone: s}, Choices{PourGMin: 150, MixMin: 4, Treatment: "washed", Coating: "none"}, b)
	if len(p.Cups) != 2 {
		t.Fatalf("%d cups, want 2", len(p.Cups))
	}
	return p
}

// By hand, 10 : 1: 181.8 g of A want 18.18 g of B. With 16.0 g the ratio is 11.3625, off by
// 13.6 %; 2.2 g of B bring it right. With 18.2 g it is off by 0.11 %.
func TestWeighRatio(t *testing.T) {
	p := tenToOne(t)
	for _, c := range []struct {
		a, b           float64
		verdict        string
		off, addA, adB float64
	}{
		{181.8, 16, TooLittleB, 0.13625, 0, 2.2},
		{181.8, 18.2, AsPlanned, -0.0011, 0, 0},
		{160, 18.2, TooLittleA, -0.1209, 22, 0},
		{0, 0, NotWeighed, 0, 0, 0},
	} {
		got, err := p.Weigh([]Weighed{{1, c.a, c.b, 0}})
		if err != nil {
			t.Fatal(err)
		}
		j := got.Cups[0]
		if j.Verdict != c.verdict || math.Abs(j.RatioOffShare-c.off) > 1e-4 || math.Abs(j.AddAG-c.addA) > 1e-9 || math.Abs(j.AddBG-c.adB) > 1e-9 {
			t.Errorf("%g g of A, %g g of B: %+v", c.a, c.b, j)
		}
		if bad := c.addA+c.adB > 0; bad != strings.Contains(strings.Join(got.Words, " "), "may stay soft or sticky") {
			t.Errorf("%g g of A, %g g of B: %q", c.a, c.b, got.Words)
		}
	}
}

// The scale shows 190 g of A: B is 19.0 g then, not the plan's 18.2 g.
func TestWeighTellsTheOtherPart(t *testing.T) {
	p := tenToOne(t)
	got, err := p.Weigh([]Weighed{{1, 190, 0, 0}})
	if err != nil || got.Cups[0].Verdict != HalfDone || got.Cups[0].PartBG != 19 || !strings.Contains(got.Cups[0].Words, "19.0\u00a0g of B") {
		t.Errorf("%+v %v", got.Cups[0], err)
	}
	got, err = p.Weigh([]Weighed{{1, 0, 20, 0}})
	if err != nil || got.Cups[0].Verdict != HalfDone || got.Cups[0].PartAG != 200 {
		t.Errorf("%+v %v", got.Cups[0], err)
	}
	// What came out larger is taken off the next cup: 400 - 209 = 191 g.
	if got, err = p.Weigh([]Weighed{{1, 190, 19, 0}}); err != nil || math.Abs(got.Cups[1].MassG-191) > 1e-9 || len(got.Extra) > 0 {
		t.Errorf("%+v %v", got, err)
	}
}

// By hand: 110 g in each of two cups are 220 ml in a box of 100 x 200 mm: 11 mm instead
// of 20 mm, 180 g short; one more cup of 180 g holds it, 163.6 g of A and 16.4 g of B.
func TestWeighTooShort(t *testing.T) {
	p := tenToOne(t)
	got, err := p.Weigh([]Weighed{{1, 100, 10, 0}, {2, 100, 10, 0}})
	if err != nil {
		t.Fatal(err)
	}
	if r := got.Trays[0]; math.Abs(r.LevelMM-11) > 1e-6 || r.WantMM != 20 || math.Abs(r.ShortG-180) > 1e-6 {
		t.Errorf("%+v", r)
	}
	if len(got.Extra) != 1 || got.Extra[0].Cup != 3 || got.Extra[0].PartAG != 163.6 || got.Extra[0].PartBG != 16.4 || math.Abs(got.MissingG.Likely-180) > 1e-6 {
		t.Errorf("%+v, missing %v", got.Extra, got.MissingG)
	}
	all := strings.Join(got.Words, " ")
	for _, w := range []string{"ends 11.0 mm over the base instead of 20.0", "180\u00a0g are missing", "163.6\u00a0g of A"} {
		if !strings.Contains(all, w) {
			t.Errorf("%q does not say %q", all, w)
		}
	}
	// A little missing is not worth a cup, but never less than the smallest safe batch.
	if got, err = p.Weigh([]Weighed{{1, 181.8, 18.2, 0}, {2, 160, 16, 0}}); err != nil || len(got.Extra) != 1 || got.Extra[0].MassG < p.Batch.SmallestG {
		t.Errorf("24 g missing: %+v, smallest batch %g g", got.Extra, p.Batch.SmallestG)
	}
	if got, err = p.Weigh([]Weighed{{1, 181.8, 18.2, 0}, {2, 181.6, 18.2, 0}}); err != nil || len(got.Extra) != 0 || got.Words[0] != "What was weighed changes nothing in the plan." {
		t.Errorf("0.2 g missing: %+v", got)
	}
	if got, err = p.Weigh([]Weighed{{1, 200, 20, 0}, {2, 200, 20, 0}}); err != nil || math.Abs(got.OverG-40) > 1e-6 || !strings.Contains(got.Words[0], "no room in the frames") {
		t.Errorf("40 g too much: %+v", got)
	}
}

// Whatever is weighed, the cups and extra cups together fill the frames, and no cup is
// larger than the largest batch unless the person weighed it so.
func TestWeighFillsTheFrames(t *testing.T) {
	p := tenToOne(t)
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0, 600).Draw(t, "a")
		b := rapid.Float64Range(0, 60).Draw(t, "b")
		got, err := p.Weigh([]Weighed{{1, a, b, 0}})
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, j := range append(got.Cups, got.Extra...) {
			sum += j.MassG
			if j.Verdict == NotWeighed && j.MassG > p.Batch.LargestG*(1+1e-9) {
				t.Fatalf("cup %d is to hold %g g", j.Cup, j.MassG)
			}
		}
		if sum < 400-got.slack(p) {
			t.Fatalf("%g g of A and %g g of B: %g g in all, %+v", a, b, sum, got)
		}
		if got.Trays[0].LevelMM > 20 || got.MissingG.Low < 0 || !got.MissingG.Ordered() {
			t.Fatalf("%+v", got)
		}
	})
}

func TestWeighRefuses(t *testing.T) {
	p := tenToOne(t)
	for what, list := range map[string][]Weighed{
		"no such cup":               {{3, 1, 1, 0}},
		"cup nought":                {{0, 1, 1, 0}},
		"one cup twice":             {{1, 1, 1, 0}, {1, 2, 2, 0}},
		"less than nothing":         {{1, -1, 1, 0}},
		"no number":                 {{1, math.NaN(), 1, 0}},
		"a lost point":              {{1, 1818, 18.2, 0}},
		"a tray for a planned cup":  {{1, 1, 1, 1}},
		"a cup beyond without tray": {{3, 1, 1, 0}},
		"into no tray of these":     {{3, 1, 1, 7}},
		"too far beyond the plan":   {{3 + MaxExtra, 1, 1, 1}},
		"more cups than many":       {{1, 1, 1, 0}, {2, 1, 1, 0}, {2, 1, 1, 0}},
	} {
		if _, err := p.Weigh(list); err == nil {
			t.Errorf("%s was taken", what)
		}
	}
}

func TestGrams(t *testing.T) {
	for _, c := range []struct {
		g, step float64
		want    string
	}{{220.24, 0.1, "220.2\u00a0g"}, {220.24, 0.01, "220.24\u00a0g"}, {220.6, 1, "221\u00a0g"}, {222, 5, "220\u00a0g"}, {22, 0.5, "22.0\u00a0g"}} {
		if got := Grams(c.g, c.step); got != c.want {
			t.Errorf("%g on %g: %q, want %q", c.g, c.step, got, c.want)
		}
	}
}

// A cup mixed beyond the plan takes from what is missing, and its tray is filled with it.
// By hand: two cups of 110 g leave 180 g of the 400 g; one of 143 g more leaves 37 g. Of a box of
// 20 000 mm², 363 ml are 18.15 mm high.
func TestWeighBeyondThePlan(t *testing.T) {
	p := tenToOne(t)
	got, err := p.Weigh([]Weighed{{3, 130, 13, 1}, {1, 100, 10, 0}, {2, 100, 10, 0}})
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Cups) != 3 || got.Cups[2].Cup != 3 || got.Cups[2].Verdict != AsPlanned || len(got.Cups[2].Fills) != 1 || math.Abs(got.Cups[2].Fills[0].LevelMM-18.15) > 1e-6 {
		t.Errorf("%+v", got.Cups)
	}
	if math.Abs(got.MissingG.Likely-37) > 1e-6 || len(got.Extra) != 1 || got.Extra[0].Cup != 4 || got.TotalAG != 330 {
		t.Errorf("missing %v, extra %+v, %g g of A", got.MissingG, got.Extra, got.TotalAG)
	}
	// With the second cup still to come it is what that one need not hold: 400 - 110 - 143.
	if got, err = p.Weigh([]Weighed{{1, 100, 10, 0}, {3, 130, 13, 1}}); err != nil || math.Abs(got.Cups[1].MassG-147) > 1e-6 || len(got.Extra) != 0 {
		t.Errorf("%+v %v", got, err)
	}
	// And it comes before it: the level of the second cup is the frame's.
	if l := got.Cups[1].Fills[0].LevelMM; math.Abs(l-20) > 1e-6 {
		t.Errorf("the last cup ends at %g mm", l)
	}
	// A cup for a tray that is full finds no room, and does not run into the next one.
	s := soft
	s.RatioA, s.RatioB, s.RatioBy = 1, 1, "mass"
	s.DensityGML.Low, s.DensityGML.Likely, s.DensityGML.High = 1, 1, 1
	b := bench
	b.HandG = 600
	two, _ := plan(t, Work{Trays: []master.Tray{plainTray(1, 200_000), plainTray(2, 200_000)}, Silicone: s}, Choices{PourGMin: 150, MixMin: 4, Treatment: "washed", Coating: "none"}, b)
	if got, err = two.Weigh([]Weighed{{1, 100, 100, 0}, {2, 40, 40, 1}}); err != nil || len(two.Cups) != 1 || math.Abs(got.OverG-80) > 1e-6 || math.Abs(got.Trays[1].ShortG-200) > 1e-6 {
		t.Errorf("%d cups, %+v %v", len(two.Cups), got, err)
	}
}
