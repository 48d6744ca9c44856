package sheet

import (
	"context"
	"fmt"
	"image"
	"image/color"

	"github.com/tdewolff/canvas"
)

// Margins of every page in mm. Printers leave 5-6 mm blank, holes for a binder
// reach 16 mm in from the left.
const (
	marginLeft   = 22.0
	marginRight  = 16.0
	marginTop    = 24.0
	marginBottom = 19.0
)

// page is one side of paper. Places are mm from its upper left corner, as one reads.
type page struct {
	book          *book
	f             *faces
	ctx           context.Context // of the writing
	c             *canvas.Context
	width, height float64
	number        int
	stage         string
	under         float64 // base line below the heading, once it is set
}

// left, right, top and bottom bound what a page may hold.
func (p *page) left() float64   { return marginLeft }
func (p *page) right() float64  { return p.width - marginRight }
func (p *page) top() float64    { return marginTop }
func (p *page) bottom() float64 { return p.height - marginBottom }
func (p *page) measure() float64 {
	return p.right() - p.left()
}

// align says which part of a text stands at its place.
type align int

const (
	atLeft align = iota
	atMiddle
	atRight
)

// text sets one line on the base line y. Text that leaves the page is kept for the
// book's test.
func (p *page) text(x, y float64, s string, st style, a align) float64 {
	s = spaces.Replace(s)
	w := p.f.width(s, st)
	switch a {
	case atMiddle:
		x -= w / 2
	case atRight:
		x -= w
	}
	if x < 4 || x+w > p.width-4 || y < 4 || y > p.height-4 {
		p.book.spilled = append(p.book.spilled, fmt.Sprintf("page %d: %q at %.1f, %.1f, %.1f wide", p.number, s, x, y, w))
	}
	at := x
	for _, r := range p.f.runs(s, st) {
		if r.font == nil {
			em := st.sizePt * mmPerPt
			p.c.SetFill(canvas.Paint{Color: st.colour})
			p.c.SetStroke(canvas.Paint{})
			p.c.DrawPath(at, p.height-y, p.f.outline(r.text, st).path.Copy().Scale(em, em))
			p.say(at, y, p.f.runWidth(r, st), r.text)
		} else {
			p.c.DrawText(at, p.height-y, canvas.NewTextLine(r.font.Face(st.sizePt, st.colour), r.text, canvas.Left))
		}
		at += p.f.runWidth(r, st)
	}
	return w
}

// within sets one line that must not be wider than its room; it is cut short where
// it would be.
func (p *page) within(x, y, room float64, s string, st style, a align) {
	s = spaces.Replace(s)
	p.text(x, y, p.f.short(s, st, room), st, a)
}

// line draws a straight line.
func (p *page) line(x0, y0, x1, y1, width float64, c color.RGBA) {
	p.c.SetFill(canvas.Paint{})
	p.c.SetStroke(canvas.Paint{Color: c})
	p.c.SetStrokeWidth(width)
	p.c.SetDashes(0)
	path := &canvas.Path{}
	path.MoveTo(x0, p.height-y0)
	path.LineTo(x1, p.height-y1)
	p.c.DrawPath(0, 0, path)
}

// box draws a rectangle; a colour without opacity leaves fill or line out.
func (p *page) box(x, y, w, h float64, fill, line color.RGBA, width float64) {
	p.c.SetFill(canvas.Paint{Color: fill})
	p.c.SetStroke(canvas.Paint{Color: line})
	if fill.A == 0 {
		p.c.SetFill(canvas.Paint{})
	}
	if line.A == 0 {
		p.c.SetStroke(canvas.Paint{})
	}
	p.c.SetStrokeWidth(width)
	p.c.SetDashes(0)
	p.c.DrawPath(x, p.height-y-h, canvas.Rectangle(w, h))
}

// picture puts an image into a box, centred, as large as it fits.
func (p *page) picture(x, y, w, h float64, m image.Image) {
	b := m.Bounds()
	s := min(w/float64(b.Dx()), h/float64(b.Dy()))
	pw, ph := s*float64(b.Dx()), s*float64(b.Dy())
	px, py := x+(w-pw)/2, y+(h-ph)/2
	p.c.DrawImage(px, p.height-py-ph, m, canvas.DPMM(1/s))
}

// blind is a page that is measured on and thrown away.
func (b *book) blind() *page {
	c := canvas.New(b.size[0], b.size[1])
	return &page{book: &book{r: b.r, s: b.s, f: b.f, size: b.size}, f: b.f, ctx: context.Background(), c: canvas.NewContext(c), width: b.size[0], height: b.size[1]}
}

// writeHere is a line to write a number on, with what belongs there below it.
func (p *page) writeHere(x, y, w float64, what string) {
	p.line(x, y, x+w, y, 0.25, ink)
	p.within(x, y+3.1, w, what, p.f.label(), atLeft)
}

// heading sets the page's sentence and gives the base line of what follows.
func (p *page) heading(s string) float64 {
	y := p.top() + 11
	for _, l := range p.f.headLines(s, p.measure()) {
		p.text(p.left(), y, l, p.f.head(), atLeft)
		y += leadHead
	}
	p.under = y - leadHead + 8
	return p.under
}

// underHeading is the base line of what follows the heading.
func (p *page) underHeading() float64 {
	if p.under == 0 {
		return p.top() + 19
	}
	return p.under
}

// frame draws what every page has: the stages across the top with the present one
// in ink, the title, the page's number, and the revision's code in the corner.
func (p *page) frame(total int) {
	x := p.left()
	for i, s := range stages {
		st := p.f.label()
		if s == p.stage {
			st = p.f.labelBold()
		}
		if i > 0 {
			x += 4.6
		}
		w := p.text(x, 14, s, st, atLeft)
		if s == p.stage {
			p.line(x, 15.6, x+w, 15.6, 0.5, ink)
		}
		x += w
	}
	plan := &p.book.r.Plan
	y := p.height - 10.5
	code := plan.Revision
	cw := p.f.width(code, p.f.textBold())
	lw := p.f.width("revision", p.f.label())
	p.line(p.left(), y-5.5, p.right(), y-5.5, 0.2, rule)
	p.text(p.right(), y, code, p.f.textBold(), atRight)
	p.text(p.right()-cw-2, y, "revision", p.f.label(), atRight)
	middle := fmt.Sprintf("page %d of %d", p.number, total)
	mw := p.f.width(middle, p.f.label())
	mx := (p.left() + p.right()) / 2
	p.text(mx, y, middle, p.f.label(), atMiddle)
	room := mx - mw/2 - 4 - p.left()
	p.within(p.left(), y, min(room, p.right()-cw-lw-6-p.left()), plan.Title, p.f.label(), atLeft)
}
