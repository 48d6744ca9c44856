package flow_test

import (
	"context"
	"math"
	"testing"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
)

// The example's kitchen whole, from a sketch: every design, every filling, and an
// evening in which the rounds make the pieces.
func TestKitchenInThePlan(t *testing.T) {
	in := orchard(t)
	in.Rows = in.Rows[:4]
	s := flow.NewSketcher("test")
	r, err := s.Sketch(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	k := r.Plan.Kitchen
	if len(k.Pieces) != len(in.Choices.Pieces) || len(k.Fillings) != 3 || len(k.Chocolate) != 2 {
		t.Fatalf("%d pieces, %d fillings, %d chocolates", len(k.Pieces), len(k.Fillings), len(k.Chocolate))
	}
	for _, p := range k.Pieces {
		for what, v := range map[string]*unit.Range{"stays": p.StaysMM, "shell": p.ShellMin, "cap": p.CapMin, "drain": p.DrainS} {
			if v == nil || !v.Ordered() || !(v.Low > 0) {
				t.Errorf("%s: %s %v", p.Name, what, v)
			}
		}
		// Common practice, no source: a quarter and half an hour, filling at most some 28 °C.
		if !(p.ShellMin.Low < 15 && 15 < p.ShellMin.High && p.CapMin.Low < 30 && 30 < p.CapMin.High) || p.FillingMax < 27 || p.FillingMax > 40 {
			t.Errorf("%s: shell %v, cap %v, filling at most %g °C", p.Name, p.ShellMin, p.CapMin, p.FillingMax)
		}
	}
	for _, f := range k.Fillings {
		if f.Pipes == nil || f.PipeC == nil || !f.PipeC.Ordered() || f.SafeC < 27 || f.Nutrients == nil || f.Nutrients.FatG <= 0 || f.MassG == nil || len(f.Methods) == 0 && f.WaterPct > 3 {
			t.Errorf("%s: pipes %v from %v, safe %g, %+v", f.Name, f.Pipes, f.PipeC, f.SafeC, f.Nutrients)
		}
		if f.Activity == nil || !f.Activity.Ordered() || f.Outlives == nil || f.Basis == "" || len(f.Ingredients) == 0 {
			t.Errorf("%+v", f)
		}
	}
	for i, c := range k.Chocolate {
		if math.Abs(c.MeltG.Likely+c.SeedG.Likely-c.BuyG.Likely) > 1e-6 || c.BuyG.Likely > r.Plan.Chocolates[i].MeltMassG.Likely+1e-6 {
			t.Errorf("%+v", c)
		}
	}
	made := map[string]int{}
	last := 0.0
	for _, e := range k.Evening {
		if e.What == "release" {
			made[e.Mould]++
		}
		last = math.Max(last, e.EndMin)
	}
	if len(made) != len(r.Plan.Masters) || last != k.EveningMin || k.Rounds == 0 || !(k.Second.SavesMin >= 0) || k.Second.Verdict == "" {
		t.Errorf("%v rounds, %g min, %+v", made, last, k.Rounds)
	}

	// The page's finer run of one design says about the same, with its history and map.
	c, err := s.Chill(context.Background(), in, 0, -1)
	if err != nil {
		t.Fatal(err)
	}
	if a, b := c.Plan.CapMin.Likely, k.Pieces[0].CapMin.Likely; math.Abs(a/b-1) > 0.1 {
		t.Errorf("cap: %g min in the sketch, %g min alone", b, a)
	}
	if n := c.Plan.Course; len(n) != 2 || n[0].Stage != "shell" || n[1].Stage != "cap" || n[1].SetMin != c.Plan.CapMin.Likely || len(k.Pieces[0].Course) != 0 {
		t.Errorf("courses: %d alone, %d in the sketch", len(n), len(k.Pieces[0].Course))
	}
	if c.Setting.Cap.Likely.Section == nil || c.Plan.LeastMM == nil || !(c.Plan.LeastMM.Likely < c.Plan.StaysMM.Likely) {
		t.Errorf("section %v, without a yield value %v of %v would stay", c.Setting.Cap.Likely.Section != nil, c.Plan.LeastMM, c.Plan.StaysMM)
	}
	if c.Setting.Cap.Likely.Map == nil || len(c.Setting.Cap.Likely.History) < 10 || len(c.Plan.Changes) != 6 {
		t.Errorf("%+v", c.Plan)
	}
	// Another sketch, in which all is kept, says the same.
	again, err := s.Sketch(context.Background(), in)
	if err != nil || *again.Plan.Kitchen.Pieces[0].CapMin != *k.Pieces[0].CapMin {
		t.Error("kept settings differ", err)
	}
}

// A solid piece has no shell to fill, and a warmer kitchen changes what was kept.
func TestKitchenFollowsEdits(t *testing.T) {
	in := orchard(t)
	in.Rows = in.Rows[:1]
	s := flow.NewSketcher("test")
	before, err := s.Sketch(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	in.Choices.Pieces[0].Filling = ""
	in.Choices.Kitchen.FridgeC = unit.Between(10, 12, 14)
	after, err := s.Sketch(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	a, b := before.Plan.Kitchen.Pieces, after.Plan.Kitchen.Pieces
	if b[0].SolidMin == nil || b[0].ShellMin != nil || b[0].StaysMM != nil {
		t.Errorf("a solid piece: %+v", b[0])
	}
	if !(b[1].CapMin.Likely > a[1].CapMin.Likely) {
		t.Errorf("in a warmer fridge %v, before %v", b[1].CapMin, a[1].CapMin)
	}
}
