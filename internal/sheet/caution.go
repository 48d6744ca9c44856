package sheet

import (
	"image/color"

	"github.com/tdewolff/canvas"

	"mouldwright/internal/base/finding"
)

// caution is a boxed warning at the step that it belongs to.
type caution struct {
	title string
	text  string
}

// The usual cautions. They are common practice and no substitute for the sheets
// that come with a material, nor for local rules, which come first.
var (
	cautionResin = caution{"Uncured resin harms skin and water",
		"Wear nitrile gloves and goggles, keep the window open, and let no food into the room. Cure every drop and every wipe before it is thrown away; none goes down a drain. Read your resin's safety sheet first."}
	cautionPrint = caution{"A print never touches food",
		"Printed parts serve to shape the rubber. Only the cured rubber, of a kind declared for food, may touch chocolate."}
	cautionCure = caution{"Rubber may stay sticky on a print",
		"Uncured resin stops addition-cure rubber from setting. Wash and cure the print fully, then try your own rubber on a pad of the same resin, treated in the same way, and wait the full cure time before you pour a tray. No latex gloves: they spoil it too."}
	cautionVacuum = caution{"Vacuum and heat",
		"A vacuum vessel can break inwards: use one made for it, check it for cracks, wear goggles. For the post-cure keep to the rubber's data sheet and your oven's limits, and air the room."}
	cautionFood = caution{"Food: local rules come first",
		"If you give or sell what you make, your local food law and its licences decide, not this sheet. Clean hands, clean tools, clean moulds. Keep fillings as cold and use them as soon as their recipe says."}
	cautionAllergen = caution{"Allergens travel on spatulas",
		"Wash bowls and tools between fillings, make the pieces without allergens first, and write on every box what is in it."}
)

// cautionBox draws a warning. The sign is a triangle, so that it is understood
// without its colour.
func (p *page) cautionBox(x, y, w, h float64, c caution, lines []string) {
	p.box(x, y, w, h, none, stop, 0.5)
	p.sign(x+4, y+3.6, finding.Care, stop)
	p.within(x+13, y+7, w-17, c.title, p.f.textBold().in(stop), atLeft)
	for i, l := range lines {
		p.text(x+13, y+7+0.3+float64(i+1)*leadText, l, p.f.text(), atLeft)
	}
}

// sign draws the shape of a severity, 6 mm wide, its upper left corner at (x, y): an
// octagon for what must stop, a triangle for what needs care, a circle for a note.
func (p *page) sign(x, y float64, s finding.Severity, c color.RGBA) {
	p.c.SetFill(canvas.Paint{})
	p.c.SetStroke(canvas.Paint{Color: c})
	p.c.SetStrokeWidth(0.5)
	p.c.SetStrokeJoiner(canvas.RoundJoin)
	p.c.SetDashes(0)
	st := p.f.labelBold().in(c)
	switch s {
	case finding.Stop:
		const k = 1.757 // 6 mm times (1 - 1/√2)
		p.polygon([][2]float64{{x + k, y}, {x + 6 - k, y}, {x + 6, y + k}, {x + 6, y + 6 - k}, {x + 6 - k, y + 6}, {x + k, y + 6}, {x, y + 6 - k}, {x, y + k}})
		p.text(x+3, y+4, "!", st, atMiddle)
	case finding.Care:
		p.polygon([][2]float64{{x + 3, y + 0.3}, {x + 6, y + 5.6}, {x, y + 5.6}})
		p.text(x+3, y+4.8, "!", st, atMiddle)
	default:
		p.c.DrawPath(x+3, p.height-y-3, canvas.Circle(2.8))
		p.text(x+3, y+4, "i", st, atMiddle)
	}
}

func (p *page) polygon(points [][2]float64) {
	path := &canvas.Path{}
	for i, q := range points {
		if i == 0 {
			path.MoveTo(q[0], p.height-q[1])
		} else {
			path.LineTo(q[0], p.height-q[1])
		}
	}
	path.Close()
	p.c.DrawPath(0, 0, path)
}
