package sheet

import (
	"fmt"
	"math"
	"strings"

	"mouldwright/internal/base/unit"
)

// rubberPages say what to weigh and how high to pour.
func (b *book) rubberPages() {
	plan := &b.r.Plan
	q := plan.Silicone
	heading := fmt.Sprintf("Mix %s of rubber", unit.Mass(q.MassG.Likely))
	s := fmt.Sprintf("The frames take %s. What stays in the cups is counted in", unit.Volume(q.VolumeMM3))
	if r := between(q.MassG, unit.Mass); r != "" {
		s += "; by the rubber's density it is " + r
	}
	s += ". Weigh both parts, do not go by eye."
	cols := []column{
		{"tray", 12, atLeft, (*faces).textStyle, false},
		{"A", 26, atRight, (*faces).weighStyle, false},
		{"A weighed, g", 25, atLeft, (*faces).textStyle, true},
		{"B", 26, atRight, (*faces).weighStyle, false},
		{"B weighed, g", 25, atLeft, (*faces).textStyle, true},
		{"level over base", 30, atRight, (*faces).weighStyle, false},
		{"poured at", 24, atLeft, (*faces).textStyle, true},
	}
	level := map[int]float64{}
	for _, m := range plan.Masters {
		level[m.Tray] = m.RubberMM
	}
	var cells [][]string
	for _, t := range plan.Silicone.Trays {
		cells = append(cells, []string{fmt.Sprint(t.Tray), unit.Mass(t.PartAG), "", unit.Mass(t.PartBG), "", unit.Length(math.Round(level[t.Tray]*10) / 10), ""})
	}
	blocks := []block{b.textBlock(s, b.f.text()), b.cautionBlock(cautionCure)}
	blocks = append(blocks, b.tableBlocks(cols, cells)...)
	blocks = append(blocks, b.cupsBlocks()...)
	blocks = append(blocks, b.titleBlock("The pour"))
	blocks = append(blocks, b.stepBlocks(pouring)...)
	blocks = append(blocks, space(3), b.cautionBlock(cautionVacuum))
	blocks = append(blocks, b.mouldBlocks()...)
	b.flowing("rubber", heading, nil, blocks)
}

// cupsBlocks are the cups in order, and what the times and the kits are; without cups
// nothing. The bench sheets have the cups in large type.
func (b *book) cupsBlocks() []block {
	p := &b.r.Plan.Pour
	if len(p.Cups) == 0 {
		return nil
	}
	gate := "Not released: "
	if p.Released {
		gate = "Released: "
	}
	out := []block{b.titleBlock("The cups"), b.textBlock(gate+p.Why+".", b.f.textBold())}
	cols := []column{
		{"cup", 10, atLeft, (*faces).textStyle, false},
		{"A", 18, atRight, (*faces).textStyle, false},
		{"B", 18, atRight, (*faces).textStyle, false},
		{"A so far", 20, atRight, (*faces).textStyle, false},
		{"B so far", 20, atRight, (*faces).textStyle, false},
		{"begin to mix", 22, atRight, (*faces).textStyle, false},
		{"last safe pour", 22, atRight, (*faces).textStyle, false},
		{"into tray, up to", 44, atLeft, (*faces).textStyle, false},
	}
	var cells [][]string
	for _, c := range p.Cups {
		var into []string
		for _, f := range c.Fills {
			into = append(into, fmt.Sprintf("%d: %s", f.Tray, unit.Length(math.Round(f.LevelMM*10)/10)))
		}
		begin := "+" + unit.Duration(c.BeginMin)
		if c.BeginMin == 0 {
			begin = "at once"
			if c.Stage > 1 {
				begin = "when firm"
			}
		}
		cells = append(cells, []string{fmt.Sprint(c.Number), b.grams(c.PartAG), b.grams(c.PartBG), b.grams(c.TotalAG), b.grams(c.TotalBG), begin, "+" + unit.Duration(c.LastPourMin), strings.Join(into, ", ")})
	}
	out = append(out, b.tableBlocks(cols, cells)...)
	out = append(out, space(3))
	s := fmt.Sprintf("Working time %s (%s). Cure %s (%s): demould after %s. First food after %s.", unit.DurationRange(p.WorkingMin), p.WorkingBy, unit.DurationRange(hours(p.CureH)), p.CureBy, unit.Duration(60*p.DemouldH), unit.Duration(60*p.FirstFoodH.High))
	s += fmt.Sprintf(" Bubbles of %s and more rise out; smaller ones stay, so brush the art first.", unit.Spread(p.BubbleMM, func(mm float64) string { return unit.Length(math.Round(mm*100) / 100) }))
	out = append(out, b.textBlock(s, b.f.text()))
	buy := fmt.Sprintf("Have %s of rubber, the pads of the cure test and a reserve counted in", unit.Mass(p.BuyG))
	if p.HomeG > 0 {
		buy += fmt.Sprintf("; %s are at home", unit.Mass(p.HomeG))
	}
	for i, k := range p.Kits {
		if i == 0 {
			buy += ": buy "
		} else {
			buy += ", "
		}
		buy += fmt.Sprintf("%d × %s", k.Count, k.Name)
	}
	if len(p.Kits) > 0 {
		buy += fmt.Sprintf("; %s are left over and keep %g months once opened", unit.MassRange(p.LeftoverG), p.OpenedMonths)
	}
	return append(out, b.textBlock(buy+".", b.f.text()))
}

// mouldBlocks say what the cured mould is like, and whether food may touch it.
func (b *book) mouldBlocks() []block {
	m := &b.r.Plan.Mould
	if len(m.Trays) == 0 {
		return nil
	}
	out := []block{b.titleBlock("The mould")}
	cols := []column{
		{"tray", 12, atLeft, (*faces).textStyle, false},
		{"weighs", 24, atRight, (*faces).textStyle, false},
		{"bridges", 30, atRight, (*faces).textStyle, false},
		{"board", 22, atLeft, (*faces).textStyle, false},
		{"frame bulges, at most", 34, atRight, (*faces).textStyle, false},
		{"unsealed, it loses up to", 40, atRight, (*faces).textStyle, false},
	}
	whole := func(mm float64) string { return unit.Length(math.Round(mm)) }
	var cells [][]string
	for _, t := range m.Trays {
		board := "none"
		if t.NeedsBoard {
			board = "needs one"
		}
		cells = append(cells, []string{fmt.Sprint(t.Tray), unit.Mass(t.MassG.Likely), unit.Spread(t.SpanMM, whole), board, bulge(t.BulgeMM.High), unit.Mass(t.LeakG.High)})
	}
	out = append(out, b.tableBlocks(cols, cells)...)
	out = append(out, space(3), b.textBlock(fmt.Sprintf("Peeled off, it is stretched by %s, allowed %s. Count on %.0f to %.0f casts%s.", unit.Spread(m.Stretch, unit.Share), unit.Share(m.StretchAllowed), m.Casts.Low, m.Casts.High, ownCasts(m.CastsFrom)), b.f.text()))
	for _, s := range b.r.Plan.Pour.FoodCheck {
		out = append(out, b.textBlock(s, b.f.text()))
	}
	return out
}

// ownCasts says what a number of casts is known from.
func ownCasts(n int) string {
	if n == 0 {
		return ", which is common practice"
	}
	return ", by " + unit.Count(n, "mould", "moulds") + " of yours"
}

// bulge words how far a panel gives way; what nobody can measure is no number.
func bulge(mm float64) string {
	if mm < 0.05 {
		return "under 0.05 mm"
	}
	return unit.Length(math.Round(mm*100) / 100)
}

func (f *faces) weighStyle() style { return f.big() }

var pouring = []string{
	"Seal every seam of the frame: rubber finds each gap. Set the tray level.",
	"Weigh A, then B on top. Mix slowly, scrape the sides and the bottom, pour into a second cup and mix again.",
	"If you have a vacuum: let it rise, collapse and calm. The cup should hold three to five times the mix.",
	"Brush a first coat into the art. Then pour thin and from high up into one corner, and let it climb over the pieces.",
	"Stop at the line. Note the time and the room's temperature; warmth shortens everything, below about 18 °C it may not set.",
	"Demould after the full cure. Trim, post-cure as the data sheet says for food, wash.",
}
