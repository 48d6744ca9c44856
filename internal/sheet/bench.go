package sheet

import (
	"context"
	"io"
	"math"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/pour"
)

// WriteBench writes the pour's own sheets for the bench: the cure test, what is made
// ready the evening before, one page in large type for each time that one stands there
// and mixes, and what comes afterwards. Without a cup it says why there is none.
func WriteBench(ctx context.Context, w io.Writer, r *flow.Result, paper string) error {
	b, err := newBenchBook(r, paper)
	if err != nil {
		return err
	}
	return b.write(ctx, w)
}

func newBenchBook(r *flow.Result, paper string) (*book, error) {
	b, err := blank(r, paper)
	if err != nil {
		return nil, err
	}
	pours := b.pours()
	if len(pours) == 0 {
		b.flowing("rubber", "There is no cup to mix", nil, []block{b.textBlock("The rubber cannot be poured by this plan: see the remarks of the job.", b.f.text())})
		return b, nil
	}
	b.testPages()
	b.beforePages(pours)
	for i := range pours {
		b.pourPages(pours, i)
	}
	b.afterPages()
	return b, nil
}

// pours parts the cups where one waits until the rubber is firm: each is one time of
// standing at the bench.
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
func (b *book) grams(g float64) string { return pour.Grams(g, b.scale()) }

// vacuum tells whether the job has one.
func (b *book) vacuum() bool { return b.r.Choices != nil && b.r.Choices.Bench.VacuumHPa > 0 }

// gateBlock says whether the pour is released, in a box, and why; a pad that is looked at
// later is noted in it.
func (b *book) gateBlock() block {
	p := &b.r.Plan.Pour
	words, c := "Not released: "+p.Why+".", stop
	if p.Released {
		words, c = "Released: "+p.Why+".", do
	}
	lines := b.f.lines(words, b.f.big().in(c), b.measureOf()-10)
	h := 4.4 + float64(len(lines))*leadBig
	return block{height: h + 3, draw: func(pg *page, y float64) {
		pg.box(pg.left(), y, pg.measure(), h, none, c, 0.5)
		for i, l := range lines {
			pg.text(pg.left()+5, y+6.8+float64(i)*leadBig, l, b.f.big().in(c), atLeft)
		}
	}}
}

// shortGate is the same in one line, for the bench.
func (b *book) shortGate() block {
	p := &b.r.Plan.Pour
	const h = 10.6
	return block{height: h + 2.4, draw: func(pg *page, y float64) {
		c := stop
		if p.Released {
			c = do
		}
		pg.box(pg.left(), y, pg.measure(), h, none, c, 0.5)
		if p.Released {
			pg.within(pg.left()+5, y+7, pg.measure()-10, "Released: "+p.Why+".", pg.f.big().in(c), atLeft)
			return
		}
		pg.box(pg.left()+5, y+2.4, 5.2, 5.2, none, c, 0.4)
		w := pg.text(pg.left()+14, y+7, "Not released. The test came out clean on", pg.f.big().in(c), atLeft)
		pg.line(pg.left()+14+w+2, y+7.6, pg.right()-5, y+7.6, 0.3, c)
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
		h := float64(max(len(set[0]), len(set[1])))*leadBig + 1.8
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

func hours(r unit.Range) unit.Range { return r.Scale(60) }

// soonest words a moment that must not be missed: its minutes are cut, not rounded.
func soonest(min float64) string { return "+" + unit.Duration(math.Floor(min+1e-9)) }
