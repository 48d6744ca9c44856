package flow_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/kitchen/recipe"
)

// What cannot be made is refused at its place, with the nearest value that works; what
// only leaves no room is a finding that says stop.
func TestKitchenBadInput(t *testing.T) {
	for name, c := range map[string]struct {
		edit  func(*flow.Input)
		where string // in the error's key, or in the finding's place
		says  string
		stops bool // a finding, no error
	}{
		"a recipe over 100 %": {func(in *flow.Input) {
			fill(in, func(f *material.Filling) {
				f.Recipe, f.IngredientsPct = "", map[string]float64{"cream": 60, "honey": 55}
			})
		}, `ingredients_pct`, "-15.0 %", false},
		"negative water": {func(in *flow.Input) {
			in.Choices.Ingredient = map[string]recipe.Own{"dust": {WaterPct: -5}}
		}, "ingredient.dust", "0 to 100 %", false},
		"an ingredient over 100 %": {func(in *flow.Input) {
			in.Choices.Ingredient = map[string]recipe.Own{"dust": {WaterPct: 60, SucrosePct: 55}}
		}, "ingredient.dust", "15.0 g", false},
		"wetter than its own ingredients": {func(in *flow.Input) {
			fill(in, func(f *material.Filling) {
				f.Recipe, f.IngredientsG, f.WaterPct = "", map[string]float64{"honey": 50}, 40
			})
		}, "water_pct", "at most 17.1 %", false},
		"a fridge in which chocolate melts":   {func(in *flow.Input) { in.Choices.Kitchen.FridgeC = unit.Between(34, 35, 36) }, "kitchen.fridge_c", "20 °C or less", false},
		"a shell thicker than half the piece": {func(in *flow.Input) { in.Choices.Shell.ShellMM = 9.8 }, "shell", "set shell.thickness_mm to", true},
		"no place for the cap":                {func(in *flow.Input) { in.Choices.Shell.CapMM = 9.5 }, "shell", "set shell.cap_mm to", true},
	} {
		in := orchard(t)
		in.Rows = in.Rows[:1]
		c.edit(in)
		r, err := flow.NewSketcher("test").Sketch(context.Background(), in)
		if c.stops {
			if err != nil || finding.Worst(r.Plan.Findings) != finding.Stop {
				t.Errorf("%s: %v", name, err)
				continue
			}
			found := false
			for _, f := range r.Plan.Findings {
				found = found || f.Severity == finding.Stop && strings.Contains(f.Where, c.where) && strings.Contains(f.Do, c.says)
			}
			if !found {
				t.Errorf("%s: %+v", name, r.Plan.Findings)
			}
			continue
		}
		var e *finding.Error
		if !errors.As(err, &e) || !strings.Contains(e.Key, c.where) || !strings.Contains(e.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// fill changes one filling of the example.
func fill(in *flow.Input, do func(*material.Filling)) {
	f := in.Choices.Filling["honey ganache"]
	do(&f)
	in.Choices.Filling["honey ganache"] = f
}

// A slab is a piece without filling: a bar of 100 x 50 mm chills whole, in one stage, and
// has neither a coat nor a cap.
func TestSlab(t *testing.T) {
	in := orchard(t)
	in.Rows = in.Rows[:1]
	p := &in.Choices.Pieces[1]
	p.Filling, p.WidthMM, p.DepthMM, p.HeightMM, p.Count, p.Cavities = "", 100, 50, 8, 4, 1
	c, err := flow.NewSketcher("test").Chill(context.Background(), in, 1, -1)
	if err != nil || c == nil {
		t.Fatal(c, err)
	}
	s := c.Plan
	if s.SolidMin == nil || !s.SolidMin.Ordered() || !(s.SolidMin.Likely > 5 && s.SolidMin.Likely < 120) || s.ShellMin != nil || s.CapMin != nil || s.StaysMM != nil || s.Coats != 0 || s.FillingMax != 0 {
		t.Errorf("%+v", s)
	}
	if len(s.Course) != 1 || s.Course[0].Stage != "solid" || len(s.Changes) != 3 || c.Setting.Shell.Likely.Section == nil {
		t.Errorf("%d courses, %d changes", len(s.Course), len(s.Changes))
	}
}
