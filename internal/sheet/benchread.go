package sheet

import (
	"fmt"
	"math"
	"strings"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/pour"
)

// What is read at the table, before and after a pour.

// looks is what a pad is like that came out so.
var looks = map[pour.Outcome]string{
	pour.Liquid:    "it runs, or stirs like cream",
	pour.Gummy:     "the body takes a fingerprint and keeps it",
	pour.TackySkin: "the body is firm, the side that lay on the print sticks or shines wet",
	pour.Clean:     "firm all through, peels off dry, the print's lines stand in it",
}

// testPages are the cure test: the pads, what to mix, when and how to look.
func (b *book) testPages() {
	p := &b.r.Plan.Pour
	n := len(p.CureTest)
	heading := fmt.Sprintf("Before all else, test %s", unit.Count(n, "pad", "pads"))
	if p.Released {
		heading = "The rubber is tested on the print"
	}
	blocks := []block{b.gateBlock(), space(1),
		b.bigBlock(fmt.Sprintf("Mix %s of A with %s of B for %s.", b.grams(p.PadsPartAG), b.grams(p.PadsPartBG), b.them(n)), ink),
		b.wideBlock(fmt.Sprintf("Print the pads, treat and coat each as its line says, lay the rubber on a few millimetres high. Look %s later, not before: %s.", unit.Spread(hours(p.PadsLookH), unit.Duration), p.PadsLookWhy), b.f.text(), b.measureOf()),
		b.writeBlock("mixed, day and clock", "room, °C", "look from, day and clock")}
	cols := []column{
		{"pad", 21, atLeft, (*faces).weighStyle, false},
		{"resin", 32, atLeft, (*faces).textStyle, false},
		{"treatment", 40, atLeft, (*faces).textStyle, false},
		{"coating", 30, atLeft, (*faces).textStyle, false},
		{"came out", 30, atLeft, (*faces).textStyle, true},
		{"on", 20, atLeft, (*faces).textStyle, true},
	}
	var cells [][]string
	for i, t := range p.CureTest {
		resin := t.Resin
		if i == 0 {
			resin += " (this job)"
		}
		cells = append(cells, []string{t.Code, resin, t.Treatment, t.Coating, t.Outcome, t.Date})
	}
	blocks = append(blocks, b.tableBlocks(cols, cells)...)
	blocks = append(blocks, b.titleBlock("How to look"), b.wideBlock("Press with a nail, peel a corner, feel the side that lay on the print. The worse of both counts; take a photo.", b.f.text(), b.measureOf()))
	var names [][]string
	for _, o := range pour.Outcomes {
		names = append(names, []string{string(o), looks[o]})
	}
	blocks = append(blocks, b.tableBlocks([]column{{"outcome", 30, atLeft, (*faces).boldStyle, false}, {"what it is like", 137, atLeft, (*faces).textStyle, false}}, names)[1:]...) // no head: both columns speak for themselves
	blocks = append(blocks, b.titleBlock("What keeps rubber from setting"))
	var list [][]string
	for _, i := range p.Inhibitors {
		list = append(list, []string{i.What, i.Remedy})
	}
	blocks = append(blocks, b.tableBlocks([]column{{"what", 58, atLeft, (*faces).textStyle, false}, {"the usual remedy", 114, atLeft, (*faces).textStyle, false}}, list)[1:]...)
	b.flowing("rubber", heading, nil, blocks)
}

func (f *faces) boldStyle() style { return f.textBold() }

func (b *book) them(n int) string {
	if n == 1 {
		return "it"
	}
	return "all of them"
}

// writeBlock is a row of lines to write on.
func (b *book) writeBlock(what ...string) block {
	return block{height: 13, draw: func(p *page, y float64) {
		step := p.measure() / float64(len(what))
		for i, s := range what {
			p.writeHere(p.left()+float64(i)*step, y+8, step-5, s)
		}
	}}
}

// beforePages are what is made ready the evening before, and why the plan is as it is.
func (b *book) beforePages(pours [][]flow.PlanCup) {
	p := &b.r.Plan.Pour
	heading := fmt.Sprintf("The evening before: %s of rubber", unit.Mass(b.r.Plan.Silicone.MassG.Likely))
	room := math.Inf(-1)
	for _, c := range p.Cups {
		room = math.Max(room, c.CupML)
	}
	leak := 0.0
	for _, t := range b.r.Plan.Mould.Trays {
		leak = math.Max(leak, t.LeakG.High)
	}
	ready := []string{
		"Rubber, print and scale into the room where you pour: it may take a night until they are as warm.",
		fmt.Sprintf("Stand up the frames and seal every seam from outside: unsealed, one may let out up to %s.", unit.Mass(leak)),
		"Set each tray level both ways, on a board, where nobody passes.",
		fmt.Sprintf("Two clean cups of %.0f ml for each batch, clean sticks, a brush, a scale that shows %s, a clock, cloths.", room, b.grams(b.scale())),
		"Mark the levels on the frames: the strips below are at true size.",
	}
	if b.vacuum() {
		ready = append(ready, "Look the vacuum vessel over for cracks; shield and goggles beside it. It has to be one made for it.")
	}
	var blocks []block
	for i, s := range ready {
		lines := b.f.lines(s, b.f.text(), readable+30)
		blocks = append(blocks, block{height: float64(len(lines))*leadText + 2.4, keep: i == 0, draw: func(pg *page, y float64) {
			pg.box(pg.left(), y+0.2, 4.2, 4.2, none, ink, 0.35)
			for k, l := range lines {
				pg.text(pg.left()+8, y+3.6+float64(k)*leadText, l, pg.f.text(), atLeft)
			}
		}})
	}
	blocks = append(blocks, space(3), b.stripsBlock(p.Cups))
	if b.vacuum() {
		blocks = append(blocks, space(3), b.cautionBlock(cautionVacuum))
	}
	blocks = append(blocks, b.titleBlock("Is there enough?"))
	for _, s := range b.enough() {
		blocks = append(blocks, b.textBlock(s, b.f.text()))
	}
	blocks = append(blocks, b.titleBlock("Why so"))
	for _, s := range b.reasons(pours) {
		blocks = append(blocks, b.textBlock(s, b.f.text()))
	}
	b.flowing("rubber", heading, nil, blocks)
}

func (b *book) scale() float64 {
	if c := b.r.Choices; c != nil && c.Bench.ScaleG > 0 {
		return c.Bench.ScaleG
	}
	return 0.1
}

// enough says what is needed and bought, and what is left over.
func (b *book) enough() (out []string) {
	p := &b.r.Plan.Pour
	out = append(out, fmt.Sprintf("To have: %s, for frames at the rubber's densest, what stays in cups and brushes, the pads and a reserve.", unit.Mass(p.BuyG)))
	for _, h := range p.Home {
		s := fmt.Sprintf("At home: %s of %s", unit.Mass(h.MassG), h.What)
		if h.What == "poured already" {
			s = "Poured already: " + unit.Mass(h.MassG)
		}
		if h.Lot != "" {
			s += ", lot " + h.Lot
		}
		out = append(out, s+", "+h.Words+".")
	}
	if p.HomeG > 0 && p.ShortG == 0 {
		out = append(out, fmt.Sprintf("That is enough: nothing is to buy, and %s are left over.", unit.MassRange(p.LeftoverG)))
		return out
	}
	var kits []string
	for _, k := range p.Kits {
		kits = append(kits, fmt.Sprintf("%d × %s", k.Count, k.Name))
	}
	if len(kits) > 0 {
		out = append(out, fmt.Sprintf("To buy: at least %s, at the least price %s. Left over: %s; what is opened of it keeps %g months.", unit.Mass(p.ShortG), strings.Join(kits, ", "), unit.MassRange(p.LeftoverG), p.OpenedMonths))
	}
	return out
}

// reasons are why the cups, the times and the stages are what they are.
func (b *book) reasons(pours [][]flow.PlanCup) []string {
	p := &b.r.Plan.Pour
	out := []string{
		fmt.Sprintf("Working time %s, %s: %s. Plan with the short end; all times count from the first stir of a cup.", unit.Spread(p.RoomC, func(c float64) string { return fmt.Sprintf("%g °C", c) }), unit.DurationRange(p.WorkingMin), p.WorkingBy),
		fmt.Sprintf("A cup is at most %s, by %s, and at least %s: less is not weighed well enough on this scale.", unit.Mass(p.LargestG), p.LargestBy, unit.Mass(p.SmallestG)),
	}
	if b.vacuum() {
		out = append(out, fmt.Sprintf("Under the vacuum the mix rises to %s times its volume; the cup has room for it.", unit.Spread(p.Rise, func(v float64) string { return fmt.Sprintf("%.1f", v) })))
	}
	out = append(out, fmt.Sprintf("Bubbles of %s and more rise out before the rubber is too stiff, smaller ones stay: that is why the art is brushed first.", unit.Spread(p.BubbleMM, func(mm float64) string { return unit.Length(math.Round(mm*10) / 10) })))
	if len(pours) > 1 {
		out = append(out, fmt.Sprintf("There are %s, since the next cup is not ready while the last is wet. Fresh rubber bonds to firm clean rubber for %s; release goes only where parts must part.", unit.Count(len(pours), "pour", "pours"), unit.Duration(60*p.BondUntilH)))
	}
	return out
}

// afterPages are the work from the last cup to the first food.
func (b *book) afterPages() {
	p := &b.r.Plan.Pour
	rows := [][2]string{{"cured: not before +" + unit.Duration(60*p.DemouldH) + " from the last cup's first stir", "demoulded"}}
	if p.PostCureH > 0 {
		rows = append(rows, [2]string{fmt.Sprintf("post-cure %s at %.0f °C, warmed up slowly, free on a rack", unit.Duration(60*p.PostCureH), p.PostCureC), "out of the oven"})
	}
	rows = append(rows, [2]string{"washed hot with a mild soap, rinsed, dry", "washed"}, [2]string{"first food, not before +" + unit.Duration(60*p.FirstFoodH.High), "first food"})
	blocks := []block{b.textBlock("Peel the mould off in a wide curve, a corner first, and do not pull at the art.", b.f.text())}
	for _, r := range rows {
		blocks = append(blocks, block{height: 12, draw: func(pg *page, y float64) {
			pg.box(pg.left(), y+1, 5.2, 5.2, none, ink, 0.4)
			pg.within(pg.left()+9, y+5.6, pg.measure()-64, r[0], pg.f.text(), atLeft)
			pg.writeHere(pg.right()-52, y+6, 52, r[1]+", day and clock")
		}})
	}
	blocks = append(blocks, b.mouldBlocks()...)
	blocks = append(blocks, space(2), b.cautionBlock(cautionPrint))
	if p.PostCureH > 0 {
		blocks = append(blocks, b.cautionBlock(cautionOven))
	}
	b.flowing("rubber", "Afterwards: cured, cleaned, ready for food", nil, blocks)
}

var cautionOven = caution{"Ovens burn",
	"For the post-cure keep to the rubber's data sheet and your oven's limits, use gloves against heat, air the room, and do not leave it alone."}
