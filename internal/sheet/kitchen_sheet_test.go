package sheet

import (
	"bytes"
	"math"
	"slices"
	"testing"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/box"
	"mouldwright/internal/flow/kitchen"
	"mouldwright/internal/flow/kitchen/chill"
)

// cooked is the made job with a kitchen: values as a build gives them, rounded by hand.
func cooked(t *testing.T) *flow.Result {
	t.Helper()
	j, _ := job()
	r := *j.result
	c := *r.Choices
	c.Kitchen = kitchen.Choices{BowlFactor: 2, RoomC: 20, ThinWalls: "spatula"}
	for name, ch := range c.Chocolate {
		ch.DensityGML = unit.Sure(1.3)
		c.Chocolate[name] = ch
	}
	for name, f := range c.Filling {
		f.DensityGML = unit.Sure(1.2)
		c.Filling[name] = f
	}
	r.Choices = &c
	k := &r.Plan.Kitchen
	for _, name := range []string{"dark 64", "milk", "white"} {
		k.Chocolate = append(k.Chocolate, flow.PlanBowl{Name: name, MeltG: unit.Between(240, 280, 310), SeedG: unit.Between(90, 120, 160), BuyG: unit.Between(390, 400, 415), RoundG: unit.Sure(150),
			MeltC: unit.Between(45, 50, 55), SeedC: unit.Between(28, 28.5, 29), WorkC: unit.Between(31, 31.5, 32), WorkMin: unit.Between(3, 4, 6), ThickMin: unit.Between(20, 39, 60)})
	}
	course := func(stage string) flow.PlanCourse {
		p := flow.PlanCourse{Stage: stage, SetMin: 20}
		for m := 0.0; m <= 20; m++ {
			v := 14 + 12*math.Exp(-m/12)
			p.Min, p.WarmestC, p.MeanC, p.CoolestC = append(p.Min, m), append(p.WarmestC, v+2), append(p.MeanC, v), append(p.CoolestC, v-2)
			p.RubberC, p.FillingC, p.LeastSet = append(p.RubberC, v-4), append(p.FillingC, v+1), append(p.LeastSet, m/30)
		}
		return p
	}
	shell, caps, stays := unit.Between(3, 8, 19), unit.Between(8, 20, 49), unit.Between(0.3, 1.2, 2.8)
	for _, d := range c.Pieces {
		s := flow.PlanSetting{Name: d.Name, LastMM: []float64{0.5, 0, 1.5}}
		one := kitchen.Setting{Shell: &chill.Times{SetMin: shell, Likely: &chill.Course{Section: cutThrough()}}}
		if d.Filling == "" {
			s.SolidMin, s.Course = &caps, []flow.PlanCourse{course("solid")}
		} else {
			s.StaysMM, s.ShellMin, s.CapMin, s.Coats, s.DrainS, s.FillingMax = &stays, &shell, &caps, 2, &unit.Range{Low: 1, Likely: 10, High: 50}, 33.5
			s.Course = []flow.PlanCourse{course("shell"), course("cap")}
			one.Cap = one.Shell
		}
		k.Pieces, r.Settings = append(k.Pieces, s), append(r.Settings, one)
	}
	no := false
	for _, f := range r.Plan.Fillings {
		k.Fillings = append(k.Fillings, flow.PlanKeeping{Name: f.Name, MassG: &f.MassG, Method: "Boil the cream with the syrup, pour it over the chopped chocolate, wait a minute, stir from the middle.",
			Ingredients: []flow.PlanAmount{{Name: "dark chocolate 65", MassG: 120}, {Name: "a marmalade of bitter oranges with a very long name indeed", MassG: 60.3}, {Name: "cream", MassG: 3.31}},
			Activity:    &unit.Range{Low: 0.82, Likely: 0.86, High: 0.89}, Days: &unit.Range{Low: 3, Likely: 7, High: 14}, Storage: "chilled, closed against damp", Basis: "above 0.85 bacteria that make ill can grow",
			Allergens: []string{"milk", "nuts"}, Warnings: []string{"wet enough for bacteria that make ill: keep it chilled"}, SafeC: 31, Pipes: &no, CookedPct: 18})
	}
	k.Rounds, k.Moulds, k.EveningMin, k.Second = 2, []string{"tray 1", "tray 1, copy 2"}, 130, flow.PlanSecond{Verdict: "A second mould of the tray saves 40 min of this evening."}
	for i, mould := range k.Moulds {
		at := 20.0 + 10*float64(i)
		for _, s := range []struct {
			what  string
			hands bool
			min   float64
		}{{"wipe art", true, 3}, {"fill shells", true, 2}, {"chill shells", false, 8}, {"fill", true, 2}, {"cap, scrape", true, 3}, {"chill caps", false, 20}, {"release", true, 2}} {
			k.Evening = append(k.Evening, flow.PlanStep{Mould: mould, Round: 1, What: s.what, Hands: s.hands, StartMin: at, EndMin: at + s.min})
			at += s.min
		}
	}
	k.Evening = append([]flow.PlanStep{{Bowl: "milk", What: "temper", Hands: true, EndMin: 20}}, k.Evening...)
	slices.SortStableFunc(k.Evening, func(a, b flow.PlanStep) int { return int(math.Copysign(1, a.StartMin-b.StartMin)) })
	return &r
}

// cutThrough is a mould cut open: rubber, a shell, filling, a cap, and warmth from its
// middle outwards.
func cutThrough() *chill.Section {
	s := &chill.Section{W: 24, H: 12, CellMM: 2, X0MM: -23, AirC: 6}
	for k := range s.H {
		for i := range s.W {
			m := chill.Rubber
			switch in := min(i, s.W-1-i); {
			case in > 5 && k < 6 && k > 0:
				m = chill.Filling
			case in > 5 && k == 0:
				m = chill.CapChocolate
			case in > 4 && k < 7:
				m = chill.ShellChocolate
			}
			s.Matter, s.SetMin = append(s.Matter, m), append(s.SetMin, -1)
			s.TempC = append(s.TempC, float32(20-math.Hypot(float64(i)-11.5, float64(k)-5)/2))
		}
	}
	return s
}

func TestKitchenSheetsStayOnTheirPages(t *testing.T) {
	r := cooked(t)
	_, drawn := job()
	for paper := range box.Papers {
		for name, create := range map[string]func() (*book, error){
			"kitchen": func() (*book, error) { return newKitchen(r, paper) },
			"book":    func() (*book, error) { return newBook(r, drawn, paper) },
		} {
			b, err := create()
			out := stays(t, name+"-"+paper, b, err)
			if name == "kitchen" {
				var again bytes.Buffer
				if err := WriteKitchen(t.Context(), &again, r, paper); err != nil || !bytes.Equal(again.Bytes(), out) {
					t.Error(paper, "written twice, the sheets differ", err)
				}
			}
		}
	}
	if err := WriteKitchen(t.Context(), &bytes.Buffer{}, r, "napkin"); err == nil {
		t.Error("a napkin is taken")
	}
	if err := WriteKitchen(t.Context(), &bytes.Buffer{}, &flow.Result{}, "A4"); err != nil {
		t.Error("an empty plan:", err)
	}
}

// By hand: the masses of one round are the volumes of every cavity times the densities.
func TestLoadOfAMould(t *testing.T) {
	r := cooked(t)
	b, err := newKitchen(r, "A4")
	if err != nil {
		t.Fatal(err)
	}
	l := b.loadOf(0)
	want := map[string]float64{}
	for _, at := range r.Master.Trays[0].Placed {
		p := r.Plan.Pieces[at.Item]
		want[p.Chocolate] += 1.3 * p.ShellVolumeMM3 / 1000
	}
	for name, g := range want {
		if math.Abs(l.shellG[name]-g) > 1e-9 {
			t.Errorf("%s: %g g, want %g", name, l.shellG[name], g)
		}
	}
	if l.each["bee"] != 5 || l.each["heart"] != 4 || l.each["plaque"] != 8 || !l.filled || l.coats != 2 || l.safeC != 33.5 || l.capMin.Likely != 20 || l.shellMin.Likely != 8 {
		t.Errorf("%+v", l)
	}
}

// By hand: wiping and filling are one stretch of work, so are filling and capping;
// warming the bowl is none.
func TestTogether(t *testing.T) {
	got := together([]flow.PlanStep{
		{Bowl: "dark", What: "temper", Hands: true, EndMin: 20},
		{Mould: "a", Round: 1, What: "wipe art", Hands: true, StartMin: 20, EndMin: 22},
		{Bowl: "dark", What: "warm bowl", Hands: true, StartMin: 22, EndMin: 25},
		{Mould: "a", Round: 1, What: "fill shells", Hands: true, StartMin: 25, EndMin: 27},
		{Mould: "a", Round: 1, What: "chill shells", StartMin: 27, EndMin: 35},
		{Mould: "a", Round: 1, What: "fill", Hands: true, StartMin: 35, EndMin: 37},
		{Mould: "a", Round: 1, What: "cap, scrape", Hands: true, StartMin: 37, EndMin: 40},
	})
	var words []string
	for _, s := range got {
		words = append(words, s.What)
	}
	if !slices.Equal(words, []string{"temper", "wipe art, fill shells", "chill shells", "fill, cap, scrape"}) || got[1].EndMin != 27 {
		t.Errorf("%q", words)
	}
}

func TestPlotTicks(t *testing.T) {
	if got := ticks(4, 31, 6); !slices.Equal(got, []float64{5, 10, 15, 20, 25, 30}) {
		t.Errorf("%v", got)
	}
	if got := timeTicks(409, 10); !slices.Equal(got, []float64{0, 60, 120, 180, 240, 300, 360}) {
		t.Errorf("%v", got)
	}
	if clock(125.6) != "2:06" || clock(0) != "0:00" {
		t.Error(clock(125.6), clock(0))
	}
	if warm(-1) != warmth[0] || warm(2) != warmth[len(warmth)-1] {
		t.Error("the scale of warmth runs over")
	}
}
