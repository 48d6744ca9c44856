package sheet

import (
	"fmt"
	"strings"

	"mouldwright/internal/base/unit"
)

// platePages list the plates to print, after the cautions about resin.
func (b *book) platePages() {
	plan := &b.r.Plan
	cols := []column{
		{"file", 46, atLeft, (*faces).textStyle, false},
		{"parts", 40, atLeft, (*faces).labelStyle, false},
		{"layers", 15, atRight, (*faces).textStyle, false},
		{"print time", 34, atRight, (*faces).labelStyle, false},
		{"resin", 17, atRight, (*faces).textStyle, false},
		{"printed on", 22, atLeft, (*faces).textStyle, true},
	}
	var cells [][]string
	for _, q := range plan.Plates {
		file := q.File
		if len(q.SHA256) >= 12 {
			file += "\n" + q.SHA256[:4] + " " + q.SHA256[4:8] + " " + q.SHA256[8:12]
		}
		cells = append(cells, []string{
			file, partsText(q.Parts), unit.Whole(q.Layers), unit.DurationRange(q.PrintTimeMin), unit.Volume(q.ResinML * 1000), "",
		})
	}
	b.add("plates", func(p *page) error {
		s := "No plates to print."
		if n := len(plan.Plates); n > 0 {
			var time unit.Range
			for _, q := range plan.Plates {
				time = time.Plus(q.PrintTimeMin)
			}
			s = fmt.Sprintf("Print %s: about %s in all", unit.Count(n, "plate", "plates"), unit.Duration(time.Likely))
		}
		y := p.heading(s)
		y = p.paragraph(p.left(), y, min(p.measure(), 118), b.printerText(), p.f.text(), leadText)
		y += 3
		y = p.cautionBox(p.left(), y, p.measure(), cautionResin)
		y = p.cautionBox(p.left(), y, p.measure(), cautionPrint)
		y += 4
		p.text(p.left(), y, "After printing", p.f.big(), atLeft)
		y += 7
		for i, t := range afterPrint {
			y = p.step(p.left(), y, min(p.measure(), 130), i+1, t)
		}
		return nil
	})
	b.listPages("plates", "The plates", cols, cells)
}

var afterPrint = []string{
	"Let the parts drip, wash them twice in clean wash, and blow them dry.",
	"Cure them on every side until nothing is tacky. Thick parts take longer than their timer says.",
	"Look at the art through a lens: what you see there, the chocolate will show.",
	"Try keys and pegs dry before anything is glued.",
}

func (b *book) printerText() string {
	c := b.r.Choices
	if c == nil {
		return ""
	}
	pr := c.Printer
	return fmt.Sprintf("Plate %s × %s, pixel %s, layers of %s. Every part stands flat with its art away from the plate. The twelve signs under each file name are the start of its SHA-256: compare them before you print.",
		unit.Length(pr.PlateWidthMM), unit.Length(pr.PlateDepthMM), unit.Length(pr.PixelMM), unit.Length(pr.LayerMM))
}

// partsText lists a plate's parts, the first few by name.
func partsText(parts []string) string {
	const most = 6
	if len(parts) <= most {
		return strings.Join(parts, ", ")
	}
	return strings.Join(parts[:most], ", ") + fmt.Sprintf(" and %s more", unit.Whole(len(parts)-most))
}

// step is a numbered line of work with a box to tick, and gives the next base line.
func (p *page) step(x, y, w float64, n int, s string) float64 {
	p.box(x, y-3.2, 3.8, 3.8, none, ink, 0.3)
	p.text(x+6.4, y, fmt.Sprint(n), p.f.textBold(), atLeft)
	return p.paragraph(x+11, y, w-11, s, p.f.text(), leadText) + 1.6
}
