package sheet

import (
	"fmt"
	"math"

	"github.com/tdewolff/canvas"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/master"
)

// traysOf are the trays that some cups go into, in their order.
func (b *book) traysOf(cups []flow.PlanCup) (out []int) {
	if b.r.Master == nil {
		return nil
	}
	for i, t := range b.r.Master.Trays {
		into := false
		for _, c := range cups {
			for _, f := range c.Fills {
				into = into || f.Tray == t.Number
			}
		}
		if into {
			out = append(out, i)
		}
	}
	return out
}

// pouredTrayBlock draws one tray from above with what is brushed first, and below it
// the cut with a mark at every level that a cup reaches.
func (b *book) pouredTrayBlock(i int, cups []flow.PlanCup) block {
	t := &b.r.Master.Trays[i]
	base, panel := 3.0, 4.0
	if c := b.r.Choices; c != nil {
		base, panel = c.Master.BaseMM, c.Master.PanelMM
	}
	tall := math.Max(t.FrameMM, base+t.RubberMM)
	const aside, gap, title = 42.0, 6.0, 10.5
	sc := scaleFor(t.WidthMM+2*panel, t.DepthMM+tall, b.measureOf()-aside, 112)
	height := title + t.DepthMM*sc + gap + tall*sc + 9
	return block{height: height + 3, draw: func(p *page, y float64) {
		p.text(p.left(), y+7, fmt.Sprintf("Tray %d", t.Number), p.f.big(), atLeft)
		p.text(p.left()+24, y+7, fmt.Sprintf("%d places, scale %s", len(t.Placed), scaleText(sc)), p.f.aside(), atLeft)
		d := drawing{p: p, ox: p.left() + panel*sc, oy: y + title + t.DepthMM*sc, scale: sc}
		brushed := b.brushPlan(d, t, i)
		e := drawing{p: p, ox: d.ox, oy: d.oy + gap + tall*sc, scale: sc}
		h := hatchResin
		if c := b.r.Choices; c != nil && c.Master.Frame == "own boards" {
			h = hatch{"your own boards", 60, 2, false, 0, soft, tint}
		}
		b.traySection(e, t, base, panel, fullest(t), h)
		b.levelMarks(e, t, base, panel, cups)
		x := p.left()
		ky := e.oy + 7
		if brushed > 0 {
			p.dot(x+1.2, ky-1.6, 1.1)
			x += 5 + p.text(x+4, ky-0.6, fmt.Sprintf("brush first: %d hollows", brushed), p.f.labelBold(), atLeft) + 4
		} else {
			x += p.text(x, ky-0.6, "brush all the art with a first coat", p.f.labelBold(), atLeft) + 5
		}
		x += p.swatch(x, ky, hatchRubber) + 4
		p.swatch(x, ky, h)
	}}
}

// brushPlan draws the tray from above and gives how many hollows it marks.
func (b *book) brushPlan(d drawing, t *master.Tray, i int) (marked int) {
	p := d.p
	d.outline(geom.Rectangle(t.WidthMM, t.DepthMM).Transform(geom.Move(t.WidthMM/2, t.DepthMM/2)), none, ink, wide)
	for _, k := range t.Placed {
		if k.Item < len(b.r.Items) {
			d.outline(b.r.Items[k.Item].Outline.Transform(geom.Turn(k.TurnDeg).Then(geom.Move(k.XMM, k.YMM))), tint, ink, narrow)
		}
	}
	for _, k := range t.Placed {
		x, y := d.at(geom.Vec{X: k.XMM, Y: k.YMM})
		p.text(x, y+1, fmt.Sprint(k.Number), p.f.figure(), atMiddle)
	}
	for _, s := range b.r.BrushFirst(i) {
		if s.Liquid != "rubber" {
			continue
		}
		marked++
		x, y := d.at(geom.Vec{X: s.XMM, Y: s.YMM})
		p.dot(x, y, math.Max(0.9, s.DiameterMM/2*d.scale))
	}
	return marked
}

// dot is a filled spot in the colour that stops the eye.
func (p *page) dot(x, y, r float64) {
	p.c.SetFill(canvas.Paint{Color: stop})
	p.c.SetStroke(canvas.Paint{})
	p.c.SetDashes(0)
	p.c.DrawPath(x, p.height-y, canvas.Circle(r))
}

// levelMarks draws where each cup ends, with mm over the base beside the frame; words
// that would touch are moved apart.
func (b *book) levelMarks(d drawing, t *master.Tray, base, panel float64, cups []flow.PlanCup) {
	p := d.p
	right, _ := d.at(geom.Vec{X: t.WidthMM + panel})
	last := math.Inf(1)
	for _, c := range cups {
		for _, f := range c.Fills {
			if f.Tray != t.Number {
				continue
			}
			x0, y := d.at(geom.Vec{X: 0, Y: base + f.LevelMM})
			x1, _ := d.at(geom.Vec{X: t.WidthMM})
			p.line(x0, y, x1, y, 0.4, stop)
			p.line(x1, y, right+1, y, hair, stop)
			at := math.Min(y+1, last-3.8)
			p.line(right+1, y, right+3, at-1, hair, stop)
			p.within(right+4, at, p.right()-right-4, fmt.Sprintf("cup %d: %s mm", c.Number, tenth(f.LevelMM)), p.f.textBold(), atLeft)
			last = at
		}
	}
}
