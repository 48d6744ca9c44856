package sheet

import (
	"fmt"
	"image/color"
	"math"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
)

// One page a pour. What is read while hands are sticky is set in the two large sizes;
// what does not belong to that moment stands on the pages before and after. Rows of cups
// draw together before they go on to a second page, which carries the totals over.
const (
	cupRoomy   = 27.0
	cupClose   = 22.0
	cupTight   = 19.5
	stripLeast = 28.0 // a picture of a tray from above is not less high
	stripMost  = 60.0
)

// pourPage is one page of a pour.
type pourPage struct {
	cups  []flow.PlanCup
	row   float64 // height of a cup
	strip float64 // height of the pictures of its trays, words included
}

// pourPages are the pages of one pour, as a rule one.
func (b *book) pourPages(pours [][]flow.PlanCup, i int) {
	name := "Pour"
	if len(pours) > 1 {
		name = fmt.Sprintf("Pour %d of %d", i+1, len(pours))
	}
	head := b.pourHead(i)
	foot := b.pourFoot(pours, i)
	parts := b.parted(pours[i], blocksHeight(head), blocksHeight(foot))
	sumA, sumB := 0.0, 0.0
	for _, c := range pours[i] {
		sumA, sumB = sumA+c.PartAG, sumB+c.PartBG
	}
	for k, part := range parts {
		heading := fmt.Sprintf("%s: %s A, %s B", name, b.grams(sumA), b.grams(sumB))
		if len(parts) > 1 {
			heading = fmt.Sprintf("%s, page %d of %d", name, k+1, len(parts))
		}
		first, last := k == 0, k == len(parts)-1
		b.add("rubber", func(p *page) error {
			p.text(p.left(), p.top()+8, b.f.short(heading, b.f.head(), p.measure()), b.f.head(), atLeft)
			y := p.top() + pourTop
			draw := func(list []block) {
				for _, o := range list {
					o.draw(p, y)
					y += o.height
				}
			}
			if first {
				draw(head)
			} else {
				draw([]block{b.carried(part.cups[0])})
			}
			b.trayStrip(p, y, part)
			y += part.strip
			for _, c := range part.cups {
				b.cupRow(p, y, c, part.row)
				y += part.row
			}
			p.line(p.left(), y, p.right(), y, 0.5, ink)
			if last {
				left := p.bottom() - blocksHeight(foot) - y - 2
				if left >= extraHigh {
					b.extraRow(p, y)
					y += extraHigh
				}
				y += 2
				draw(foot)
			} else {
				p.text(p.left(), y+7, "More cups on the next page: go on at once.", b.f.big().in(stop), atLeft)
			}
			return nil
		})
	}
}

// extraHigh is the room of a cup that was not planned.
const extraHigh = 21.0

// pourTop is the height of a pour's heading.
const pourTop = 12.0

func blocksHeight(list []block) (h float64) {
	for _, o := range list {
		h += o.height
	}
	return h
}

// parted divides the cups of a pour into pages: one, with rows drawn together where
// that is enough; else as many as it takes.
func (b *book) parted(cups []flow.PlanCup, head, foot float64) []pourPage {
	room := b.size[1] - marginBottom - marginTop - pourTop
	for _, row := range []float64{cupRoomy, cupClose, cupTight} {
		p := pourPage{cups: cups, row: row}
		left := room - head - foot - 2 - float64(len(cups))*row
		if least := b.stripHeight(p, stripLeast); left >= least {
			if left-extraHigh >= least {
				left -= extraHigh // for a cup that was not planned
			}
			p.strip = math.Min(left, b.stripHeight(p, stripMost))
			return []pourPage{p}
		}
	}
	var out []pourPage
	for len(cups) > 0 {
		above := head
		if len(out) > 0 {
			above = leadBig + 4
		}
		n := 1
		fits := func(n int) (pourPage, bool) {
			p := pourPage{cups: cups[:n], row: cupTight}
			below := 10.0
			if n == len(cups) {
				below = foot + 2
			}
			left := room - above - below - float64(n)*cupTight
			p.strip = math.Min(left, b.stripHeight(p, stripMost))
			return p, left >= b.stripHeight(p, stripLeast)
		}
		for n < len(cups) {
			if _, ok := fits(n + 1); !ok {
				break
			}
			n++
		}
		if n == len(cups) && len(out) > 0 || n < len(cups) {
			p, ok := fits(n)
			for !ok && n > 1 {
				n--
				p, ok = fits(n)
			}
			out, cups = append(out, p), cups[n:]
			continue
		}
		// All would fit but for the foot: leave one for the next page.
		n = max(1, n-1)
		p, _ := fits(n)
		out, cups = append(out, p), cups[n:]
	}
	return out
}

// pourHead is what is read before the first cup.
func (b *book) pourHead(i int) []block {
	p := &b.r.Plan.Pour
	var out []block
	if i == 0 {
		out = append(out, b.shortGate())
	} else {
		s := fmt.Sprintf("Begin when the rubber is firm, %s after the pour before, and within %s of it. Nothing may lie between: no dust, no fingerprint, no release.", unit.Spread(hours(p.FirmFromH), unit.Duration), unit.Duration(60*p.BondUntilH))
		out = append(out, b.bigBlock(s, stop))
	}
	ready := []string{"Stir A in its tin, to the floor.", "Stir B, with another stick."}
	if i == 0 {
		ready = append(ready, "Frame sealed, tray level.")
	} else {
		ready = append(ready, "Wipe the firm rubber, clean and dry.")
	}
	if c := b.r.Choices; c != nil {
		ready = append(ready, fmt.Sprintf("Room %.0f–%.0f °C, now ______", c.Bench.RoomC.Low, c.Bench.RoomC.High))
	}
	if i == 0 {
		ready = append(ready, "Brush the dots with cup 1.")
	}
	if b.vacuum() {
		ready = append(ready, "Vacuum vessel whole, goggles.")
	}
	return append(append(out, b.ticksBlocks(ready)...), space(2))
}

// pourFoot is what is read when the last cup is in.
func (b *book) pourFoot(pours [][]flow.PlanCup, i int) []block {
	p := &b.r.Plan.Pour
	var out []block
	if len(pours[i]) > 1 {
		out = append(out, b.bigBlock("Begin the next cup within "+unit.Duration(math.Floor(p.Cups[0].WetUntilMin-p.Cups[0].ReadyMin-p.Cups[0].PourMin))+": it must meet wet rubber.", ink))
	}
	what := fmt.Sprintf("Demould, not before +%s:", unit.Duration(60*p.DemouldH))
	if i < len(pours)-1 {
		what = fmt.Sprintf("Next pour, from +%s to +%s:", unit.Duration(60*p.FirmFromH.High), unit.Duration(60*p.BondUntilH))
	}
	out = append(out, block{height: 9.5, draw: func(pg *page, y float64) {
		pg.box(pg.left(), y+1.2, 5.2, 5.2, none, ink, 0.4)
		w := pg.text(pg.left()+9, y+6, what, pg.f.big(), atLeft)
		x := pg.left() + 9 + w + 3
		mid := (x + pg.right()) / 2
		pg.text(x, y+6, "day", pg.f.text(), atLeft)
		pg.line(x+8, y+6.6, mid-2, y+6.6, 0.25, ink)
		pg.text(mid, y+6, "clock", pg.f.text(), atLeft)
		pg.line(mid+10, y+6.6, pg.right(), y+6.6, 0.25, ink)
	}})
	return append(out, b.bigBlock("Gloves: nitrile or vinyl, never latex. No tin-cure rubber near.", stop))
}

// bigBlock is a paragraph in large type.
func (b *book) bigBlock(s string, c color.RGBA) block {
	lines := b.f.lines(s, b.f.big(), b.measureOf())
	return block{height: float64(len(lines))*leadBig + 2, draw: func(p *page, y float64) {
		for i, l := range lines {
			p.text(p.left(), y+5.4+float64(i)*leadBig, l, p.f.big().in(c), atLeft)
		}
	}}
}

// carried says on a further page what is out of the tins so far.
func (b *book) carried(c flow.PlanCup) block {
	s := fmt.Sprintf("Out of the tins before this page: %s of A, %s of B.", b.grams(c.TotalAG-c.PartAG), b.grams(c.TotalBG-c.PartBG))
	return block{height: leadBig + 4, draw: func(p *page, y float64) { p.text(p.left(), y+5.4, s, p.f.big(), atLeft) }}
}

// cupRow is one cup: what to weigh with boxes to tick, what is out of the tins with it,
// where it goes, blanks for what it really was and for the clock.
func (b *book) cupRow(p *page, y float64, c flow.PlanCup, h float64) {
	mix := 0.0
	if b.r.Choices != nil {
		mix = b.r.Choices.Pour.MixMin
	}
	x := p.left()
	one, two, three := y+9.4, y+15.4, y+h-3
	switch {
	case h < cupClose:
		one, two, three = y+7.8, y+12.2, y+h-1.8
	case h < cupRoomy:
		one, two, three = y+8.4, y+13.4, y+h-2.2
	}
	p.line(x, y, p.right(), y, 0.5, ink)
	p.text(x, one, fmt.Sprint(c.Number), p.f.head(), atLeft)
	p.within(x, two, 15, fmt.Sprintf("%.0f ml", c.CupML), p.f.text(), atLeft)
	const number, part = 17.0, 53.0
	for k, w := range []struct {
		name  string
		g, ml float64
		total float64
	}{{"A", c.PartAG, c.PartAML, c.TotalAG}, {"B", c.PartBG, c.PartBML, c.TotalBG}} {
		at := x + number + float64(k)*part
		p.box(at, one-6, 6.4, 6.4, none, ink, 0.45)
		p.text(at+9, one, w.name, p.f.big(), atLeft)
		p.within(at+15, one, part-16, b.grams(w.g), p.f.head(), atLeft)
		out := "out " + b.grams(w.total) + ", really"
		if w.ml > 0 {
			out = fmt.Sprintf("%.0f ml, ", w.ml) + out
		}
		n := p.text(at, two, out, p.f.text(), atLeft)
		p.line(at+n+1, two+0.6, at+part-5, two+0.6, 0.25, ink)
	}
	at := x + number + 2*part + 1
	room := p.right() - at
	fills := c.Fills
	for k, f := range fills {
		s := fmt.Sprintf("tray %d to %s mm", f.Tray, tenth(f.LevelMM))
		if k == 1 && len(fills) > 2 {
			s = fmt.Sprintf("to tray %d, %s mm", fills[len(fills)-1].Tray, tenth(fills[len(fills)-1].LevelMM))
		}
		if k > 1 {
			break
		}
		p.within(at, one-1.6+float64(k)*leadBig, room, s, p.f.big(), atLeft)
	}
	type blank struct{ when, what string }
	blanks := []blank{{"begun", ""}, {"stirred", "+" + unit.Duration(mix)}}
	if b.vacuum() {
		blanks = append(blanks, blank{"air on", "+" + unit.Duration(c.ReadyMin)})
	}
	blanks = append(blanks, blank{"pour by", soonest(c.LastPourMin)}, blank{"poured", ""})
	words := 0.0
	for _, v := range blanks {
		words += 1.5 + b.f.width(v.when, b.f.text()) + b.f.width(v.what, b.f.big())
		if v.what != "" {
			words += 1.4
		}
	}
	const apart = 3.0
	write := (p.measure()-words)/float64(len(blanks)) - apart
	for _, v := range blanks {
		x += p.text(x, three, v.when, p.f.text(), atLeft)
		if v.what != "" {
			x += 1.4
			x += p.text(x, three, v.what, p.f.big(), atLeft)
		}
		p.line(x+1.5, three+0.6, x+1.5+write, three+0.6, 0.25, ink)
		x += 1.5 + write + apart
	}
}

// extraRow is room for a cup that was not planned.
func (b *book) extraRow(p *page, y float64) {
	x := p.left()
	p.text(x, y+8.4, "+", p.f.head().in(soft), atLeft)
	p.text(x, y+13.6, "one more", p.f.text().in(soft), atLeft)
	for k, s := range []string{"A", "B", "tray", "mm"} {
		at := x + 24 + float64(k)*37
		w := p.text(at, y+9, s, p.f.big().in(soft), atLeft)
		p.line(at+w+1.5, y+9.6, at+33, y+9.6, 0.25, soft)
	}
	for k, s := range []string{"begun", "pour by", "poured"} {
		at := x + 24 + float64(k)*49.3
		w := p.text(at, y+18, s, p.f.text().in(soft), atLeft)
		p.line(at+w+1.5, y+18.6, at+44, y+18.6, 0.25, soft)
	}
	p.line(x, y+extraHigh, p.right(), y+extraHigh, 0.5, ink)
}
