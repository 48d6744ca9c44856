package sheet

import (
	"fmt"
	"math"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/sheet/picture"
)

// trayPages are the plan of one tray and, below it, the list of what stands on it.
func (b *book) trayPages(i int) {
	t := &b.r.Master.Trays[i]
	s := fmt.Sprintf("Tray %d: %s", t.Number, unit.Count(len(t.Placed), "cavity", "cavities"))
	switch {
	case len(t.Tiles) > 1:
		s += " on " + unit.Count(len(t.Tiles), "tile", "tiles")
	case len(t.Tiles) == 1:
		s += " on one tile"
	}
	blocks := append([]block{b.titleBlock("What stands where")}, b.placeBlocks(t)...)
	b.flowing("master", s, func(p *page) float64 { return b.trayPlan(p, t) }, blocks)
}

func tiles(m []flow.PlanMaster) string {
	n := 0
	for _, t := range m {
		n += t.Tiles
	}
	if n == 0 {
		return ""
	}
	return unit.Count(n, "tile", "tiles")
}

// trayPlan draws a tray from above and cut through its fullest row, and says how far
// down it reached.
func (b *book) trayPlan(p *page, t *master.Tray) float64 {
	y := p.underHeading()
	panel := 4.0
	own := false
	if c := b.r.Choices; c != nil {
		panel, own = c.Master.PanelMM, c.Master.Frame == "own boards"
	}
	p.within(p.left(), y, p.measure(), fmt.Sprintf("Inside the frame %s × %s mm; rubber up to %s mm over the base", tenth(t.WidthMM), tenth(t.DepthMM), tenth(t.RubberMM)), p.f.aside(), atLeft)

	base := 3.0
	if b.r.Choices != nil {
		base = b.r.Choices.Master.BaseMM
	}
	full, deep := t.WidthMM+2*panel, t.DepthMM+2*panel
	tall := math.Max(t.FrameMM, base+t.RubberMM)
	const aside, above, gap, below = 13.0, 15.0, 16.0, 16.0
	sc := scaleFor(full, deep+tall, p.measure()-2*aside, p.bottom()-y-above-gap-below)
	d := drawing{p: p, ox: p.left() + (p.measure()-full*sc)/2 + panel*sc, oy: y + above + (deep-panel)*sc, scale: sc}

	// The frame is cut at its top, so it is hatched; the base is looked at.
	frame := geom.Rectangle(full, deep)[0]
	inside := geom.Rectangle(t.WidthMM, t.DepthMM)[0]
	hole := make(geom.Ring, len(inside))
	for i, q := range inside {
		hole[len(inside)-1-i] = q
	}
	to := geom.Move(t.WidthMM/2, t.DepthMM/2)
	h := hatchResin
	if own {
		h = hatch{"your own boards", 60, 2, false, 0, soft, tint}
	}
	d.hatched(geom.Outline{frame, hole}.Transform(to), h, wide)
	for _, k := range t.Placed {
		if k.Item >= len(b.r.Items) {
			continue
		}
		it := &b.r.Items[k.Item]
		o := it.Outline.Transform(geom.Turn(k.TurnDeg).Then(geom.Move(k.XMM, k.YMM)))
		d.outline(o, tint, ink, narrow)
	}
	// Cuts between tiles: a bold line of their own, so that keys are seen.
	if len(t.Tiles) > 1 {
		for _, tl := range t.Tiles {
			d.outline(tl.Outline, none, do, 0.5)
		}
	}
	for _, k := range t.Placed {
		x, yy := d.at(geom.Vec{X: k.XMM, Y: k.YMM})
		p.text(x, yy+1, fmt.Sprint(k.Number), p.f.figure(), atMiddle)
	}
	for _, tl := range t.Tiles {
		if len(t.Tiles) < 2 {
			break
		}
		box := tl.Outline.Bounds()
		x, yy := d.at(geom.Vec{X: box.Min.X, Y: box.Max.Y})
		p.tag(x+6, yy+5.5, fmt.Sprintf("tile %d", tl.Number))
	}
	d.dimension(geom.Vec{X: 0, Y: t.DepthMM + panel}, geom.Vec{X: t.WidthMM, Y: t.DepthMM + panel}, 5.5, tenth(t.WidthMM))
	d.dimension(geom.Vec{X: -panel, Y: 0}, geom.Vec{X: -panel, Y: t.DepthMM}, 5.5, tenth(t.DepthMM))
	cut := fullest(t)
	_, cy := d.at(geom.Vec{Y: cut})
	lx, _ := d.at(geom.Vec{X: -panel})
	rx, _ := d.at(geom.Vec{X: t.WidthMM + panel})
	for _, e := range []float64{lx - 2.5, rx + 2.5} {
		p.line(e-1.5, cy, e+1.5, cy, 0.5, ink)
		p.line(e, cy, e, cy-3.4, narrow, soft)
		p.arrow(e, cy-4, 0, -1)
		p.text(e, cy+3.4, "B", p.f.labelBold(), atMiddle)
	}

	e := drawing{p: p, ox: d.ox, oy: d.oy + panel*sc + gap + tall*sc, scale: sc}
	b.traySection(e, t, base, panel, cut, h)
	e.dimension(geom.Vec{X: -panel, Y: 0}, geom.Vec{X: -panel, Y: t.FrameMM}, 5.5, tenth(t.FrameMM))
	e.dimension(geom.Vec{X: t.WidthMM + panel, Y: base + t.RubberMM}, geom.Vec{X: t.WidthMM + panel, Y: base}, 5.5, tenth(t.RubberMM))
	x, yy := e.at(geom.Vec{X: 0, Y: tall})
	p.text(x, yy-2.5, "B–B, poured", p.f.labelBold(), atLeft)
	ky := e.oy + 9
	kx := p.left() + p.swatch(p.left(), ky, h) + 5
	kx += p.swatch(kx, ky, hatchRubber) + 5
	if len(t.Tiles) > 1 {
		p.line(kx, ky-1.8, kx+7, ky-1.8, 0.5, do)
		p.text(kx+8.6, ky-0.6, "cut between tiles", p.f.label(), atLeft)
	}
	p.text(p.right(), ky-0.6, "scale "+scaleText(sc)+", mm", p.f.label(), atRight)
	return ky + 2
}

// tag is a small framed label that stands on a drawing.
func (p *page) tag(x, y float64, s string) {
	st := p.f.labelBold().in(do)
	w := p.f.width(s, st)
	white := tint
	white.R, white.G, white.B = 255, 255, 255
	p.box(x-1.6, y-3.2, w+3.2, 4.6, white, do, 0.3)
	p.text(x, y, s, st, atLeft)
}

// fullest is the depth of the row that most pieces stand in.
func fullest(t *master.Tray) float64 {
	best, most := t.DepthMM/2, 0
	for _, k := range t.Placed {
		n := 0
		for _, l := range t.Placed {
			if math.Abs(l.YMM-k.YMM) < 2 {
				n++
			}
		}
		if n > most {
			best, most = k.YMM, n
		}
	}
	return best
}

// traySection draws base, pieces, frame and rubber, cut along a row.
func (b *book) traySection(d drawing, t *master.Tray, base, panel, y float64, frame hatch) {
	// Heights along the cut, from the items' own surfaces.
	const step = 0.25
	n := int(t.WidthMM/step) + 1
	z := make([]float64, n)
	fields := map[int]*trayRow{}
	for _, k := range t.Placed {
		if k.Item >= len(b.r.Items) || b.r.Items[k.Item].Sheet == nil {
			continue
		}
		it := &b.r.Items[k.Item]
		box := it.Outline.Bounds()
		if reach := math.Hypot(math.Max(-box.Min.X, box.Max.X), math.Max(-box.Min.Y, box.Max.Y)); math.Abs(k.YMM-y) > reach {
			continue
		}
		row := fields[k.Item]
		if row == nil {
			row = &trayRow{picture.Heights(it.Sheet, step)}
			fields[k.Item] = row
		}
		sin, cos := math.Sincos(-k.TurnDeg * math.Pi / 180)
		for i := range n {
			dx, dy := float64(i)*step-k.XMM, y-k.YMM
			z[i] = math.Max(z[i], row.at(dx*cos-dy*sin, dx*sin+dy*cos))
		}
	}
	solid := geom.Ring{{X: 0, Y: 0}, {X: t.WidthMM, Y: 0}}
	for i := n - 1; i >= 0; i-- {
		solid = append(solid, geom.Vec{X: math.Min(float64(i)*step, t.WidthMM), Y: base + z[i]})
	}
	rubber := geom.Ring{{X: 0, Y: base + t.RubberMM}}
	for i := range n {
		rubber = append(rubber, geom.Vec{X: math.Min(float64(i)*step, t.WidthMM), Y: base + z[i]})
	}
	rubber = append(rubber, geom.Vec{X: t.WidthMM, Y: base + t.RubberMM})
	d.hatched(geom.Outline{tidy(rubber)}, hatchRubber, narrow)
	d.hatched(geom.Outline{tidy(solid)}, hatchResin, wide)
	board := func(x float64) geom.Outline {
		return geom.Outline{{{X: x, Y: 0}, {X: x + panel, Y: 0}, {X: x + panel, Y: t.FrameMM}, {X: x, Y: t.FrameMM}}}
	}
	d.hatched(board(-panel), frame, wide)
	d.hatched(board(t.WidthMM), frame, wide)
}

// placeBlocks list a tray's places in two columns, each with a box to tick when it
// came out well. Neighbours of one piece on one tile share a line.
func (b *book) placeBlocks(t *master.Tray) []block {
	tile := map[int]int{}
	for _, tl := range t.Tiles {
		for _, k := range tl.Placed {
			tile[k] = tl.Number
		}
	}
	type place struct{ number, name, tile string }
	var all []place
	for i := 0; i < len(t.Placed); {
		j := i + 1
		for j < len(t.Placed) && t.Placed[j].Item == t.Placed[i].Item && tile[j] == tile[i] && t.Placed[j].Number == t.Placed[j-1].Number+1 {
			j++
		}
		pl := place{number: fmt.Sprint(t.Placed[i].Number)}
		if j > i+1 {
			pl.number += "–" + fmt.Sprint(t.Placed[j-1].Number)
		}
		if k := t.Placed[i].Item; k < len(b.r.Plan.Pieces) {
			pl.name = b.r.Plan.Pieces[k].Name
		}
		if n := tile[i]; n > 0 && len(t.Tiles) > 1 {
			pl.tile = fmt.Sprint("tile ", n)
		}
		all = append(all, pl)
		i = j
	}
	const gap = 8.0
	w := (b.measureOf() - gap) / 2
	draw := func(p *page, x, y float64, pl place) {
		p.box(x, y+2, 3.6, 3.6, none, ink, 0.25)
		p.within(x+6, y+5.2, 12, pl.number, p.f.text(), atLeft)
		p.within(x+19, y+5.2, w-36, pl.name, p.f.text(), atLeft)
		p.within(x+w, y+5.2, 16, pl.tile, p.f.label(), atRight)
		p.line(x, y+7, x+w, y+7, hair, rule)
	}
	rows := (len(all) + 1) / 2
	out := []block{{height: 4.5, keep: true, draw: func(p *page, y float64) {
		p.text(p.left(), y+2.4, "tick what came out well", p.f.label(), atLeft)
		p.line(p.left(), y+4.2, p.right(), y+4.2, 0.35, ink)
	}}}
	for r := range rows {
		out = append(out, block{height: 7, draw: func(p *page, y float64) {
			draw(p, p.left(), y, all[r])
			if r+rows < len(all) {
				draw(p, p.left()+w+gap, y, all[r+rows])
			}
		}})
	}
	return out
}

// tenth words a length of the master on a drawing, to a tenth of a millimetre: its
// parts are grown for shrinkage and have odd hundredths.
func tenth(v float64) string { return mm(math.Round(v*10) / 10) }
