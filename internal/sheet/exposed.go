package sheet

import (
	"fmt"
	"image/color"
	"math"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/plate"
)

// exposedTint fills the area under a plot's curve; suckTint is where a cup is closed.
var (
	exposedTint = color.RGBA{0xe4, 0xe8, 0xea, 255}
	suckTint    = color.RGBA{0xf3, 0xd9, 0xcd, 255}
)

// exposedBlocks are the areas that each plate's layers expose, two plots side by side. Of
// a sketch there are none.
func (b *book) exposedBlocks() []block {
	const h, gap = 27.0, 12.0
	plan := &b.r.Plan
	var have []int
	for i := range plan.Plates {
		if len(plan.Plates[i].ExposedAreaMM2) > 0 {
			have = append(have, i)
		}
	}
	if len(have) == 0 || b.r.Choices == nil {
		return nil
	}
	out := []block{b.titleBlock("What each layer pulls"),
		b.textBlock("A layer hardens at once and is peeled off the film with a pull that grows with its area, here in cm² by height in mm above the build plate. A dashed line marks where it grows most from one layer to the next; at shaded heights a closed cup sucks at the film. Lift slowly there.", b.f.text())}
	out[1].keep = true
	w := (b.measureOf() - gap) / 2
	for k := 0; k < len(have); k += 2 {
		pair := have[k:min(k+2, len(have))]
		out = append(out, block{height: h + 17, draw: func(p *page, y float64) {
			for j, i := range pair {
				p.exposed(p.left()+float64(j)*(w+gap), y+5, w, h, i+1, &plan.Plates[i], b.r.Choices.Printer.LayerMM)
			}
		}})
	}
	return out
}

// exposed draws one plate's plot, its box and title within w x h+13 mm.
func (p *page) exposed(x, y, w, h float64, number int, q *flow.PlanPlate, layerMM float64) {
	areas := q.ExposedAreaMM2
	e := plate.Exposure{AreaMM2: areas}
	jump := e.Jump()
	top, high := math.Max(q.ExposedAreaMaxMM2/100, 0.01), float64(len(areas))*layerMM
	g := plot{p: p, x: x + 9, y: y + 3, w: w - 10, h: h, x0: 0, x1: high, y0: 0, y1: top * 1.08}
	said := fmt.Sprintf("at most %s cm²", figure(top))
	marked := jump.GrownMM2 > 0.05*q.ExposedAreaMaxMM2
	if marked {
		said += fmt.Sprintf(", grows by %s cm² at %s", figure(jump.GrownMM2/100), unit.Length(math.Round(float64(jump.Layer)*layerMM*100)/100))
	}
	p.text(x, y, fmt.Sprintf("Plate %d", number), p.f.textBold(), atLeft)
	p.within(x+15, y, w-15, said, p.f.label(), atLeft)
	for _, s := range q.Suction {
		p.box(g.atX(s.FromMM), g.y, math.Max(0.4, g.atX(s.ToMM)-g.atX(s.FromMM)), g.h, suckTint, none, 0)
	}
	var xs, zero, ys []float64
	for k, a := range areas { // a step for each layer
		xs = append(xs, float64(k)*layerMM, float64(k+1)*layerMM)
		ys = append(ys, a/100, a/100)
		zero = append(zero, 0, 0)
	}
	g.band(xs, zero, ys, exposedTint)
	g.rules(3)
	g.curve(xs, ys, ink, 0.3)
	if marked {
		at := float64(jump.Layer) * layerMM
		g.curve([]float64{at, at}, []float64{0, g.y1}, stop, 0.4, 2, 1.2)
	}
	g.axis(ticks(0, high, 6), func(v float64) string { return fmt.Sprintf("%g", math.Round(v*100)/100) })
}

// figure is a number with no more places than it needs: 0.42, 8.3, 67.
func figure(v float64) string {
	switch {
	case v < 1:
		return fmt.Sprintf("%.2f", v)
	case v < 10:
		return fmt.Sprintf("%.1f", v)
	}
	return fmt.Sprintf("%.0f", v)
}
