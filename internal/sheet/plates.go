package sheet

import (
	"fmt"
	"path"
	"strings"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
)

// platePages list the plates to print, after the cautions about resin.
func (b *book) platePages() {
	plan := &b.r.Plan
	cols := []column{
		{"file", 52, atLeft, (*faces).textStyle, false},
		{"parts", 38, atLeft, (*faces).labelStyle, false},
		{"layers", 15, atRight, (*faces).textStyle, false},
		{"print time", 30, atRight, (*faces).labelStyle, false},
		{"resin", 17, atRight, (*faces).textStyle, false},
		{"printed on", 22, atLeft, (*faces).textStyle, true},
	}
	var cells [][]string
	for _, q := range plan.Plates {
		file := path.Base(q.File)
		if len(q.SHA256) >= 12 {
			file += "\n" + q.SHA256[:4] + " " + q.SHA256[4:8] + " " + q.SHA256[8:12]
		}
		cells = append(cells, []string{
			file, numberedText(q.Parts, q.PartNumbers), unit.Whole(q.Layers), unit.DurationRange(q.PrintTimeMin), unit.Volume(q.ResinML * 1000), "",
		})
	}
	heading := "No plates to print"
	if n := len(plan.Plates); n > 0 {
		var time unit.Range
		for _, q := range plan.Plates {
			time = time.Plus(q.PrintTimeMin)
		}
		heading = fmt.Sprintf("Print %s: about %s in all", unit.Count(n, "plate", "plates"), unit.Duration(time.Likely))
	}
	var blocks []block
	if s := b.printerText(); s != "" {
		blocks = append(blocks, b.textBlock(s, b.f.text()))
	}
	if s := proofText(plan); s != "" {
		blocks = append(blocks, b.textBlock(s, b.f.text()))
	}
	blocks = append(blocks, b.cautionBlock(cautionResin), b.cautionBlock(cautionPrint))
	blocks = append(blocks, b.tableBlocks(cols, cells)...)
	blocks = append(blocks, b.exposedBlocks()...)
	blocks = append(blocks, b.titleBlock("After printing"))
	blocks = append(blocks, b.stepBlocks(afterPrint)...)
	b.flowing("plates", heading, nil, blocks)
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

// proofText says how short the plates' time is.
func proofText(plan *flow.Plan) string {
	parts := 0
	for _, q := range plan.Plates {
		parts += len(q.Parts)
	}
	time, bound, apart := plan.PlateTimeMin.Likely, plan.PlateTimeBoundMin.Likely, plan.PlateTimeApartMin.Likely
	if parts < 2 || apart == 0 {
		return ""
	}
	s := fmt.Sprintf("One by one the %d parts would take %s; on these plates they take %s. ", parts, unit.Duration(apart), unit.Duration(time))
	if time <= bound+1e-6 {
		return s + "No arrangement is quicker: their areas and heights alone ask for as much."
	}
	return s + fmt.Sprintf("No arrangement can take less than %s, by their areas and heights alone.", unit.Duration(bound))
}

// numberedText lists a plate's parts with the numbers that print them again.
func numberedText(parts []string, numbers []int) string {
	named := make([]string, len(parts))
	for i, p := range parts {
		named[i] = p
		if i < len(numbers) {
			named[i] = fmt.Sprintf("%d %s", numbers[i], p)
		}
	}
	return partsText(named)
}

// partsText lists a plate's parts, the first few by name.
func partsText(parts []string) string {
	const most = 6
	if len(parts) <= most {
		return strings.Join(parts, ", ")
	}
	return strings.Join(parts[:most], ", ") + fmt.Sprintf(" and %s more", unit.Whole(len(parts)-most))
}

// step draws a numbered line of work with a box to tick.
func (p *page) step(x, y float64, n int, lines []string) {
	p.box(x, y-3.2, 3.8, 3.8, none, ink, 0.3)
	p.text(x+6.4, y, fmt.Sprint(n), p.f.textBold(), atLeft)
	for i, l := range lines {
		p.text(x+11, y+float64(i)*leadText, l, p.f.text(), atLeft)
	}
}

// space is an empty block.
func space(h float64) block { return block{height: h, draw: func(*page, float64) {}} }
