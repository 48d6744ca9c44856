package forecast

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow/piece"
	"mouldwright/internal/flow/relief"
)

// apply makes a remedy, as the job file would.
func apply(t *testing.T, r finding.Remedy, d *piece.Choices, c *Choices) {
	t.Helper()
	number := func() float64 {
		v, err := strconv.ParseFloat(r.Value, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	word := func() string {
		s, err := strconv.Unquote(r.Value)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	switch r.Key {
	case "piece[1].draft_deg":
		d.DraftDeg = number()
	case "piece[1].art[1].draft_deg":
		d.Art[0].DraftDeg = number()
	case "piece[1].art[1].width_mm":
		d.Art[0].WidthMM = number()
	case "piece[1].art[1].height_mm":
		d.Art[0].HeightMM = number()
	case "piece[1].art[1].depth_mm":
		d.Art[0].DepthMM = number()
	case "piece[1].art[1].font":
		d.Art[0].Font = word()
	case "piece[1].art[1].profile":
		d.Art[0].Profile = word()
	case "forecast.coat_mm":
		c.CoatMM = number()
	case "forecast.fill":
		c.Fill = word()
	default:
		t.Fatalf("remedy of an unknown key: %+v", r)
	}
}

// Every kind of remedy is asked for, made, and the finding is gone.
func TestRemediesMend(t *testing.T) {
	figures := regexp.MustCompile(`[0-9.]+|'[^']*'|marks?`)
	same := func(g finding.Finding) string {
		what, _, _ := strings.Cut(g.What, ":")
		return figures.ReplaceAllString(what, "#")
	}
	for _, k := range []struct {
		key string
		set func(m *Means, d *piece.Choices, c *Choices)
	}{
		{"piece[1].draft_deg", func(_ *Means, d *piece.Choices, _ *Choices) { d.DraftDeg = 1 }},
		{"piece[1].art[1].draft_deg", func(_ *Means, d *piece.Choices, _ *Choices) { d.Art[0].DraftDeg, d.Art[0].DepthMM = 1, 2.4 }}, // a wall has two samples of taper at least
		{"piece[1].art[1].width_mm", func(_ *Means, d *piece.Choices, _ *Choices) { d.Art[0].WidthMM = 14 }},
		{"piece[1].art[1].height_mm", func(_ *Means, d *piece.Choices, _ *Choices) { d.Art[0].WidthMM, d.Art[0].HeightMM = 0, 2.4 }},
		{"piece[1].art[1].depth_mm", func(_ *Means, d *piece.Choices, _ *Choices) { d.Art[0].DepthMM = 1.6 }},
		{"piece[1].art[1].font", func(m *Means, d *piece.Choices, c *Choices) {
			m.HasFont = func(name string) bool { return name == "serif" || name == "serif bold" }
			d.Art[0].Font, d.Art[0].DepthMM, c.ChocolateMM = "serif", 0.3, 0.31
		}},
		{"forecast.fill", func(_ *Means, d *piece.Choices, c *Choices) {
			c.Fill, c.ChocolateMM, c.ChocolateRatio, d.Art[0].WidthMM, d.Art[0].DepthMM = "pour", 0.1, 20, 14, 1
		}},
		{"piece[1].art[1].profile", func(_ *Means, d *piece.Choices, c *Choices) {
			d.EdgeMM, d.Art[0].Profile, c.EyeMM = 0, relief.Round, 0.03
		}},
		{"forecast.coat_mm", func(_ *Means, d *piece.Choices, _ *Choices) { d.Top, d.RiseMM = "domed", 2 }},
	} {
		m, c := usual()
		d := reference("ORCHARD")
		k.set(&m, &d, &c)
		judge := func() []finding.Finding {
			m.Design = d
			_, list, err := Make(bg, made(t, d, 0.025), m, c)
			if err != nil {
				t.Fatal(err)
			}
			return list
		}
		before := judge()
		var was finding.Finding
		for _, g := range before {
			if g.Remedy.Key == k.key {
				was = g
			}
		}
		if was.What == "" {
			t.Errorf("%s is no remedy of %v", k.key, before)
			continue
		}
		apply(t, was.Remedy, &d, &c)
		for _, g := range judge() {
			if same(g) == same(was) {
				t.Errorf("after %s = %s: %s\n  before: %s", was.Remedy.Key, was.Remedy.Value, g, was)
			}
		}
	}
}
