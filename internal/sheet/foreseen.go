package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tdewolff/canvas"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
)

// maxHard bounds the marks that are listed of a design; plan.json has them all.
const maxHard = 60

// foreseenPages say what will become of a design's art and walls: its first piece from
// above with what will not come out and what to brush first, the widths that matter,
// and a list of the hard marks of all its names.
func (b *book) foreseenPages(d designed) {
	first := &b.r.Plan.Pieces[d.pieces[0]]
	total, hard := 0, 0
	var rows [][]string
	row := map[string]int{} // of a mark that several names have alike
	names := map[int][]string{}
	named := len(d.pieces) > 1
	for _, k := range d.pieces {
		pc := &b.r.Plan.Pieces[k]
		total += len(pc.Marks) + pc.MarksMore
		for _, m := range pc.Marks {
			if !isHard(m) {
				continue
			}
			hard++
			cells := []string{m.Mark, fateWords(m), unit.Length(m.HeightMM), unit.Length(m.NeededMM)}
			key := strings.Join(cells, "\n")
			at, seen := row[key]
			if !seen {
				at = len(rows)
				row[key], rows = at, append(rows, cells)
			}
			names[at] = append(names[at], strings.TrimPrefix(pc.Name, d.name+": "))
		}
	}
	listed := hard
	if len(rows) > maxHard {
		for at := maxHard; at < len(rows); at++ {
			listed -= len(names[at])
		}
		rows = rows[:maxHard]
	}
	if first.Finish == (flow.PlanFinish{}) { // a plan without a forecast
		return
	}
	title := sentence(d.name) + ": all of its art comes out"
	switch {
	case total == 0 && first.Finish.SteppedShare >= 0.02:
		title = fmt.Sprintf("%s: layer steps will show on %.0f %% of it", sentence(d.name), 100*first.Finish.SteppedShare)
	case total == 0:
		title = sentence(d.name) + ": a plain body comes out as drawn"
	case hard > 0:
		title = fmt.Sprintf("%s: %d of %d marks will not come out", sentence(d.name), hard, total)
	}
	var blocks []block
	if len(rows) > 0 {
		cols := []column{
			{"name", 30, atLeft, (*faces).textStyle, false},
			{"mark", 44, atLeft, (*faces).textStyle, false},
			{"what becomes of it", 56, atLeft, (*faces).textStyle, false},
			{"drawn high", 20, atRight, (*faces).labelStyle, false},
			{"from", 20, atRight, (*faces).labelStyle, false},
		}
		if named {
			for i := range rows {
				rows[i] = append([]string{whose(names[i], len(d.pieces))}, rows[i]...)
			}
		} else {
			cols = cols[1:]
		}
		blocks = append(blocks, b.titleBlock("Marks that need a decision"))
		blocks = append(blocks, b.tableBlocks(cols, rows)...)
		if hard > listed {
			blocks = append(blocks, b.textBlock(fmt.Sprintf("and %d more", hard-listed), b.f.aside()))
		}
	}
	blocks = append(blocks, space(4))
	w := min(b.measureOf()-10, readable)
	for _, f := range b.r.Plan.Findings {
		if f.At.Piece != first.Name {
			continue
		}
		r := remark{f: f, what: b.f.lines(f.What, b.f.text(), w)}
		if f.Do != "" {
			r.do = b.f.lines("Try: "+f.Do, b.f.text(), w)
		}
		r.height = 4.6 + float64(len(r.what)+len(r.do))*leadText + 6
		blocks = append(blocks, block{height: r.height, draw: func(p *page, y float64) { p.remark(y+5.4, r) }})
	}
	b.flowing("pieces", title, func(p *page) float64 { return b.foreseen(p, d, first) }, blocks)
}

// whose is whose mark it is: one name, or how many of all names have it alike.
func whose(names []string, all int) string {
	names = slices.Compact(names) // one name may have a mark of the same size twice
	switch len(names) {
	case 1:
		return names[0]
	case all:
		return "every name"
	}
	return fmt.Sprintf("%s and %d more", names[0], len(names)-1)
}

// isHard says whether a mark needs a decision.
func isHard(m flow.PlanMark) bool { return m.Fate != "survives" && !m.Speck }

// fateWords says what becomes of a mark, and by what.
func fateWords(m flow.PlanMark) string {
	by := map[string]string{"printer": ": too fine for the print", "resin": ": too fine a wall of resin", "rubber": ": too thin a fin of rubber", "chocolate": ": too fine for chocolate"}[m.Cause]
	switch m.Fate {
	case "merges":
		return "runs together with its neighbour"
	case "fills":
		return "closes" + by
	case "breaks":
		return "breaks or stays away" + by
	}
	return "comes out"
}

// foreseen draws the view from above with its places, and the widths below it.
func (b *book) foreseen(p *page, d designed, pc *flow.PlanPiece) float64 {
	y := p.underHeading()
	what := "Predicted before printing: pixels and layers, the coat, the rubber, and chocolate that is brought in as the job says."
	p.within(p.left(), y, p.measure(), what, p.f.aside(), atLeft)
	y += 5
	var k *Sketch
	if b.s != nil {
		k = b.s.sketch[d.index]
	}
	if k != nil {
		s := scaleFor(k.Box.W(), k.Box.H(), p.measure()-10, (p.bottom()-y)*0.38)
		mid := k.Box.Center()
		dr := drawing{p: p, ox: p.left() + p.measure()/2 - mid.X*s, oy: y + k.Box.Max.Y*s, scale: s}
		dr.lines(k.Edges, ink, hair)
		dr.outline(k.Outline, none, ink, wide)
		for _, a := range pc.AirPockets {
			if a.Brush {
				dr.ring(geom.Vec{X: a.XMM, Y: a.YMM}, math.Max(a.WidthMM, 0.8)/2, a.Liquid != "rubber")
			}
		}
		dr.pins(pc.Marks)
		y += k.Box.H()*s + 6
		p.text(p.right(), y-2, "scale "+scaleText(s), p.f.label(), atRight)
		p.within(p.left(), y-2, p.measure()-30, "Pins: marks that will not come out. Rings: brush these first; full with rubber on the master, broken with chocolate in the mould.", p.f.label(), atLeft)
		y += 4
	}
	share := func(v float64) string { return fmt.Sprintf("%.1f %%", 100*v) }
	facts := [][3]string{
		{"narrowest stroke", orNone(pc.NarrowestRidgeMM), "of chocolate, at half depth"},
		{"narrowest gap", orNone(pc.NarrowestGrooveMM), "a fin of rubber"},
		{"all comes out from", orNone(pc.SmallestTextMM), "height of the tallest mark"},
		{"walls too steep", share(pc.BelowDraftShare), "below least_draft_deg"},
		{"steps show on", share(pc.Finish.SteppedShare), share(pc.Finish.GlossyShare) + " glossy"},
	}
	w := p.measure() / float64(len(facts))
	for i, f := range facts {
		p.fact(p.left()+float64(i)*w, y+3, w-3, f[0], f[1], f[2], ink)
	}
	return y + 17
}

func orNone(mm float64) string {
	if mm == 0 {
		return "none"
	}
	return unit.Length(mm)
}

// ring draws a circle around a place; a broken one for chocolate.
func (d drawing) ring(at geom.Vec, radiusMM float64, broken bool) {
	x, y := d.at(at)
	c := d.p.c
	c.SetFill(canvas.Paint{})
	c.SetStroke(canvas.Paint{Color: do})
	c.SetStrokeWidth(0.4)
	c.SetDashes(0)
	if broken {
		c.SetDashes(0, 4, 3) // the PDF writer counts dashes in line widths
	}
	c.DrawPath(x, d.p.height-y, canvas.Circle(math.Max(radiusMM*d.scale, 0.8)))
	c.SetDashes(0)
}

// pins marks the places of hard marks with their labels above them; labels that would
// touch stand higher.
func (d drawing) pins(marks []flow.PlanMark) {
	hard := slices.DeleteFunc(slices.Clone(marks), func(m flow.PlanMark) bool { return !isHard(m) })
	slices.SortStableFunc(hard, func(a, b flow.PlanMark) int { return cmp.Compare(a.XMM, b.XMM) })
	const usual, step, wide = 6.0, 3.6, 4.0 // mm of the page
	var last []([2]float64)                 // x and y of the labels before
	for _, m := range hard {
		x, y := d.at(geom.Vec{X: m.XMM, Y: m.YMM})
		top := y - usual
		for range last {
			if slices.ContainsFunc(last, func(l [2]float64) bool { return math.Abs(l[0]-x) < wide && math.Abs(l[1]-top) < step }) {
				top -= step
			}
		}
		last = append(last, [2]float64{x, top})
		d.p.line(x, y, x, top, 0.3, stop)
		d.p.dot(x, y, 0.8)
		d.p.text(x, top-1, m.Label, d.p.f.labelBold().in(stop), atMiddle)
	}
}
