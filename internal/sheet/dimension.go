package sheet

import (
	"math"

	"github.com/tdewolff/canvas"

	"mouldwright/internal/base/geom"
)

// dimension draws a length between two places of the thing, moved by off mm of the
// page to the left of the way from a to b (ISO 129-1: narrow lines, filled arrows,
// the number over the line; the unit, mm, is stated once on the drawing).
func (d drawing) dimension(a, b geom.Vec, off float64, s string) {
	x0, y0 := d.at(a)
	x1, y1 := d.at(b)
	l := math.Hypot(x1-x0, y1-y0)
	if l == 0 {
		return
	}
	ux, uy := (x1-x0)/l, (y1-y0)/l
	nx, ny := uy, -ux // left of the way, on a page whose y runs down
	if off < 0 {
		nx, ny, off = -nx, -ny, -off
	}
	p := d.p
	// Extension lines start 0.8 mm off the thing and pass the dimension by 1.4 mm.
	p.line(x0+nx*0.8, y0+ny*0.8, x0+nx*(off+1.4), y0+ny*(off+1.4), hair, soft)
	p.line(x1+nx*0.8, y1+ny*0.8, x1+nx*(off+1.4), y1+ny*(off+1.4), hair, soft)
	ax, ay, bx, by := x0+nx*off, y0+ny*off, x1+nx*off, y1+ny*off
	st := p.f.figure()
	w := p.f.width(s, st)
	level := math.Abs(uy) < 0.5
	// Where arrows and number do not fit between, arrows point in from outside.
	if l < 6 {
		p.line(ax-ux*4, ay-uy*4, bx+ux*4, by+uy*4, hair, soft)
		p.arrow(ax, ay, ux, uy)
		p.arrow(bx, by, -ux, -uy)
	} else {
		p.line(ax, ay, bx, by, hair, soft)
		p.arrow(ax, ay, -ux, -uy)
		p.arrow(bx, by, ux, uy)
	}
	mx, my := (ax+bx)/2, (ay+by)/2
	switch {
	case level && (l >= 6 || w < l):
		p.text(mx, my-0.9, s, st, atMiddle)
	case level:
		p.text(bx+4.5, my+0.9, s, st, atLeft)
	case nx < 0:
		p.text(mx-1.2, my+0.9, s, st, atRight)
	default:
		p.text(mx+1.2, my+0.9, s, st, atLeft)
	}
}

// arrow is a filled head of 2.2 mm whose tip is at (x, y), pointing along (ux, uy).
func (p *page) arrow(x, y, ux, uy float64) {
	const long, half = 2.2, 0.42
	path := &canvas.Path{}
	path.MoveTo(x, p.height-y)
	path.LineTo(x-ux*long-uy*half, p.height-(y-uy*long+ux*half))
	path.LineTo(x-ux*long+uy*half, p.height-(y-uy*long-ux*half))
	path.Close()
	p.c.SetFill(canvas.Paint{Color: soft})
	p.c.SetStroke(canvas.Paint{})
	p.c.DrawPath(0, 0, path)
}
