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

// Trays stand beside each other, so many in a row.
const (
	traysInRow = 3
	trayGap    = 6.0
	trayWords  = 7.5 // the name above
)

// stripRows parts the trays of a page into rows, and says how wide each has room.
func (b *book) stripRows(cups []flow.PlanCup) (rows [][]int, width float64) {
	all := b.traysOf(cups)
	n := min(traysInRow, max(1, len(all)))
	for i := 0; i < len(all); i += n {
		rows = append(rows, all[i:min(i+n, len(all))])
	}
	return rows, (b.measureOf() - float64(n-1)*trayGap) / float64(n)
}

// levelsOf are the levels that a page's cups reach in a tray.
func levelsOf(cups []flow.PlanCup, tray int) (out []string) {
	for _, c := range cups {
		for _, f := range c.Fills {
			if f.Tray == tray {
				out = append(out, fmt.Sprintf("cup %d: %s mm", c.Number, tenth(f.LevelMM)))
			}
		}
	}
	return out
}

// levelStyle sets many levels of one tray smaller: each stands by its cup as well.
func (b *book) levelStyle(n int) style {
	if n > 3 {
		return b.f.textBold()
	}
	return b.f.big()
}

// stripHeight is the height of the pictures of a page's trays when none is higher than
// so much.
func (b *book) stripHeight(p pourPage, most float64) float64 {
	rows, w := b.stripRows(p.cups)
	h := 0.0
	for _, row := range rows {
		h += b.trayRowHeight(p.cups, row, w, most)
	}
	return h
}

// trayRowHeight is the height of one row of trays: the name, the picture, and the levels
// beside it or below.
func (b *book) trayRowHeight(cups []flow.PlanCup, row []int, w, most float64) float64 {
	tall := 0.0
	for _, i := range row {
		t := &b.r.Master.Trays[i]
		n := len(levelsOf(cups, t.Number))
		words := float64(n) * leadOf(b.levelStyle(n))
		if b.beside(w) {
			tall = math.Max(tall, math.Max(math.Min(most, t.DepthMM*(w-levelAside)/t.WidthMM), words))
		} else {
			tall = math.Max(tall, math.Min(most, t.DepthMM*w/t.WidthMM)+words+1)
		}
	}
	return trayWords + tall + 2
}

// levelAside is the room of the levels beside a picture, where there is that much.
const levelAside = 44.0

func (b *book) beside(w float64) bool { return w > 100 }

// trayStrip draws the trays of a page from above with what is brushed first, and the
// level that every cup reaches.
func (b *book) trayStrip(p *page, y float64, part pourPage) {
	rows, w := b.stripRows(part.cups)
	if len(rows) == 0 {
		return
	}
	// What is not needed by words is shared by the pictures.
	spare := part.strip - b.stripHeight(part, stripLeast)
	most := stripLeast + math.Max(0, spare/float64(len(rows)))
	for _, row := range rows {
		for k, i := range row {
			t := &b.r.Master.Trays[i]
			x := p.left() + float64(k)*(w+trayGap)
			levels := levelsOf(part.cups, t.Number)
			tw := p.text(x, y+5.6, fmt.Sprintf("Tray %d", t.Number), p.f.big(), atLeft)
			room, high := w, most
			if b.beside(w) {
				room = w - levelAside
			}
			sc := math.Min(room/t.WidthMM, high/t.DepthMM)
			d := drawing{p: p, ox: x, oy: y + trayWords + t.DepthMM*sc, scale: sc}
			fresh := b.firstStage(t.Number) == part.cups[0].Stage
			n := b.brushPlan(d, t, i, fresh)
			if !fresh {
				p.within(x+tw+3, y+5.6, w-tw-3, "on firm rubber", p.f.text(), atLeft)
			} else if n > 0 {
				p.dot(x+tw+4, y+4.2, 1.1)
				p.within(x+tw+6.5, y+5.6, w-tw-6.5, fmt.Sprintf("brush %d", n), p.f.text(), atLeft)
			} else {
				p.within(x+tw+3, y+5.6, w-tw-3, "brush all the art", p.f.text(), atLeft)
			}
			lx, ly := x, d.oy+6
			if b.beside(w) {
				lx, ly = x+t.WidthMM*sc+5, y+trayWords+5
			}
			st := b.levelStyle(len(levels))
			for _, s := range levels {
				p.within(lx, ly, w-(lx-x), s, st, atLeft)
				ly += leadOf(st)
			}
		}
		y += b.trayRowHeight(part.cups, row, w, most)
	}
}

// firstStage is the pour in which rubber first comes into a tray.
func (b *book) firstStage(tray int) int {
	for _, c := range b.r.Plan.Pour.Cups {
		for _, f := range c.Fills {
			if f.Tray == tray {
				return c.Stage
			}
		}
	}
	return 0
}

// brushPlan draws the tray from above and, on bare art, marks the hollows to brush.
func (b *book) brushPlan(d drawing, t *master.Tray, i int, fresh bool) (marked int) {
	p := d.p
	d.outline(geom.Rectangle(t.WidthMM, t.DepthMM).Transform(geom.Move(t.WidthMM/2, t.DepthMM/2)), none, ink, wide)
	for _, k := range t.Placed {
		if k.Item < len(b.r.Items) {
			d.outline(b.r.Items[k.Item].Outline.Transform(geom.Turn(k.TurnDeg).Then(geom.Move(k.XMM, k.YMM))), tint, ink, narrow)
		}
	}
	for _, s := range b.r.BrushFirst(i) {
		if s.Liquid != "rubber" || !fresh {
			continue
		}
		marked++
		x, y := d.at(geom.Vec{X: s.XMM, Y: s.YMM})
		p.dot(x, y, math.Max(0.7, s.DiameterMM/2*d.scale))
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

// stripsBlock are strips to cut out, at true size: a mark for every level over the base,
// to be put to the frame. Of more trays than fit beside each other the first.
func (b *book) stripsBlock(cups []flow.PlanCup) block {
	type strip struct {
		name   string
		levels []string
		mm     []float64
	}
	var strips []strip
	tallest := 0.0
	for _, i := range b.traysOf(cups) {
		t := &b.r.Master.Trays[i]
		s := strip{name: fmt.Sprintf("tray %d", t.Number), levels: levelsOf(cups, t.Number)}
		for _, c := range cups {
			for _, f := range c.Fills {
				if f.Tray == t.Number {
					s.mm = append(s.mm, f.LevelMM)
					tallest = math.Max(tallest, math.Max(f.LevelMM, 3.9*float64(len(s.mm))))
				}
			}
		}
		strips = append(strips, s)
	}
	const most, w = 4, 40.0
	strips = strips[:min(len(strips), most)]
	h := tallest + 8
	return block{height: h + 10, draw: func(p *page, y float64) {
		foot := y + h
		for k, s := range strips {
			x := p.left() + float64(k)*(w+3.3)
			p.box(x, y, w, h, none, soft, hair)
			p.text(x+2, y+4.4, s.name, p.f.labelBold(), atLeft)
			last := foot + leadText
			for n, mm := range s.mm {
				at := foot - mm
				p.line(x, at, x+12, at, 0.4, stop)
				line := math.Min(at+1.2, last-3.9)
				p.line(x+12, at, x+14, line-1.2, hair, stop)
				p.text(x+15, line, s.levels[n], p.f.labelBold(), atLeft)
				last = line
			}
		}
		p.text(p.left(), foot+4.4, "Cut out; the lower edge stands on the base. True size when this line is 50 mm long:", p.f.label(), atLeft)
		p.line(p.right()-50, foot+3.4, p.right(), foot+3.4, 0.4, ink)
		for _, e := range []float64{p.right() - 50, p.right()} {
			p.line(e, foot+1.8, e, foot+5, 0.4, ink)
		}
	}}
}
