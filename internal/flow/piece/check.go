package piece

import (
	"fmt"
	"slices"

	"mouldwright/internal/base/finding"
)

// check refuses numbers and words that no job file may hold; the bounds are those of
// the tags, widened to what a scale of weight_g can make of them.
func check(c Choices, in Inputs) error {
	type bound struct {
		key         string
		value       float64
		least, most float64
	}
	bounds := []bound{
		{"width_mm", c.WidthMM, 0.1, 3000}, {"depth_mm", c.DepthMM, 0, 3000}, {"corner_mm", c.CornerMM, 0, 1000},
		{"margin_mm", c.MarginMM, 0, 300}, {"height_mm", c.HeightMM, 0.1, 600}, {"weight_g", c.WeightG, 0, 500},
		{"draft_deg", c.DraftDeg, 0, 60}, {"edge_mm", c.EdgeMM, 0, 200}, {"rise_mm", c.RiseMM, 0, 300},
	}
	type choice struct {
		key, word string
		allowed   []string
	}
	words := []choice{{"top", c.Top, []string{"flat", "cushioned", "domed"}}}
	if c.Top == "cushioned" || c.Top == "domed" {
		bounds = append(bounds, bound{"rise_mm", c.RiseMM, 0.001, 300})
	}
	if c.Outline == "polygon" {
		bounds = append(bounds, bound{"corners", float64(c.Corners), 3, 100})
	}
	for i, a := range c.Art {
		at := fmt.Sprintf("art[%d].", i+1)
		bounds = append(bounds,
			bound{at + "width_mm", a.WidthMM, 0, 3000}, bound{at + "height_mm", a.HeightMM, 0, 3000},
			bound{at + "x_mm", a.XMM, -3000, 3000}, bound{at + "y_mm", a.YMM, -3000, 3000}, bound{at + "turn_deg", a.TurnDeg, -360, 360},
			bound{at + "depth_mm", a.DepthMM, 0.001, 100}, bound{at + "draft_deg", a.DraftDeg, 0, 60})
		words = append(words, choice{at + "side", a.Side, []string{"raised", "sunk"}})
	}
	for _, b := range bounds {
		if !(b.value >= b.least && b.value <= b.most) { // also no number
			return &finding.Error{Key: in.key("%s", b.key), Found: fmt.Sprintf("%g", b.value), Allowed: fmt.Sprintf("%g to %g", b.least, b.most), Do: "change the value"}
		}
	}
	for _, w := range words {
		if !slices.Contains(w.allowed, w.word) {
			return &finding.Error{Key: in.key("%s", w.key), Found: fmt.Sprintf("%q", w.word), Allowed: fmt.Sprintf("%q", w.allowed), Do: "use one of these"}
		}
	}
	return nil
}
