package workshop

import (
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

// quotedKey is a name as TOML writes it in a key.
func quotedKey(name string) string {
	if strings.Contains(name, " ") {
		return `"` + name + `"`
	}
	return name
}
