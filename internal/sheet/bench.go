package sheet

import (
	"context"
	"fmt"
	"io"
	"math"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/pour"
)

// WriteBench writes the pour's own sheets, in large type for the bench: one run of
// pages for each pour, which is the cups that are mixed one after the other. Without
// a cup it says why there is none.
func WriteBench(ctx context.Context, w io.Writer, r *flow.Result, paper string) error {
	size, ok := Papers[paper]
	if !ok {
		return fmt.Errorf("sheet: no paper %q; allowed: A4, Letter", paper)
	}
	b, err := newBenchBook(r, size)
	if err != nil {
		return err
	}
	return b.write(ctx, w)
}

func newBenchBook(r *flow.Result, size [2]float64) (*book, error) {
	f, err := newFaces()
	if err != nil {
		return nil, err
	}
	b := &book{r: r, f: f, size: size}
	pours := b.pours()
	for i := range pours {
		b.pourPages(pours, i)
	}
	if len(pours) == 0 {
		b.flowing("rubber", "There is no cup to mix", nil, []block{b.textBlock("The rubber cannot be poured by this plan: see the remarks of the job.", b.f.text())})
	}
	if len(b.sheets) > MaxPages {
		return nil, fmt.Errorf("sheet: %d pages needed, allowed %d; take larger cups", len(b.sheets), MaxPages)
	}
	return b, nil
}

// pours parts the cups where one waits until the rubber is firm.
func (b *book) pours() (out [][]flow.PlanCup) {
	for i, c := range b.r.Plan.Pour.Cups {
		if i == 0 || c.Stage != b.r.Plan.Pour.Cups[i-1].Stage {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], c)
	}
	return out
}

// grams words a mass as the scale shows it.
func (b *book) grams(g float64) string {
	step := 0.1
	if b.r.Choices != nil && b.r.Choices.Bench.ScaleG > 0 {
		step = b.r.Choices.Bench.ScaleG
	}
	return pour.Grams(g, step)
}

// vacuum tells whether the job has one.
func (b *book) vacuum() bool { return b.r.Choices != nil && b.r.Choices.Bench.VacuumHPa > 0 }

// pourPages are one pour: make ready, the cups, the trays, and what comes after.
func (b *book) pourPages(pours [][]flow.PlanCup, i int) {
	cups, p := pours[i], &b.r.Plan.Pour
	sumA, sumB := 0.0, 0.0
	for _, c := range cups {
		sumA, sumB = sumA+c.PartAG, sumB+c.PartBG
	}
	name := "Pour"
	if len(pours) > 1 {
		name = fmt.Sprintf("Pour %d of %d", i+1, len(pours))
	}
	heading := fmt.Sprintf("%s: %s, A %s, B %s", name, unit.Count(len(cups), "cup", "cups"), b.grams(sumA), b.grams(sumB))
	blocks := []block{b.gateBlock()}
	if i == 0 {
		blocks = append(blocks, b.ticksBlocks(b.makeReady(cups))...)
	} else {
		s := fmt.Sprintf("Begin when the rubber in the tray is firm, %s after the pour before it was begun, and not later than %s after it: so long fresh rubber bonds to it. Nothing may lie between: no dust, no fingerprint, no release. Release goes only where parts must part.",
			unit.DurationRange(hours(p.FirmFromH)), unit.Duration(60*p.BondUntilH))
		blocks = append(blocks, b.textBlock(s, b.f.textBold()))
		blocks = append(blocks, b.ticksBlocks([]string{"Stir A and B in their tins again.", "Wipe the cured rubber with a clean dry cloth."})...)
	}
	blocks = append(blocks, space(3))
	for _, c := range cups {
		blocks = append(blocks, b.cupBlock(c))
	}
	for _, t := range b.traysOf(cups) {
		blocks = append(blocks, b.pouredTrayBlock(t, cups))
	}
	blocks = append(blocks, b.afterBlocks(i == len(pours)-1)...)
	blocks = append(blocks, space(3), b.cautionBlock(cautionGloves))
	if b.vacuum() || p.PostCureH > 0 {
		blocks = append(blocks, b.cautionBlock(cautionVacuum))
	}
	b.flowing("rubber", heading, nil, blocks)
}

var cautionGloves = caution{"Gloves of nitrile or vinyl, never latex",
	"Latex, sulphur, tin-cure rubber and what has touched it keep this rubber from setting. Rubber on skin comes off with a dry cloth, then soap. Keep it off clothes: it does not come out."}

func (b *book) makeReady(cups []flow.PlanCup) []string {
	out := []string{
		"Stir A in its tin, to the floor.",
		"Stir B, with another stick.",
		"Gloves: nitrile, never latex.",
		"Frames sealed, trays level.",
		fmt.Sprintf("Two clean cups of %.0f ml, scale, brush, clock.", cups[0].CupML),
	}
	if c := b.r.Choices; c != nil {
		out = append(out, fmt.Sprintf("Room and rubber %.0f–%.0f °C, now ______", c.Bench.RoomC.Low, c.Bench.RoomC.High))
	}
	if b.vacuum() {
		out = append(out, "Vessel whole, goggles on.")
	}
	return out
}

// gateBlock says whether the pour is released, in a box.
func (b *book) gateBlock() block {
	p := &b.r.Plan.Pour
	word, c := "Not released: ", stop
	if p.Released {
		word, c = "Released: ", do
	}
	lines := b.f.lines(word+p.Why+".", b.f.big().in(c), b.measureOf()-10)
	h := 5 + float64(len(lines))*leadBig
	if !p.Released {
		h += 9
	}
	return block{height: h + 3, draw: func(pg *page, y float64) {
		pg.box(pg.left(), y, pg.measure(), h, none, c, 0.5)
		for i, l := range lines {
			pg.text(pg.left()+5, y+7+float64(i)*leadBig, l, b.f.big().in(c), atLeft)
		}
		if !p.Released {
			at := y + h - 4
			pg.box(pg.left()+5, at-4.4, 5, 5, none, ink, 0.35)
			pg.text(pg.left()+13, at, "This very combination came out clean on", pg.f.text(), atLeft)
			pg.line(pg.left()+84, at+0.6, pg.left()+130, at+0.6, 0.25, ink)
		}
	}}
}

// ticksBlocks are lines of work in large type, two beside each other, each with a box to
// tick.
func (b *book) ticksBlocks(lines []string) (out []block) {
	const gap = 6.0
	w := (b.measureOf() - gap) / 2
	for i := 0; i < len(lines); i += 2 {
		var set [2][]string
		for k := range set {
			if i+k < len(lines) {
				set[k] = b.f.lines(lines[i+k], b.f.big(), w-9)
			}
		}
		h := float64(max(len(set[0]), len(set[1])))*leadBig + 2.4
		out = append(out, block{height: h, draw: func(p *page, y float64) {
			for k, l := range set {
				x := p.left() + float64(k)*(w+gap)
				if l == nil {
					continue
				}
				p.box(x, y+1, 5.2, 5.2, none, ink, 0.4)
				for n, t := range l {
					p.text(x+9, y+5.8+float64(n)*leadBig, t, p.f.big(), atLeft)
				}
			}
		}})
	}
	return out
}

// cupBlock is one cup: what to weigh with boxes to tick, the running totals, blanks for
// what it really was, and the clock.
func (b *book) cupBlock(c flow.PlanCup) block {
	mix := 0.0
	if b.r.Choices != nil {
		mix = b.r.Choices.Pour.MixMin
	}
	into := ""
	for i, f := range c.Fills {
		if i > 0 {
			into += ", then "
		}
		into += fmt.Sprintf("tray %d up to %s", f.Tray, unit.Length(math.Round(f.LevelMM*10)/10))
	}
	type blank struct{ what, when string }
	blanks := []blank{{"began to stir", "0 min"}, {"stirred", "+" + unit.Duration(mix)}}
	if b.vacuum() {
		blanks = append(blanks, blank{"vacuum off", "+" + unit.Duration(c.ReadyMin)})
	}
	blanks = append(blanks, blank{"last safe pour", "+" + unit.Duration(c.LastPourMin)}, blank{"poured", ""})
	return block{height: 51.5, draw: func(p *page, y float64) {
		x, w := p.left(), p.measure()
		p.line(x, y, x+w, y, 0.5, ink)
		p.text(x, y+9, fmt.Sprintf("Cup %d", c.Number), p.f.big(), atLeft)
		p.within(x, y+14, 26, fmt.Sprintf("%.0f ml", c.CupML), p.f.text(), atLeft)
		col := (w - 28) / 2
		part := func(at float64, name string, g, total float64) {
			p.box(at, y+4, 7, 7, none, ink, 0.45)
			p.text(at+10, y+11, name, p.f.big(), atLeft)
			p.within(at+17, y+11.4, col-17, b.grams(g), p.f.head(), atLeft)
			p.within(at+10, y+16.4, col-12, fmt.Sprintf("with it %s of %s are out", b.grams(total), name), p.f.text(), atLeft)
			p.line(at+10, y+25, at+45, y+25, 0.25, ink)
			p.text(at+46.5, y+25, "g", p.f.text(), atLeft)
			p.text(at+10, y+29, "really weighed", p.f.text(), atLeft)
		}
		part(x+28, "A", c.PartAG, c.TotalAG)
		part(x+28+col, "B", c.PartBG, c.TotalBG)
		p.within(x, y+36, w, "Pour: "+into+" over the base.", p.f.textBold(), atLeft)
		step := w / float64(len(blanks))
		for i, k := range blanks {
			at := x + float64(i)*step
			p.text(at+8, y+44, ":", p.f.big(), atMiddle)
			p.line(at, y+44.4, at+7, y+44.4, 0.25, ink)
			p.line(at+9, y+44.4, at+16, y+44.4, 0.25, ink)
			p.within(at+18, y+44, step-18, k.when, p.f.text(), atLeft)
			p.within(at, y+48.6, step-1, k.what, p.f.text(), atLeft)
		}
	}}
}

func hours(r unit.Range) unit.Range { return r.Scale(60) }

// afterBlocks say when to demould and when food may touch it.
func (b *book) afterBlocks(last bool) []block {
	if !last {
		return nil
	}
	p := &b.r.Plan.Pour
	rows := [][2]string{
		{"cured, not before +" + unit.Duration(60*p.DemouldH) + " from the last cup's first stir", "demoulded"},
	}
	if p.PostCureH > 0 {
		rows = append(rows, [2]string{fmt.Sprintf("post-cure %s at %.0f °C, then cool, wash, dry", unit.Duration(60*p.PostCureH), p.PostCureC), "out of the oven"})
	}
	rows = append(rows, [2]string{"first food, not before +" + unit.Duration(60*p.FirstFoodH.High), "first food"})
	out := []block{b.titleBlock("Afterwards")}
	for _, r := range rows {
		out = append(out, block{height: 10.5, draw: func(pg *page, y float64) {
			pg.box(pg.left(), y+1, 5.2, 5.2, none, ink, 0.4)
			pg.within(pg.left()+9, y+5.6, pg.measure()-64, r[0], pg.f.text(), atLeft)
			pg.line(pg.right()-52, y+5.8, pg.right(), y+5.8, 0.25, ink)
			pg.within(pg.right()-52, y+9, 52, r[1]+", day and clock", pg.f.label(), atLeft)
		}})
	}
	board := false
	for _, t := range b.r.Plan.Mould.Trays {
		board = board || t.NeedsBoard
	}
	if board {
		out = append(out, b.textBlock("Keep a board under the mould whenever it is filled: it sags without one.", b.f.text()))
	}
	for _, s := range p.FoodCheck {
		out = append(out, b.textBlock(s, b.f.text()))
	}
	return out
}
