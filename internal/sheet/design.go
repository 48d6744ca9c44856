package sheet

import (
	"fmt"
	"strings"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
)

// designed is one design and its pieces: one, or one for each name.
type designed struct {
	index  int // of the design in the job
	name   string
	pieces []int // indices into Plan.Pieces
}

// designs groups the plan's pieces, in the order of the plan.
func (b *book) designs() []designed {
	var out []designed
	at := map[int]int{}
	for i, p := range b.r.Plan.Pieces {
		d := i
		name := p.Name
		if i < len(b.r.Items) {
			d = b.r.Items[i].Design
			if c := b.r.Choices; c != nil && d < len(c.Pieces) {
				name = c.Pieces[d].Name
			}
		}
		k, ok := at[d]
		if !ok {
			k = len(out)
			at[d] = k
			out = append(out, designed{index: d, name: name})
		}
		out[k].pieces = append(out[k].pieces, i)
	}
	return out
}

// design draws the page of one design: the chocolate, its drawing to scale, and
// what it weighs.
func (b *book) design(p *page, d designed) error {
	pc := &b.r.Plan.Pieces[d.pieces[0]]
	count, lo, hi := 0, pc.MassG.Likely, pc.MassG.Likely
	for _, k := range d.pieces {
		q := &b.r.Plan.Pieces[k]
		count += q.Count
		lo, hi = min(lo, q.MassG.Likely), max(hi, q.MassG.Likely)
	}
	each := unit.Spread(unit.Between(round(lo), round(lo), round(hi)), unit.Mass)
	title := fmt.Sprintf("%s: %s of %s", sentence(d.name), unit.Count(count, "piece", "pieces"), each)
	if len(d.pieces) > 1 {
		title = fmt.Sprintf("%s: %s, %s each", sentence(d.name), unit.Count(len(d.pieces), "name", "names"), each)
	}
	y := p.heading(title)
	what := pc.Chocolate + " chocolate"
	if strings.Contains(strings.ToLower(pc.Chocolate), "chocolate") {
		what = pc.Chocolate
	}
	if pc.Filling != "" {
		what += ", filled with " + pc.Filling
	} else {
		what += ", solid"
	}
	p.within(p.left(), y, p.measure(), what, p.f.aside(), atLeft)
	y += 3

	var k *Sketch
	if b.s != nil {
		k = b.s.sketch[d.index]
	}
	drawingTop := y + (p.bottom()-y)*0.35
	if k != nil && k.Picture != nil {
		p.picture(p.left(), y, p.measure(), drawingTop-y-4, k.Picture)
	}
	p.line(p.left(), drawingTop, p.right(), drawingTop, 0.2, rule)

	const card = 54.0
	if k != nil {
		b.draw(p, k, pc, p.left(), drawingTop+3, p.measure()-card-7, p.bottom()-drawingTop-5)
	}
	b.card(p, p.right()-card, drawingTop+6.5, card, pc)
	return nil
}

// draw sets the view from above and the section below it, both to one scale.
func (b *book) draw(p *page, k *Sketch, pc *flow.PlanPiece, x, y, w, h float64) {
	bw, bh, top := k.Box.W(), k.Box.H(), pc.HeightMM
	const aside, gap = 15.0, 13.0 // room for dimensions
	s := scaleFor(bw, bh+top, w-2*aside, h-gap-25)
	mid := k.Box.Center()
	free := h - 23 - (bh+top)*s - gap
	ox := x + w/2 - mid.X*s
	oy := y + 12 + free*0.35 + (k.Box.Max.Y)*s
	d := drawing{p: p, ox: ox, oy: oy, scale: s}
	d.lines(k.Edges, ink, narrow)
	d.outline(k.Outline, none, ink, wide)
	d.centreLine(geom.Vec{X: mid.X, Y: k.Box.Min.Y}, geom.Vec{X: mid.X, Y: k.Box.Max.Y})
	d.centreLine(geom.Vec{X: k.Box.Min.X, Y: 0}, geom.Vec{X: k.Box.Max.X, Y: 0})
	// Where it is cut: arrows on the centre line, looking away.
	for _, e := range []float64{k.Box.Min.X, k.Box.Max.X} {
		side := 1.0
		if e < mid.X {
			side = -1
		}
		ax, ay := d.at(geom.Vec{X: e})
		ax += side * 4.6
		p.line(ax-1.6, ay, ax+1.6, ay, 0.5, ink)
		p.line(ax, ay, ax, ay-3.5, narrow, soft)
		p.arrow(ax, ay-4, 0, -1)
		p.text(ax, ay+3.6, "A", p.f.labelBold(), atMiddle)
	}
	d.dimension(geom.Vec{X: k.Box.Min.X, Y: k.Box.Max.Y}, geom.Vec{X: k.Box.Max.X, Y: k.Box.Max.Y}, 5, tenth(bw))
	d.dimension(geom.Vec{X: k.Box.Min.X, Y: k.Box.Min.Y}, geom.Vec{X: k.Box.Min.X, Y: k.Box.Max.Y}, 8, tenth(bh))

	// The section stands under the view, so that one can be read from the other.
	e := drawing{p: p, ox: ox, oy: oy - k.Box.Min.Y*s + gap + top*s, scale: s}
	e.hatched(k.Section.Filling(), hatchFilling, narrow)
	e.hatched(k.Section.Cap(), hatchCap, narrow)
	e.hatched(k.Section.Shell(), hatchShell, wide)
	e.centreLine(geom.Vec{X: mid.X, Y: 0}, geom.Vec{X: mid.X, Y: top})
	e.dimension(geom.Vec{X: k.Box.Min.X, Y: 0}, geom.Vec{X: k.Box.Min.X, Y: top}, 8, tenth(top))
	sx, sy := e.at(geom.Vec{X: k.Box.Max.X, Y: top})
	p.text(sx+5, sy+2, "A–A", p.f.labelBold(), atLeft)

	ky := e.oy + 8.5
	kx := x
	kx += p.swatch(kx, ky, hatchShell) + 4
	if k.Section.Room != nil {
		kx += p.swatch(kx, ky, hatchFilling) + 4
		p.swatch(kx, ky, hatchCap)
	}
	p.text(x+w, ky-0.6, "scale "+scaleText(s)+", mm", p.f.label(), atRight)
}

// card lists a piece's quantities, with room for what was weighed.
func (b *book) card(p *page, x, y, w float64, pc *flow.PlanPiece) {
	p.text(x, y, "one piece weighs", p.f.label(), atLeft)
	p.within(x, y+6.6, w, unit.Mass(pc.MassG.Likely), p.f.big(), atLeft)
	if s := between(pc.MassG, unit.Mass); s != "" {
		p.within(x+w, y+6.6, w*0.55, s, p.f.label(), atRight)
	}
	y += 14
	y = p.pair(x, y, w, "outside shape", unit.Volume(pc.VolumeMM3))
	y = p.pair(x, y, w, "all in chocolate", unit.Mass(pc.SolidMassG.Likely))
	if pc.Filling != "" {
		y = p.pair(x, y, w, "shell", unit.Volume(pc.ShellVolumeMM3))
		y = p.pair(x, y, w, "room for filling", unit.Volume(pc.FillingVolumeMM3))
		y = p.pair(x, y, w, "cap", unit.Volume(pc.CapVolumeMM3))
		y = p.pair(x, y, w, "thinnest shell", unit.Length(pc.ThinnestShellMM))
	}
	y = p.pair(x, y, w, "smallest draft", unit.Degrees(pc.MinDraftDeg))
	if pc.UndercutMM3 > 0 {
		y = p.pair(x, y, w, "undercut filled", unit.Volume(pc.UndercutMM3))
	}
	y = p.pair(x, y, w, "places in the mould", unit.Whole(pc.Cavities))
	y = p.pair(x, y, w, "fill the mould", times(pc.Rounds))
	y += 6
	third := (w - 8) / 3
	p.text(x, y-1.5, "weighed", p.f.labelBold(), atLeft)
	y += 8
	for i, s := range []string{"first, g", "second, g", "third, g"} {
		p.writeHere(x+float64(i)*(third+4), y, third, s)
	}
}

// mm words a length on a drawing, without its unit.
func mm(v float64) string { return strings.TrimSuffix(unit.Length(v), "\u00a0mm") }

// times words how often: "once", "twice", "3 times".
func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return unit.Whole(n) + " times"
}
