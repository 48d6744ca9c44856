package forecast

import "fmt"

// common is where a rule of thumb comes from that nobody has published.
const common = "common practice"

// rule words one of the rules of [forecast]: its number, that it is common practice or
// where it is from, and the key with which a person changes it.
func (c Choices) rule(key string) string {
	r, ok := map[string]struct {
		value float64
		unit  string
		from  string
	}{
		"light_spread_mm":       {c.LightMM, " mm", common},
		"least_chocolate_mm":    {c.ChocolateMM, " mm", common},
		"chocolate_depth_ratio": {c.ChocolateRatio, " times as high as wide", common},
		"least_rubber_mm":       {c.RubberMM, " mm", common},
		"rubber_depth_ratio":    {c.RubberRatio, " times as high as wide", common},
		"least_resin_mm":        {c.ResinMM, " mm", common},
		"resin_depth_ratio":     {c.ResinRatio, " times as high as wide", common},
		"least_draft_deg":       {c.DraftDeg, "°", common},
		"visible_step_mm":       {c.EyeMM, " mm", "an eye tells one minute of arc, 0.09 mm at 30 cm"},
		"pocket_mm":             {c.PocketMM, " mm", common},
		"brush_pa":              {c.BrushPa, " Pa", common},
		"tap_yield_share":       {100 * c.TapShare, " %", common},
	}[key]
	if !ok {
		panic("forecast: no rule " + key)
	}
	return fmt.Sprintf("forecast.%s, %g%s: %s", key, r.value, r.unit, r.from)
}
