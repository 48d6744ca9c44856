package svg

import (
	"math"

	"mouldwright/internal/base/geom"
)

// seg is one step of a path, in user units: 'M' or 'L' to To, 'Q' and 'C' over C1
// (and C2), 'A' along an ellipse, 'Z' back to the start.
type seg struct {
	Op           byte
	To, C1, C2   geom.Vec
	Rx, Ry, Turn float64 // of an arc; Turn in degrees
	Large, Sweep bool
}

// path is a list of steps.
type path []seg

func (p *path) move(to geom.Vec) { *p = append(*p, seg{Op: 'M', To: to}) }
func (p *path) line(to geom.Vec) { *p = append(*p, seg{Op: 'L', To: to}) }
func (p *path) close()           { *p = append(*p, seg{Op: 'Z'}) }

// quarter adds a quarter of an ellipse in the direction of growing angle.
func (p *path) quarter(rx, ry float64, to geom.Vec) {
	*p = append(*p, seg{Op: 'A', To: to, Rx: rx, Ry: ry, Sweep: true})
}

// rect adds a rectangle with rounded corners; rx and ry are at most half the sides.
func (p *path) rect(x, y, w, h, rx, ry float64) {
	v := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
	if rx <= 0 || ry <= 0 {
		p.move(v(x, y))
		p.line(v(x+w, y))
		p.line(v(x+w, y+h))
		p.line(v(x, y+h))
		p.close()
		return
	}
	p.move(v(x+rx, y))
	p.line(v(x+w-rx, y))
	p.quarter(rx, ry, v(x+w, y+ry))
	p.line(v(x+w, y+h-ry))
	p.quarter(rx, ry, v(x+w-rx, y+h))
	p.line(v(x+rx, y+h))
	p.quarter(rx, ry, v(x, y+h-ry))
	p.line(v(x, y+ry))
	p.quarter(rx, ry, v(x+rx, y))
	p.close()
}

// oval adds a whole ellipse, started as SVG says at its rightmost point.
func (p *path) oval(c geom.Vec, rx, ry float64) {
	p.move(geom.Vec{X: c.X + rx, Y: c.Y})
	p.quarter(rx, ry, geom.Vec{X: c.X, Y: c.Y + ry})
	p.quarter(rx, ry, geom.Vec{X: c.X - rx, Y: c.Y})
	p.quarter(rx, ry, geom.Vec{X: c.X, Y: c.Y - ry})
	p.quarter(rx, ry, geom.Vec{X: c.X + rx, Y: c.Y})
	p.close()
}

// flatten draws the path into polygons; m maps user units to the mm in which the
// flatness is meant.
func (p path) flatten(m geom.Affine) *geom.Path {
	b := geom.NewPath(m)
	for _, s := range p {
		switch s.Op {
		case 'M':
			b.MoveTo(s.To)
		case 'L':
			b.LineTo(s.To)
		case 'Q':
			b.QuadTo(s.C1, s.To)
		case 'C':
			b.CubicTo(s.C1, s.C2, s.To)
		case 'A':
			b.ArcTo(s.Rx, s.Ry, s.Turn, s.Large, s.Sweep, s.To)
		case 'Z':
			b.Close()
		}
	}
	return b
}

// pathData reads the language of the attribute d (SVG 1.1, 8.3). A fault ends the
// path: what stands before it is drawn, as the standard asks, and fault is its
// place in characters from 1 (0 for none).
func pathData(d string) (p path, fault int, huge bool) {
	s := scanner{s: d}
	var at, start, ctrl geom.Vec // current point, start of subpath, last control point
	var last byte                // previous command, upper case
	s.space()
	for cmd := byte(0); !s.done(); s.comma() {
		begin := s.i
		if c := s.peek(); isAlpha(c) {
			cmd = c
			s.i++
			s.space()
		} else if cmd == 0 || cmd|0x20 == 'z' {
			return p, begin + 1, false
		}
		up := cmd &^ 0x20
		if len(p) == 0 && up != 'M' {
			return p, begin + 1, false
		}
		var v [7]float64
		if !s.arguments(up, &v) {
			return p, s.i + 1, s.huge
		}
		base := geom.Vec{}
		if cmd != up {
			base = at
		}
		pt := func(i int) geom.Vec { return geom.Vec{X: base.X + v[i], Y: base.Y + v[i+1]} }
		mirror := func(kinds string) geom.Vec {
			for i := range kinds {
				if last == kinds[i] {
					return geom.Vec{X: 2*at.X - ctrl.X, Y: 2*at.Y - ctrl.Y}
				}
			}
			return at
		}
		switch up {
		case 'M':
			at = pt(0)
			start = at
			p.move(at)
			cmd ^= 'M' ^ 'L' // further pairs are lines
		case 'L':
			at = pt(0)
			p.line(at)
		case 'H':
			at.X = base.X + v[0]
			p.line(at)
		case 'V':
			at.Y = base.Y + v[0]
			p.line(at)
		case 'C':
			pt0 := pt(0)
			ctrl, at = pt(2), pt(4)
			p = append(p, seg{Op: 'C', C1: pt0, C2: ctrl, To: at})
		case 'S':
			a := mirror("CS")
			ctrl, at = pt(0), pt(2)
			p = append(p, seg{Op: 'C', C1: a, C2: ctrl, To: at})
		case 'Q':
			ctrl, at = pt(0), pt(2)
			p = append(p, seg{Op: 'Q', C1: ctrl, To: at})
		case 'T':
			ctrl = mirror("QT")
			at = pt(0)
			p = append(p, seg{Op: 'Q', C1: ctrl, To: at})
		case 'A':
			at = pt(5)
			p = append(p, seg{Op: 'A', To: at, Rx: v[0], Ry: v[1], Turn: math.Mod(v[2], 360), Large: v[3] != 0, Sweep: v[4] != 0})
		case 'Z':
			at = start
			p.close()
		}
		last = up
	}
	return p, 0, false
}

// arguments reads the numbers of one command; false for an unknown command too.
func (s *scanner) arguments(up byte, v *[7]float64) bool {
	n := 0
	switch up {
	case 'M', 'L', 'T':
		n = 2
	case 'H', 'V':
		n = 1
	case 'C':
		n = 6
	case 'S', 'Q':
		n = 4
	case 'A':
		n = 7
	case 'Z':
		return true
	default:
		return false
	}
	for i := 0; i < n; i++ {
		if i > 0 {
			s.comma()
		}
		if up == 'A' && (i == 3 || i == 4) {
			f, ok := s.flag()
			if !ok {
				return false
			}
			if f {
				v[i] = 1
			}
			continue
		}
		x, ok := s.number()
		if !ok {
			return false
		}
		v[i] = x
	}
	return true
}
