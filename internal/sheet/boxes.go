package sheet

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/tdewolff/canvas"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/box"
)

// WriteBoxes writes the box maps: two boxes to a page, to be cut apart and laid into
// the box, or to pack by.
func WriteBoxes(ctx context.Context, w io.Writer, r *flow.Result, s *Sketchbook, paper string) error {
	return halves(ctx, w, r, s, paper, (*page).boxMap)
}

// WriteCards writes fold-over cards, two to a page: the name on the front, what is in
// the box on the back.
func WriteCards(ctx context.Context, w io.Writer, r *flow.Result, s *Sketchbook, paper string) error {
	return halves(ctx, w, r, s, paper, (*page).card)
}

// half is half a page: the upper or the lower one.
type half struct{ x, y, w, h float64 }

// halves writes one half page for each box.
func halves(ctx context.Context, w io.Writer, r *flow.Result, s *Sketchbook, paper string, draw func(*page, half, int)) error {
	b, err := blank(r, paper)
	if err != nil {
		return err
	}
	b.s, b.plain = s, true
	n := len(r.Plan.Boxes)
	if n > 2*MaxPages {
		return fmt.Errorf("sheet: %d boxes, allowed %d; split the list of guests", n, 2*MaxPages)
	}
	for from := 0; from < n; from += 2 {
		b.add("boxes", func(p *page) error {
			for k := from; k < min(from+2, n); k++ {
				draw(p, half{0, float64(k-from) * p.height / 2, p.width, p.height / 2}, k)
			}
			p.cutLine(p.height / 2)
			return nil
		})
	}
	return b.write(ctx, w)
}

// cutLine is a dashed line across the page.
func (p *page) cutLine(y float64) {
	p.c.SetFill(canvas.Paint{})
	p.c.SetStroke(canvas.Paint{Color: rule})
	p.c.SetStrokeWidth(0.2)
	p.c.SetDashes(0, 1.5, 1.5)
	path := &canvas.Path{}
	path.MoveTo(0, p.height-y)
	path.LineTo(p.width, p.height-y)
	p.c.DrawPath(0, 0, path)
	p.c.SetDashes(0)
}

const boxMargin = 14.0

// boxMap is one box from above with everything that lies in it.
func (p *page) boxMap(h half, k int) {
	x := &p.book.r.Plan.Boxes[k]
	left, right, top, bottom := h.x+boxMargin, h.x+h.w-boxMargin, h.y+boxMargin, h.y+h.h-boxMargin
	p.within(left, top+6, right-left, x.Name, p.f.head(), atLeft)
	y := top + 13.5
	p.within(left, y, right-left-40, p.book.r.Plan.Title, p.f.aside(), atLeft)
	p.within(right, y, 40, unit.Mass(x.NetG), p.f.big(), atRight)
	if len(x.Needs) > 0 {
		y += 6.6
		p.sign(left, y-4.6, finding.Care, stop)
		p.within(left+8, y, right-left-8, sentence(strings.Join(x.Needs, ", ")), p.f.textBold().in(stop), atLeft)
	}
	y += 5
	mapW := (right - left) * 0.56
	used := p.cells(left, y, mapW, bottom-13-y, x, true)
	p.within(left, used+4.2, mapW, "the box from above, the side towards you below", p.f.label(), atLeft)
	lx := left + mapW + 8
	p.holds(lx, y+3, right-lx, bottom-9, x)
	p.footer(left, right, bottom, x)
}

// footer says what the sheet belongs to.
func (p *page) footer(left, right, y float64, x *flow.PlanBox) {
	p.line(left, y-4, right, y-4, 0.2, rule)
	p.within(right, y, 50, "revision "+p.book.r.Plan.Revision, p.f.label(), atRight)
	p.within(left, y, right-left-52, "Lot "+x.Lot+". Whoever gives or sells food answers to the local law.", p.f.label(), atLeft)
}

// cells draws the box at the largest scale up to 1:1 at which it fits, and gives its
// lower edge.
func (p *page) cells(x, y, w, h float64, b *flow.PlanBox, numbers bool) (bottom float64) {
	g := &p.book.r.Plan.Box
	const wall = 2.0 // drawn around the cells
	s := min(1, w/(g.WidthMM+2*wall), h/(g.DepthMM+2*wall))
	at := func(c *flow.PlanCellAt) (cx, cy float64) {
		return x + s*(wall+c.XMM), y + s*(wall+g.DepthMM-c.YMM)
	}
	for i := range min(len(g.Cells), len(b.Cells)) { // pictures first: their paper is white
		if cx, cy := at(&g.Cells[i]); b.Cells[i].Piece != "" {
			p.lies(cx, cy, s, &b.Cells[i])
		}
	}
	p.box(x, y, s*(g.WidthMM+2*wall), s*(g.DepthMM+2*wall), none, ink, 0.35)
	for i := range g.Cells {
		c := &g.Cells[i]
		cx, cy := at(c)
		if len(c.RingMM) > 0 {
			var points [][2]float64
			for j := 0; j+1 < len(c.RingMM); j += 2 {
				points = append(points, [2]float64{x + s*(wall+c.RingMM[j]), y + s*(wall+g.DepthMM-c.RingMM[j+1])})
			}
			p.c.SetFill(canvas.Paint{})
			p.c.SetStroke(canvas.Paint{Color: rule})
			p.c.SetStrokeWidth(0.25)
			p.polygon(points)
		} else {
			p.box(cx-s*c.WidthMM/2, cy-s*c.DepthMM/2, s*c.WidthMM, s*c.DepthMM, none, rule, 0.25)
		}
		if i >= len(b.Cells) {
			continue
		}
		if b.Cells[i].Piece == "" {
			p.within(cx, cy+1, s*c.WidthMM-2, "empty", p.f.aside(), atMiddle)
			continue
		}
		if numbers {
			p.text(cx-s*c.WidthMM/2+1, cy-s*c.DepthMM/2+3.4, fmt.Sprint(i+1), p.f.labelBold(), atLeft)
		}
	}
	return y + s*(g.DepthMM+2*wall)
}

// lies draws a piece's own picture where it lies, at the scale s.
func (p *page) lies(cx, cy, s float64, c *flow.PlanCell) {
	k := p.book.pieceNamed(c.Piece)
	if k < 0 || p.book.s == nil || p.book.s.small[k] == nil {
		p.within(cx, cy+1, 40*s, c.Piece, p.f.label(), atMiddle)
		return
	}
	m, seen := p.book.s.small[k], p.book.s.seen[k]
	dpmm := float64(m.Bounds().Dx()) / (s * seen.W())
	p.c.Push()
	p.c.Translate(cx, p.height-cy)
	p.c.Rotate(c.TurnDeg)
	p.c.DrawImage(s*seen.Min.X, s*seen.Min.Y, m, canvas.DPMM(dpmm))
	p.c.Pop()
}

// pieceNamed is the index of a piece in the plan, or -1.
func (b *book) pieceNamed(name string) int {
	if b.named == nil {
		b.named = map[string]int{}
		for i := range b.r.Plan.Pieces {
			b.named[b.r.Plan.Pieces[i].Name] = i
		}
	}
	if i, ok := b.named[name]; ok {
		return i
	}
	return -1
}

// holds lists what lies in the cells, with a box to tick, and what it means.
func (p *page) holds(x, y, w, bottom float64, b *flow.PlanBox) {
	for i, c := range b.Cells {
		if c.Piece == "" {
			continue
		}
		if y > bottom-30 {
			p.within(x, y, w, fmt.Sprintf("and %s more", unit.Whole(len(b.Cells)-i)), p.f.aside(), atLeft)
			y += leadText
			break
		}
		p.box(x, y-3, 3.4, 3.4, none, ink, 0.25)
		p.text(x+5.5, y, fmt.Sprint(i+1), p.f.labelBold(), atLeft)
		p.within(x+10, y, w-10, c.Piece, p.f.text(), atLeft)
		if k := p.book.pieceNamed(c.Piece); k >= 0 {
			y += 3.9
			p.within(x+10, y, w-10, p.book.madeOf(k), p.f.label(), atLeft)
		}
		y += 5.6
	}
	y += 1.5
	for _, l := range p.facts(b, w) {
		if y > bottom {
			break
		}
		p.text(x, y, l.text, l.style, atLeft)
		y += leadText
	}
}

// madeOf words a piece's chocolate and filling.
func (b *book) madeOf(k int) string {
	pc := &b.r.Plan.Pieces[k]
	s := pc.Chocolate + " chocolate"
	if b.r.Choices != nil {
		s = b.r.Choices.Chocolate[pc.Chocolate].Kind + " chocolate"
	}
	if pc.Filling == "" {
		return s + ", solid"
	}
	return s + ", " + pc.Filling
}

// said is one line in its style.
type said struct {
	text  string
	style style
}

// facts are the lines about allergens and keeping.
func (p *page) facts(b *flow.PlanBox, w float64) []said {
	g := &p.book.r.Plan.Box
	var out []said
	add := func(s string, st style) {
		for _, l := range p.f.lines(s, st, w) {
			out = append(out, said{l, st})
		}
	}
	if in := box.WordingOf(g.Rules).Called(b.Allergens); len(in) > 0 {
		add("Holds "+strings.Join(in, ", ")+".", p.f.textBold())
	}
	if len(b.MayContainWords) > 0 {
		add("May contain traces of "+strings.Join(b.MayContainWords, ", ")+".", p.f.text())
	}
	if b.BestBefore != nil {
		add(g.BestBeforeWords+" "+b.BestBefore.Long()+".", p.f.text())
	}
	add(b.Storage, p.f.text())
	return out
}

// card is a card to fold in the middle: the name in front, the box on the back.
func (p *page) card(h half, k int) {
	x := &p.book.r.Plan.Boxes[k]
	mid := h.x + h.w/2
	p.c.SetStrokeColor(rule)
	p.line(mid, h.y+2, mid, h.y+8, 0.2, rule)
	p.line(mid, h.y+h.h-8, mid, h.y+h.h-2, 0.2, rule)
	// Front.
	fx, fw := mid+boxMargin, h.w/2-2*boxMargin
	cy := h.y + h.h/2
	name := p.f.headLines(x.Person, fw)
	y := cy - float64(len(name)-1)*leadHead/2
	for _, l := range name {
		p.text(fx+fw/2, y, l, p.f.head(), atMiddle)
		y += leadHead
	}
	p.line(fx+fw*0.3, y-2, fx+fw*0.7, y-2, 0.35, ink)
	for i, l := range p.f.lines(p.book.r.Plan.Title, p.f.aside(), fw) {
		p.text(fx+fw/2, y+6+float64(i)*leadText, l, p.f.aside(), atMiddle)
	}
	// Back.
	bx, bw := h.x+boxMargin, h.w/2-2*boxMargin
	top, bottom := h.y+boxMargin, h.y+h.h-boxMargin
	const code = 30.0
	used := p.cells(bx, top, bw, 0.48*(bottom-top), x, true)
	y = used + 5.4
	for i, c := range x.Cells {
		if c.Piece == "" || y > bottom-code-4 {
			continue
		}
		s := c.Piece
		if k := p.book.pieceNamed(c.Piece); k >= 0 {
			s += ": " + p.book.madeOf(k)
		}
		p.text(bx, y, fmt.Sprint(i+1), p.f.labelBold(), atLeft)
		p.within(bx+5, y, bw-5, s, p.f.figure(), atLeft)
		y += 3.9
	}
	qy := bottom - code
	if err := p.code(bx+bw-code, qy, code, x.Facts); err == nil {
		bw -= code + 4
	}
	qy += 4
	for _, l := range p.facts(x, bw) {
		if qy > bottom {
			break
		}
		p.text(bx, qy, l.text, l.style, atLeft)
		qy += leadText
	}
}
