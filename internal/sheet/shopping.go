package sheet

import (
	"fmt"
	"image/color"
	"math"
	"strings"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
)

// shoppingPages list what to buy, with a box to tick, and draw where the money goes.
func (b *book) shoppingPages() {
	l := &b.r.Plan.Shopping
	if len(l.Lines) == 0 {
		return
	}
	n := 0
	for _, x := range l.Lines {
		if x.Buy > 0 {
			n++
		}
	}
	heading := fmt.Sprintf("%d things to buy", n)
	if l.Total > 0 {
		heading += ", " + b.money(l.Total)
	}
	above := func(p *page) float64 { return p.moneyBar(l, p.underHeading()) }
	if l.Total == 0 {
		above = nil
	}
	blocks := []block{}
	if len(l.NoPrice) > 0 {
		blocks = append(blocks, b.textBlock(fmt.Sprintf("Not in the sums, since their price is not known: %s.", strings.Join(l.NoPrice, ", ")), b.f.aside()))
	}
	cols := []column{
		{"", 8, atLeft, (*faces).textStyle, false},
		{"what", 62, atLeft, (*faces).textStyle, false},
		{"needed", 24, atRight, (*faces).labelStyle, false},
		{"at home", 20, atRight, (*faces).labelStyle, false},
		{"buy", 32, atRight, (*faces).textStyle, false},
		{"cost", 24, atRight, (*faces).textStyle, false},
	}
	var rows [][]string
	for _, x := range l.Lines {
		home, buy, cost := "", amount(x.Buy, x.Unit), "not known"
		if x.Home > 0 {
			home = amount(x.Home, x.Unit)
		}
		if x.Pack > 0 {
			as := amount(x.Pack, x.Unit)
			if x.PackAs != "" {
				as = x.PackAs
			}
			buy = fmt.Sprintf("%d × %s", x.Packs, as)
		}
		if x.Buy == 0 {
			buy = "nothing"
		}
		if x.Cost != nil {
			cost = b.money(*x.Cost)
		} else if x.Buy == 0 {
			cost = ""
		}
		rows = append(rows, []string{"", x.What, amount(x.Need, x.Unit), home, buy, cost})
	}
	table := b.tableBlocks(cols, rows)
	for i := 1; i < len(table); i++ { // a box to tick in front of each
		row := table[i].draw
		table[i].draw = func(p *page, y float64) {
			row(p, y)
			p.box(p.left(), y+1.6, 3.8, 3.8, none, ink, 0.3)
		}
	}
	b.flowing("shopping", heading, above, append(blocks, table...))
}

// money words an amount of money.
func (b *book) money(v float64) string {
	s := fmt.Sprintf("%.2f", v)
	if c := b.r.Plan.Shopping.Currency; c != "" {
		s += " " + c
	}
	return s
}

// amount words so much of a thing.
func amount(v float64, u string) string {
	switch u {
	case "g":
		return unit.Mass(v)
	case "ml":
		return unit.Volume(v * 1000)
	}
	s := fmt.Sprint(int(math.Ceil(v - 1e-9)))
	if u == "pair" {
		s += " pairs"
		if v <= 1 {
			s = "1 pair"
		}
	}
	return s
}

// moneyBar draws where the money goes, and the sums below.
func (p *page) moneyBar(l *flow.PlanShopping, y float64) float64 {
	hatches := map[string]hatch{"print": hatchResin, "mould": hatchRubber, "chocolate": hatchShell, "filling": hatchFilling, "box": {"box", 90, 2.4, false, 0, soft, color.RGBA{0xff, 0xff, 0xff, 255}}}
	x := p.left()
	for _, g := range l.Groups {
		w := p.measure() * g.Cost / l.Total
		d := drawing{p: p, ox: x, oy: y + 11, scale: 1}
		d.hatched(geom.Outline{geom.Ring{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: 11}, {X: 0, Y: 11}}}, hatches[g.Group], 0.3)
		if w > 13 {
			p.within(x, y+14.6, w-1, g.Group, p.f.label(), atLeft)
			p.within(x, y+18.4, w-1, fmt.Sprintf("%.2f", g.Cost), p.f.figure(), atLeft)
		}
		x += w
	}
	y += 28
	w := p.measure() / 4
	b := p.book
	spread := func(o flow.PlanLoss) string {
		if o.High-o.Low < 0.005 {
			return ""
		}
		return fmt.Sprintf("%.2f to %.2f", o.Low, o.High)
	}
	p.fact(p.left(), y, w-3, "each box", b.money(l.PerBox), fmt.Sprintf("each piece %.2f", l.PerPiece), ink)
	p.fact(p.left()+w, y, w-3, "used up of it", b.money(l.Used), "the rest is left over", ink)
	cost := func(o flow.PlanLoss) string {
		if o.Likely == 0 {
			return "not known"
		}
		return b.money(o.Likely)
	}
	p.fact(p.left()+2*w, y, w-3, "a print that fails", cost(l.FailedPrint), spread(l.FailedPrint), ink)
	p.fact(p.left()+3*w, y, w-3, "a pour that fails", cost(l.FailedPour), spread(l.FailedPour), ink)
	return y + 16
}
