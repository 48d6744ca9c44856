package job

import (
	"slices"
	"strings"
	"testing"

	"mouldwright/internal/base/unit"
)

func TestValue(t *testing.T) {
	for _, c := range []struct {
		key  string
		raw  any
		want any
	}{
		{"title", "Supper", "Supper"},
		{"boxes", 12.0, 12},
		{"needed", "2027-03-14", unit.Date{Year: 2027, Month: 3, Day: 14}},
		{"piece[2].art[1].depth_mm", 0.7, 0.7},
		{"piece[2].names", true, true},
		{"filling.pear caramel.density_g_ml", map[string]any{"low": 1.2, "likely": 1.3, "high": 1.4}, unit.Range{Low: 1.2, Likely: 1.3, High: 1.4}},
		{"filling.No. 5.density_g_ml", 1.3, unit.Sure(1.3)},
		{"silicone.shore_a", []any{10.0, 15.0, 20.0}, unit.Range{Low: 10, Likely: 15, High: 20}},
	} {
		if got, err := Value(c.key, c.raw); err != nil || got != c.want {
			t.Errorf("Value(%s, %v) = %#v, %v, want %#v", c.key, c.raw, got, err, c.want)
		}
	}
	for key, raw := range map[string]any{"boxes": 1.5, "needed": "soon", "piece[1].height": 3.0, "piece[1]": 3.0, "silicone.shore_a": []any{1.0}, "title": 3.0, "title[1]": "x"} {
		if got, err := Value(key, raw); err == nil {
			t.Errorf("Value(%s, %v) = %v, want a refusal", key, raw, got)
		}
	}
}

const twoPieces = `title = "T"
needed = 2027-01-02

[chocolate.dark]   # the good one

[[piece]]
name = "one"
chocolate = "dark"

  [[piece.art]]
  text = "A"

# the second
[[piece]]
name = "two"
chocolate = "dark"
`

func TestAddTable(t *testing.T) {
	for _, c := range []struct {
		key   string
		value map[string]any
		want  string // the new lines with those around them
	}{
		{"piece", map[string]any{"chocolate": "dark", "name": "three", "art": []any{map[string]any{"text": "C", "depth_mm": 0.5}}},
			"chocolate = \"dark\"\n\n[[piece]]\nname      = \"three\"\nchocolate = \"dark\"\n\n  [[piece.art]]\n  text     = \"C\"\n  depth_mm = 0.5\n"},
		{"piece[1].art", map[string]any{"text": "B"},
			"  text = \"A\"\n\n  [[piece.art]]\n  text = \"B\"\n\n# the second\n"},
		{"filling.pear caramel", map[string]any{"density_g_ml": 1.3, "allergens": []any{"milk"}},
			"[filling.\"pear caramel\"]\ndensity_g_ml = 1.3\nallergens    = [\"milk\"]\n"},
		{"chocolate.milk", map[string]any{"kind": "milk"},
			"# the good one\n\n[chocolate.milk]\nkind = \"milk\"\n\n[[piece]]\n"},
		{"master.place", map[string]any{"piece": "one", "x_mm": 30.0, "y_mm": 40.0},
			"[[master.place]]\npiece = \"one\"\nx_mm  = 30\ny_mm  = 40\n"},
	} {
		got, err := AddTable([]byte(twoPieces), c.key, c.value)
		if err != nil {
			t.Errorf("%s: %v", c.key, err)
			continue
		}
		if !strings.Contains(string(got), c.want) {
			t.Errorf("%s: wanted\n%s\nin\n%s", c.key, c.want, got)
		}
		if _, err := Read("job.toml", got); err != nil {
			t.Errorf("%s: %v", c.key, err)
		}
	}
	for key, value := range map[string]map[string]any{
		"chocolate.dark": {"kind": "dark"}, "piece[7].art": {"text": "x"}, "piece": {"nome": "x"}, "title": {}, "boxes.x": {},
	} {
		if got, err := AddTable([]byte(twoPieces), key, value); err == nil {
			t.Errorf("%s: no refusal:\n%s", key, got)
		}
	}
}

// A list of numbers may be one number, in the file and from the page; what is written
// is read again as the same.
func TestListOfNumbers(t *testing.T) {
	for _, c := range []struct {
		raw   any
		want  []float64
		write string
	}{{600.0, []float64{600}, "cup_ml = 600"}, {[]any{250.0, 1000.0}, []float64{250, 1000}, "cup_ml = [250, 1000]"}} {
		v, err := Value("bench.cup_ml", c.raw)
		if got, ok := v.([]float64); err != nil || !ok || !slices.Equal(got, c.want) {
			t.Fatalf("%v: %#v, %v", c.raw, v, err)
		}
		text, err := SetKey([]byte("title = \"x\"\nneeded = 2027-01-02\n[bench]\n[chocolate.dark]\n[[piece]]\nname = \"a\"\nchocolate = \"dark\"\n"), "bench.cup_ml", v)
		if err != nil || !strings.Contains(string(text), c.write) {
			t.Fatalf("%s\n%v", text, err)
		}
		j, err := Read("job.toml", text)
		if err != nil || !slices.Equal(j.Choices.Bench.CupML, c.want) {
			t.Errorf("%v, %v", err, c.want)
		}
	}
	for _, raw := range []any{"large", []any{}, []any{1.0, "two"}} {
		if v, err := Value("bench.cup_ml", raw); err == nil {
			t.Errorf("%v was taken as %v", raw, v)
		}
	}
	for _, line := range []string{"cup_ml = \"large\"", "cup_ml = [5]", "cup_ml = [250, true]"} {
		if _, err := Read("job.toml", []byte("title = \"x\"\nneeded = 2027-01-02\n[bench]\n"+line+"\n[chocolate.dark]\n[[piece]]\nname = \"a\"\nchocolate = \"dark\"\n")); err == nil {
			t.Errorf("%s was taken", line)
		}
	}
}
