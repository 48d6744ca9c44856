package sheet

import (
	"context"
	"fmt"
	"io"
	"math"
	"strings"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/kitchen/evening"
)

// WriteKitchen writes the sheets that lie beside the stove, in large type: what to make
// before the evening, a card for each filling, a page for each mould, the evening.
func WriteKitchen(ctx context.Context, w io.Writer, r *flow.Result, paper string) error {
	b, err := newKitchen(r, paper)
	if err != nil {
		return err
	}
	return b.write(ctx, w)
}

func newKitchen(r *flow.Result, paper string) (*book, error) {
	b, err := blank(r, paper)
	if err != nil {
		return nil, err
	}
	b.readyPage()
	for i := range r.Plan.Kitchen.Fillings {
		b.recipePage(&r.Plan.Kitchen.Fillings[i])
	}
	if r.Master != nil && r.Choices != nil {
		for i := range r.Master.Trays {
			b.mouldPage(i)
		}
	}
	b.eveningPage()
	return b, nil
}

// large is text to be read at an arm's length.
func (f *faces) large() style { return style{f.serif, sizeBig, ink} }

// largeBlock is a paragraph in large type.
func (b *book) largeBlock(s string) block {
	lines := b.f.lines(s, b.f.large(), b.measureOf())
	return block{height: float64(len(lines))*leadBig + 3, draw: func(p *page, y float64) {
		for i, l := range lines {
			p.text(p.left(), y+5+float64(i)*leadBig, l, p.f.large(), atLeft)
		}
	}}
}

// doing is one step in large type: what to do, and the numbers for it.
type doing struct {
	title string
	lines []string
	write []string // what is noted by hand
}

func (b *book) doingBlocks(list []doing) (out []block) {
	const indent = 14.0
	for i, d := range list {
		var lines []string
		for _, l := range d.lines {
			lines = append(lines, b.f.lines(l, b.f.large(), b.measureOf()-indent)...)
		}
		h := 7 + float64(len(lines))*leadBig + 3
		if len(d.write) > 0 {
			h += 11
		}
		out = append(out, block{height: h, draw: func(p *page, y float64) {
			p.line(p.left(), y, p.right(), y, hair, rule)
			p.box(p.left(), y+3.2, 6, 6, none, ink, 0.4)
			p.text(p.left()+9, y+8, fmt.Sprint(i+1), p.f.big().in(soft), atMiddle)
			p.within(p.left()+indent, y+8, p.measure()-indent, d.title, p.f.big(), atLeft)
			for n, l := range lines {
				p.text(p.left()+indent, y+8+float64(n+1)*leadBig, l, p.f.large(), atLeft)
			}
			if len(d.write) > 0 {
				at := p.left() + indent
				w := (p.measure() - indent) / float64(len(d.write))
				for _, what := range d.write {
					p.writeHere(at, y+h-4.4, w-6, what)
					at += w
				}
			}
		}})
	}
	return out
}

// readyPage is what comes before the evening.
func (b *book) readyPage() {
	plan := &b.r.Plan
	k := &plan.Kitchen
	buy := 0.0
	var list []doing
	for _, c := range k.Chocolate {
		buy += c.BuyG.Likely
		list = append(list, doing{"Temper " + unit.Mass(c.BuyG.Likely) + " of " + c.Name, []string{
			fmt.Sprintf("Melt %s to %s. Take it off the heat, stir in %s solid, the last of it in small portions. Work at %s.",
				unit.Mass(c.MeltG.Likely), unit.Spread(c.MeltC, celsius), unit.Mass(c.SeedG.Likely), unit.Spread(c.WorkC, celsius)),
			fmt.Sprintf("Try a knife's point: it sets within minutes, even and glossy. The bowl stays in its band for %s; warm it gently before you pour. After %s it has thickened: melt and temper it anew.",
				unit.Duration(c.WorkMin.Likely), unit.Duration(c.ThickMin.Likely)),
		}, []string{"melted, g", "seed, g", "working at, °C"}})
	}
	head := fmt.Sprintf("Before the evening: %s of chocolate", unit.Mass(buy))
	if plan.FillingMassG > 0 {
		head += fmt.Sprintf(", %s of filling", unit.Mass(plan.FillingMassG))
	}
	var blocks []block
	c := cautionAllergen
	if s := b.allergens(); s != "" {
		c.text += " In this job: " + s + "."
	}
	blocks = append(blocks, b.cautionBlock(c), b.cautionBlock(cautionFood))
	ready := doing{"Make the fillings", []string{"Their cards follow. They must be cool when they go in:"}, nil}
	for _, f := range k.Fillings {
		l := fmt.Sprintf("%s: %s", f.Name, unit.Mass(massOf(&f)))
		if f.SafeC > 0 {
			l += fmt.Sprintf(", at %s or less", celsius(math.Min(f.SafeC, practiceC)))
		}
		ready.lines = append(ready.lines, l+".")
	}
	list = append([]doing{{"Wash and dry the moulds", []string{"Lay a board under each. No drop of water may stay in the art."}, nil}}, list...)
	if len(k.Fillings) > 0 {
		list = append([]doing{ready}, list...)
	}
	blocks = append(blocks, b.doingBlocks(list)...)
	room := 20.0
	if b.r.Choices != nil {
		room = b.r.Choices.Kitchen.RoomC
	}
	for i := range k.Chocolate {
		blocks = append(blocks, b.titleBlock("Tempering "+k.Chocolate[i].Name), b.temperBlock(&k.Chocolate[i], room))
	}
	b.flowing("kitchen", head, nil, blocks)
}

// practiceC is where common practice stops with a filling's warmth (no source).
const practiceC = 28.0

func massOf(f *flow.PlanKeeping) float64 {
	if f.MassG == nil {
		return 0
	}
	return f.MassG.Likely
}

// recipePage is the card of one filling.
func (b *book) recipePage(f *flow.PlanKeeping) {
	var blocks []block
	if f.SafeC > 0 {
		s := fmt.Sprintf("It may go into the shells at %s or less.", celsius(math.Min(f.SafeC, practiceC)))
		if f.Pipes != nil && !*f.Pipes {
			s += " It goes through a bag only when it is warmer: spoon it in, or thin it."
		}
		blocks = append(blocks, b.largeBlock(s))
	}
	if len(f.Ingredients) == 0 {
		blocks = append(blocks, b.largeBlock("This filling has no recipe in the job: weigh and note what you take."))
	}
	var rows [][]string
	for _, a := range f.Ingredients {
		rows = append(rows, []string{a.Name, unit.Mass(a.MassG), ""})
	}
	if len(rows) > 0 {
		blocks = append(blocks, b.tableBlocks([]column{
			{"ingredient", 84, atLeft, (*faces).largeStyle, false},
			{"weigh", 34, atRight, (*faces).weighStyle, false},
			{"weighed, g", 44, atLeft, (*faces).textStyle, true},
		}, rows)...)
	}
	blocks = append(blocks, space(3))
	if f.Method != "" {
		blocks = append(blocks, b.largeBlock(f.Method))
	}
	if f.CookedPct > 0 {
		in := 0.0
		for _, a := range f.Ingredients {
			in += a.MassG
		}
		blocks = append(blocks, b.largeBlock(fmt.Sprintf("Cook it down from %s to %s, so that %g %% of water stays: put pot and all on the scales.", unit.Mass(in), unit.Mass(massOf(f)), f.CookedPct)))
	}
	if f.Activity != nil && f.Days != nil {
		blocks = append(blocks, b.waterBlock(*f.Activity))
		blocks = append(blocks, b.textBlock(fmt.Sprintf("By this estimate it keeps %.0f-%.0f days, %s: %s. It is an estimate from the recipe, no laboratory measurement; local food rules come first.", f.Days.Low, f.Days.High, f.Storage, f.Basis), b.f.text()))
	}
	s := "In it: " + strings.Join(f.Allergens, ", ") + "."
	if len(f.Allergens) == 0 {
		s = "No allergen is declared for it; look at your packages."
	}
	blocks = append(blocks, b.textBlock(s, b.f.textBold()))
	for _, w := range f.Warnings {
		blocks = append(blocks, b.cautionBlock(caution{sentence(f.Name), sentence(w) + "."}))
	}
	b.flowing("kitchen", fmt.Sprintf("%s: %s", sentence(f.Name), unit.Mass(massOf(f))), nil, blocks)
}

func (f *faces) largeStyle() style { return f.large() }

// eveningPage is the whole evening: its lines of time, and every step of the first round.
func (b *book) eveningPage() {
	k := &b.r.Plan.Kitchen
	if len(k.Evening) == 0 {
		return
	}
	blocks := []block{b.eveningBlock(), b.textBlock(k.Second.Verdict, b.f.text())}
	var rows [][]string
	for _, s := range together(k.Evening) {
		of := s.Bowl
		if s.Mould != "" {
			of = fmt.Sprintf("%s, round %d", s.Mould, s.Round)
		}
		rows = append(rows, []string{clock(s.StartMin), of, s.What, unit.Duration(s.EndMin - s.StartMin)})
	}
	blocks = append(blocks, b.tableBlocks([]column{
		{"from the start", 24, atLeft, (*faces).textStyle, false},
		{"where", 46, atLeft, (*faces).textStyle, false},
		{"what", 78, atLeft, (*faces).textStyle, false},
		{"takes", 24, atRight, (*faces).textStyle, false},
	}, rows[:min(len(rows), maxEvening)])...)
	b.flowing("kitchen", fmt.Sprintf("The evening: %s, %s", unit.Count(k.Rounds, "round", "rounds"), unit.Duration(k.EveningMin)), nil, blocks)
}

// together joins what hands do to one mould without a pause, and leaves out the bowls
// that are warmed before each pour anyway.
func together(steps []flow.PlanStep) (list []flow.PlanStep) {
	const pause = 8.0 // min: bowls are warmed, or another mould is looked after
	last := map[string]int{}
	for _, s := range steps {
		if s.What == evening.Warm {
			continue
		}
		if i, ok := last[s.Mould]; ok && s.Mould != "" && s.Hands && list[i].Hands && list[i].Round == s.Round && s.StartMin-list[i].EndMin < pause {
			list[i].What += ", " + s.What
			list[i].EndMin = s.EndMin
			continue
		}
		last[s.Mould] = len(list)
		list = append(list, s)
	}
	return list
}

// maxEvening bounds the printed steps; plan.json has them all.
const maxEvening = 600
