package svg

import (
	"context"
	"errors"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// workMM is the size to which the art's longer side is brought while curves are
// flattened and overlaps settled (our choice: the width at which it keeps full accuracy).
const workMM = 100

// zoomLimit bounds how much smaller the art may be than its page before accuracy
// is given up, since the page, and ten times as much around it, must stay within
// geom.MaxMM in work space.
const zoomLimit = 10

// painter puts shapes on the page. Work space is the page in y-up mm times zoom.
type painter struct {
	w      *walker
	toWork geom.Affine // page pixels to work space
	scale  float64     // work mm per page pixel
	points int         // spent on shapes, strokes and cuts
	again  int         // points of the sheet, counted each time it is gone over
}

// Limits of the work (our choice: some ten seconds).
const (
	maxAgain = 3_000_000 // points gone over when ink and paper alternate
	maxCoat  = 100_000   // points laid on at a time
)

// paint turns the shapes into the drawing.
func (w *walker) paint(ctx context.Context) (*Drawing, error) {
	page := geom.Rect{Max: geom.Vec{X: w.pageW, Y: w.pageH}}
	rough, err := w.extent()
	if err != nil {
		return nil, err
	}
	if w.pageW == 0 {
		page = rough
	}
	in := geom.Rect{
		Min: geom.Vec{X: math.Max(page.Min.X, rough.Min.X), Y: math.Max(page.Min.Y, rough.Min.Y)},
		Max: geom.Vec{X: math.Min(page.Max.X, rough.Max.X), Y: math.Min(page.Max.Y, rough.Max.Y)},
	}
	size := math.Max(in.W(), in.H())
	if in.Empty() || !(size > 0) {
		return nil, w.empty()
	}
	size = math.Max(size, math.Max(page.W(), page.H())/zoomLimit)
	k := workMM / size
	p := painter{w: w, scale: k, toWork: geom.Move(-page.Min.X, -page.Max.Y).Then(geom.Scale(k, -k))}
	o, err := p.all(ctx)
	if err != nil {
		return nil, err
	}
	if w.pageW > 0 {
		if o, err = p.crop(o, geom.Rect{Max: geom.Vec{X: page.W() * k, Y: page.H() * k}}); err != nil {
			return nil, err
		}
	}
	if len(o) == 0 {
		return nil, w.empty()
	}
	d := &Drawing{WidthMM: page.W() * PxMM, HeightMM: page.H() * PxMM}
	move := geom.Identity
	if w.pageW == 0 { // the page is what the art fills
		b := o.Bounds()
		move = geom.Move(-b.Min.X, -b.Min.Y)
		d.WidthMM, d.HeightMM = b.W()/k*PxMM, b.H()/k*PxMM
	}
	d.Outline = o.Transform(move.Then(geom.Scale(PxMM/k, PxMM/k)))
	return d, nil
}

// empty words the refusal of a drawing that leaves nothing to mould.
func (w *walker) empty() error {
	e := &finding.Error{File: w.name, Found: "nothing that is painted within the page", Allowed: "at least one filled or stroked shape in a colour other than white",
		Do: "check that the shapes have a fill or stroke and lie on the page"}
	if r := w.remarks(); len(r) > 0 {
		e.Do += "; " + r[0].String()
	}
	return e
}

// extent is a rectangle in page pixels around all shapes, from the control points
// and with room for strokes. It serves to choose the scale.
func (w *walker) extent() (geom.Rect, error) {
	all := geom.EmptyRect()
	for i := range w.shapes {
		s := &w.shapes[i]
		if s.style.fill.paint == nothing && s.style.stroke.paint == nothing {
			continue
		}
		room := 0.0
		if s.style.stroke.paint != nothing {
			room = s.style.widthPx / 2 * math.Max(math.Sqrt2, s.style.miterLimit)
			if s.style.join != "miter" {
				room = s.style.widthPx / 2 * math.Sqrt2
			}
			room = math.Min(room, 10*s.style.widthPx)
			if !s.fixedPen {
				room *= stretch(s.toPage)
			}
		}
		b := geom.EmptyRect()
		var at geom.Vec
		for _, g := range s.path {
			if g.Op == 'Z' {
				continue
			}
			b.Add(s.toPage.Apply(g.To))
			switch g.Op {
			case 'C':
				b.Add(s.toPage.Apply(g.C1))
				b.Add(s.toPage.Apply(g.C2))
			case 'Q':
				b.Add(s.toPage.Apply(g.C1))
			case 'A': // within one diameter of its ends, with radii grown to reach
				r := 2 * math.Max(math.Max(math.Abs(g.Rx), math.Abs(g.Ry)), g.To.Sub(at).Len()/2)
				for _, d := range [...]geom.Vec{{X: r, Y: r}, {X: -r, Y: r}, {X: r, Y: -r}, {X: -r, Y: -r}} {
					b.Add(s.toPage.Apply(g.To.Add(d)))
				}
			}
			at = g.To
		}
		b = b.Grow(room)
		for _, v := range [...]float64{b.Min.X, b.Min.Y, b.Max.X, b.Max.Y} {
			if !(math.Abs(v) <= MaxPlacePx) {
				w.fail(s.node, fmt.Sprintf("a coordinate of %g px on the page", v), fmt.Sprintf("at most %g px from its corner", float64(MaxPlacePx)), "check the drawing's coordinates and transforms")
				return all, w.err
			}
		}
		if b.Empty() {
			continue
		}
		all.Add(b.Min)
		all.Add(b.Max)
	}
	return all, nil
}

// stretch is the largest factor by which m lengthens a vector.
func stretch(m geom.Affine) float64 {
	return math.Hypot(m.A+m.D, m.B-m.C)/2 + math.Hypot(m.A-m.D, m.B+m.C)/2
}

// layer is one coat of ink or paper.
type layer struct {
	paint paint
	area  geom.Outline // settled
}

// all paints the shapes in order. Coats of one kind that follow each other are
// laid on together.
func (p *painter) all(ctx context.Context) (geom.Outline, error) {
	var done sheet
	var coat geom.Outline
	kind, points := ink, 0
	lay := func() (err error) {
		if len(coat) == 0 {
			return nil
		}
		near := done.take(coat.Bounds())
		if p.again += near.Points(); p.again > maxAgain {
			return &finding.Error{Found: "too many changes between white and other colours", Allowed: fmt.Sprintf("at most %d points gone over", maxAgain), Do: "merge the shapes in the drawing"}
		}
		if kind == ink {
			near, err = geom.Settle(append(near, coat...), geom.NonZero)
		} else if len(near) > 0 {
			near, err = geom.Subtract(near, coat)
		}
		done.put(near)
		coat, points = nil, 0
		return err
	}
	for i := range p.w.shapes {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		s := &p.w.shapes[i]
		layers, err := p.layers(s)
		if err != nil {
			return nil, p.at(s.node, err)
		}
		for _, l := range layers {
			if l.paint != kind || points > maxCoat {
				if err := lay(); err != nil {
					return nil, p.at(s.node, err)
				}
				kind = l.paint
			}
			coat = append(coat, l.area...)
			points += l.area.Points()
		}
	}
	if err := lay(); err != nil {
		return nil, p.at(nil, err)
	}
	var out geom.Outline
	for _, q := range done {
		out = append(out, q.rings...)
	}
	return out, nil
}

// at adds file and element to an error.
func (p *painter) at(n *node, err error) error {
	var e *finding.Error
	if !errors.As(err, &e) {
		e = &finding.Error{Err: err}
	}
	out := *e
	out.File = p.w.name
	if n != nil && out.Line == 0 {
		out.Line, out.Column, out.Key = n.line, n.column, "<"+n.name+">"
	}
	return &out
}

// layers gives what one shape paints, in order.
func (p *painter) layers(s *shape) ([]layer, error) {
	var out []layer
	put := func(c colour, a float64, make func(*shape) (geom.Outline, error)) error {
		if c.paint == nothing || a == 0 {
			return nil
		}
		if c.partial || a < 1 {
			p.w.warn(finding.Note, s.node, "a see-through part is taken as solid", "")
		}
		o, err := make(s)
		for _, c := range s.clips {
			if err != nil || len(o) == 0 {
				break
			}
			o, err = p.cut(o, c)
		}
		if err == nil && len(o) > 0 {
			out = append(out, layer{c.paint, o})
		}
		return err
	}
	st := &s.style
	fill := func() error { return put(st.fill, st.fillAlpha, p.fill) }
	stroke := func() error { return put(st.stroke, st.strokeAlpha, p.stroke) }
	first, second := fill, stroke
	if st.strokeFirst {
		first, second = stroke, fill
	}
	if err := first(); err != nil {
		return nil, err
	}
	return out, second()
}

// spend counts points against MaxPoints.
func (p *painter) spend(o geom.Outline) error {
	if p.points += o.Points(); p.points > MaxPoints {
		return &finding.Error{Found: "too many points in curves, strokes and dashes", Allowed: fmt.Sprintf("at most %d", MaxPoints), Do: "simplify the drawing"}
	}
	return nil
}

// fill is the settled inside of the shape in work space.
func (p *painter) fill(s *shape) (geom.Outline, error) {
	rule := geom.NonZero
	if s.style.evenOdd {
		rule = geom.EvenOdd
	}
	return p.inside(s, rule)
}

func (p *painter) inside(s *shape, rule geom.FillRule) (geom.Outline, error) {
	o, err := s.path.flatten(s.toPage.Then(p.toWork)).Outline()
	if err == nil {
		err = p.spend(o)
	}
	if err != nil {
		return nil, err
	}
	return geom.Settle(o, rule)
}

// cut keeps of o what lies in the clipping path.
func (p *painter) cut(o geom.Outline, c *clipping) (geom.Outline, error) {
	if !c.ready {
		c.ready = true
		for i := range c.shapes {
			s := &c.shapes[i]
			rule := geom.NonZero
			if s.style.clipEvenOdd {
				rule = geom.EvenOdd
			}
			a, err := p.inside(s, rule)
			for _, own := range s.clips {
				if err == nil && len(a) > 0 {
					a, err = p.cut(a, own)
				}
			}
			if err != nil {
				return nil, err
			}
			c.done = append(c.done, a...)
		}
		var err error
		if c.done, err = geom.Settle(c.done, geom.NonZero); err != nil {
			return nil, err
		}
		for _, own := range c.clips {
			if c.done, err = p.cut(c.done, own); err != nil {
				return nil, err
			}
		}
	}
	return p.intersect(o, c.done)
}

// intersect is geom.Intersect with the frequent case first that nothing is cut off.
func (p *painter) intersect(o, by geom.Outline) (geom.Outline, error) {
	if len(by) == 1 && len(by[0]) == 4 {
		b, a := by.Bounds(), o.Bounds()
		full := math.Abs(by.Area()-b.W()*b.H()) < 1e-9*b.W()*b.H()
		if full && a.Min.X >= b.Min.X && a.Min.Y >= b.Min.Y && a.Max.X <= b.Max.X && a.Max.Y <= b.Max.Y {
			return o, nil
		}
	}
	if err := p.spend(o); err != nil {
		return nil, err
	}
	return geom.Intersect(o, by)
}

// crop cuts the art to the page, and says so when something was lost.
func (p *painter) crop(o geom.Outline, page geom.Rect) (geom.Outline, error) {
	window := geom.Outline{{page.Min, {X: page.Max.X, Y: page.Min.Y}, page.Max, {X: page.Min.X, Y: page.Max.Y}}}
	before := o.Area()
	out, err := p.intersect(o, window)
	if err == nil && before-out.Area() > 1e-6*before {
		p.w.warn(finding.Note, &node{name: "svg", line: 1}, "what reaches beyond the page is cut off at its edge", "enlarge the page in the drawing if it should stay")
	}
	return out, err
}
