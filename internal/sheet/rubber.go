package sheet

import (
	"fmt"

	"mouldwright/internal/base/unit"
)

// rubberPages say what to weigh and how high to pour.
func (b *book) rubberPages() {
	plan := &b.r.Plan
	b.add("rubber", func(p *page) error {
		q := plan.Silicone
		y := p.heading(fmt.Sprintf("Mix %s of rubber: %s of A and %s of B", unit.Mass(q.MassG.Likely), unit.Mass(q.PartAG), unit.Mass(q.PartBG)))
		s := fmt.Sprintf("The frames take %s. What stays in the cups is counted in", unit.Volume(q.VolumeMM3))
		if r := between(q.MassG, unit.Mass); r != "" {
			s += "; by the rubber's density it is " + r
		}
		y = p.paragraph(p.left(), y, min(p.measure(), 118), s+". Weigh A and B, do not measure them by eye.", p.f.text(), leadText)
		y += 3
		y = p.cautionBox(p.left(), y, p.measure(), cautionCure)
		y = p.cautionBox(p.left(), y, p.measure(), cautionVacuum)
		y += 4
		p.text(p.left(), y, "The pour", p.f.big(), atLeft)
		y += 7
		for i, t := range pouring {
			y = p.step(p.left(), y, min(p.measure(), 130), i+1, t)
		}
		return nil
	})
	cols := []column{
		{"tray", 14, atLeft, (*faces).textStyle, false},
		{"A", 26, atRight, (*faces).weighStyle, false},
		{"A weighed, g", 26, atLeft, (*faces).textStyle, true},
		{"B", 26, atRight, (*faces).weighStyle, false},
		{"B weighed, g", 26, atLeft, (*faces).textStyle, true},
		{"level over base", 26, atRight, (*faces).weighStyle, false},
		{"poured at", 24, atLeft, (*faces).textStyle, true},
	}
	level := map[int]float64{}
	for _, m := range plan.Masters {
		level[m.Tray] = m.RubberMM
	}
	var cells [][]string
	for _, t := range plan.Silicone.Trays {
		cells = append(cells, []string{fmt.Sprint(t.Tray), unit.Mass(t.PartAG), "", unit.Mass(t.PartBG), "", unit.Length(level[t.Tray]), ""})
	}
	b.listPages("rubber", "Weigh for each tray", cols, cells)
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
