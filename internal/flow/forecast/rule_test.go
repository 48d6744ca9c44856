package forecast

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/piece"
)

// named is how a finding names its rule: key, number with its unit, where it is from.
var named = regexp.MustCompile(`(forecast|printer)\.[a-z_]+, [0-9.]+[^:]*: (common practice|an eye tells)|forecast\.fill = "pour"`)

// upright is art with walls of one sample: a bar of the given width, or a slot of it.
func upright(widthMM, heightMM float64) func(x, y float64) float64 {
	return func(x, y float64) float64 {
		v := math.Min((widthMM/2-math.Abs(x))/pitch, (3-math.Abs(y))/pitch) + 0.5
		return heightMM * math.Max(0, math.Min(1, v))
	}
}

// Every finding of the forecast names the rule that causes it, with its number, its source
// and the key with which it is changed; and does so for the rule that it comes from.
func TestFindingsNameTheirRule(t *testing.T) {
	all := func(m *Means, c *Choices) {}
	for _, k := range []struct {
		rule   string
		height func(x, y float64) float64
		set    func(*Means, *Choices)
	}{
		{"forecast.least_chocolate_mm, 0.5 mm: common practice", upright(0.3, 0.2), all},
		{"forecast.chocolate_depth_ratio, 1.5 times as high as wide: common practice", upright(0.6, 1.2), all},
		{"forecast.least_rubber_mm, 0.3 mm: common practice", upright(0.2, -0.2), all},
		{"forecast.rubber_depth_ratio, 3 times as high as wide: common practice", upright(0.4, -1.6), all},
		{"forecast.least_resin_mm, 0.45 mm: common practice", upright(0.3, 0.2), func(_ *Means, c *Choices) { c.ChocolateMM, c.ResinMM = 0, 0.45 }},
		{"forecast.resin_depth_ratio, 1 times as high as wide: common practice", upright(0.5, 0.8), func(_ *Means, c *Choices) { c.ChocolateMM, c.ChocolateRatio, c.ResinRatio = 0, 20, 1 }},
		{"printer.pixel_mm, 0.05 mm, and light that spreads by forecast.light_spread_mm, 0.1 mm: common practice", func(x, y float64) float64 { return upright(1, 0.2)(x-0.55, y) + upright(1, 0.2)(x+0.55, y) }, func(_ *Means, c *Choices) { c.LightMM = 0.1 }},
		{"forecast.brush_pa, 100 Pa: common practice", upright(0.8, 1), func(m *Means, c *Choices) { m.Chocolate.YieldPa, c.BrushPa = unit.Sure(100), 100 }},
		{"forecast.tap_yield_share, 50 %: common practice", upright(0.8, 1), func(m *Means, c *Choices) { m.Chocolate.YieldPa, c.Fill, c.TapShare = unit.Sure(100), "tap", 0.5 }},
		{`forecast.fill = "pour"`, upright(0.8, 1), func(m *Means, c *Choices) { m.Chocolate.YieldPa, c.Fill = unit.Sure(100), "pour" }},
		{"forecast.least_draft_deg, 3°: common practice", upright(2, 1.5), all},
		{"forecast.visible_step_mm, 0.1 mm: an eye tells one minute of arc, 0.09 mm at 30 cm", func(x, y float64) float64 { return math.Max(0, 0.6-0.1*math.Hypot(x, y)) }, all},
		{"forecast.pocket_mm, 3 mm: common practice", func(x, y float64) float64 { return upright(2, 1.2)(x, y) - upright(1, 1.2)(x, y/0.6) }, all},
	} {
		m, c := usual()
		m.Design = piece.Choices{Name: "sculpted", Outline: "rectangle", Top: "flat"}
		k.set(&m, &c)
		_, list, err := Make(bg, sculpted(t, k.height), m, c)
		if err != nil {
			t.Fatal(err)
		}
		found := ""
		for _, f := range list {
			if !named.MatchString(f.What) {
				t.Errorf("names no rule: %s", f)
			}
			if strings.Contains(f.What, k.rule) {
				found = f.What
			}
			if f.At == (finding.Place{}) {
				t.Errorf("has no place: %s", f)
			}
		}
		if found == "" {
			t.Errorf("nobody names %s: %v", k.rule, list)
		}
	}
}
