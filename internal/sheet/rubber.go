package sheet

import (
	"fmt"
	"math"

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
	blocks = append(blocks, b.titleBlock("The pour"))
	blocks = append(blocks, b.stepBlocks(pouring)...)
	blocks = append(blocks, space(3), b.cautionBlock(cautionVacuum))
	b.flowing("rubber", heading, nil, blocks)
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
