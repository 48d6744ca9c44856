package workshop

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A design in the fridge as the page gets it; an edit of the fridge changes its times;
// what is not there is refused.
func TestChill(t *testing.T) {
	v := opened(t, letters(t))
	var before Chilling
	v.want(200, "GET", "/api/chill/1", nil, &before)
	p := before.Setting
	if p.ShellMin == nil && p.SolidMin == nil || len(before.Cuts) != len(p.Course) || len(p.Course) == 0 || len(p.Changes) == 0 {
		t.Fatalf("%+v", p)
	}
	for i, c := range before.Cuts {
		n := c.W * c.H
		if n == 0 || len(c.TempC) != n || len(c.SetMin) != n || len(c.Matter) != n || c.CellMM != 1 || c.Stage != p.Course[i].Stage {
			t.Errorf("%s: %d x %d, %d temperatures, %d letters", c.Stage, c.W, c.H, len(c.TempC), len(c.Matter))
		}
		k := p.Course[i]
		if len(k.Min) < 10 || len(k.Min) > 60 || len(k.MeanC) != len(k.Min) || len(k.RubberC) != len(k.Min) || k.SetMin <= 0 {
			t.Errorf("%s: %d moments", k.Stage, len(k.Min))
		}
	}
	v.edit(v.state().Version, Edit{Do: "set", Key: "kitchen.fridge_c", Value: map[string]any{"low": 10.0, "likely": 12.0, "high": 14.0}})
	var after Chilling
	v.want(200, "GET", "/api/chill/1", nil, &after)
	if a, b := before.Setting.Course[0].SetMin, after.Setting.Course[0].SetMin; !(b > a) {
		t.Errorf("in a warmer fridge %.2f min, before %.2f", b, a)
	}
	v.want(404, "GET", "/api/chill/9", nil, nil)
	v.edit(v.state().Version, Edit{Do: "set", Key: "kitchen.fridge_c", Value: 26.0})
	var r Refusal
	v.want(422, "GET", "/api/chill/1", nil, &r)
	if r.Mistakes[0].Key != "kitchen.fridge_c" || r.Mistakes[0].Do == "" {
		t.Errorf("a fridge of 26 °C: %+v", r.Mistakes)
	}
}

// A suggested recipe is put in as one value.
func TestRecipeIsSet(t *testing.T) {
	v := opened(t, letters(t))
	s := v.state()
	for name := range s.Values["filling"].(map[string]any) {
		key := "filling." + quotedKey(name) + "."
		s = v.edit(s.Version, Edit{Do: "unset", Key: key + "recipe"}, Edit{Do: "set", Key: key + "ingredients_g", Value: map[string]any{"cream": 57.0, "dark chocolate 65": 200.0}})
		s = v.edit(s.Version, Edit{Do: "set", Key: key + "ingredients_g", Value: map[string]any{"cream": 60.0, "dark chocolate 65": 200.0}})
		got := s.Values["filling"].(map[string]any)[name].(map[string]any)
		if g := got["ingredients_g"].(map[string]any); len(g) != 2 || g["cream"] != 60.0 || g["dark chocolate 65"] != 200.0 {
			t.Errorf("%+v", got)
		}
		return
	}
	t.Error("the job has no filling")
}

// A name with a space is a key of its own: the example's fillings are set and unset.
func TestQuotedNamesAreSet(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "orchard")
	if err := os.CopyFS(dir, os.DirFS("../../examples/orchard")); err != nil {
		t.Fatal(err)
	}
	v := opened(t, filepath.Join(dir, "job.toml"))
	const key = `filling."honey ganache".`
	of := func(s seen) map[string]any {
		return s.Values["filling"].(map[string]any)["honey ganache"].(map[string]any)
	}
	s := v.edit(v.state().Version, Edit{Do: "set", Key: key + "recipe", Value: "dark ganache"})
	if got := of(s)["recipe"]; got != "dark ganache" || len(s.Mistakes) > 0 {
		t.Fatalf("%v %v", got, s.Mistakes)
	}
	var tray Tray
	v.want(200, "GET", "/api/tray", nil, &tray)
	for _, f := range tray.Plan.Kitchen.Fillings {
		if f.Name != "honey ganache" {
			continue
		}
		if *f.Outlives || len(f.Suggestions) == 0 {
			t.Fatalf("%+v", f)
		}
		change := f.Suggestions[0]
		g := map[string]any{}
		for name, v := range change.RecipeG {
			g[name] = v
		}
		v.edit(s.Version, Edit{Do: "unset", Key: key + "recipe"}, Edit{Do: "set", Key: key + "ingredients_g", Value: g})
	}
	v.want(200, "GET", "/api/tray", nil, &tray)
	for _, f := range tray.Plan.Kitchen.Fillings {
		if f.Name == "honey ganache" && !*f.Outlives {
			t.Errorf("what was suggested does not help: %+v", f)
		}
	}
	s = v.edit(v.state().Version, Edit{Do: "set", Key: key + "water_pct", Value: 12.0}, Edit{Do: "unset", Key: key + "water_pct"})
	if _, still := of(s)["water_pct"]; still {
		t.Error("a key with a quoted name is not taken out")
	}
}

// quotedKey is a name as TOML writes it in a key.
func quotedKey(name string) string {
	if strings.Contains(name, " ") {
		return `"` + name + `"`
	}
	return name
}
