package svg

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// stroke is the settled outline of the shape's line in work space.
func (p *painter) stroke(s *shape) (geom.Outline, error) {
	st := &s.style
	m := s.toPage.Then(p.toWork) // pen space to work space
	if s.fixedPen {
		m = p.toWork
	}
	big := stretch(m)
	det := m.A*m.D - m.B*m.C
	// A pen that is squeezed to a line paints nothing that could be moulded.
	if st.widthPx == 0 || !(math.Abs(det) > 1e-9*big*big) {
		return nil, nil
	}
	b := s.path.flatten(s.toPage.Then(p.toWork))
	chains, err := b.Polylines()
	if err != nil {
		return nil, err
	}
	inv := geom.Affine{A: m.D / det, B: -m.B / det, C: -m.C / det, D: m.A / det}
	inv.E, inv.F = -(inv.A*m.E + inv.C*m.F), -(inv.B*m.E + inv.D*m.F)
	q := pen{half: st.widthPx / 2, cap: st.cap, join: st.join, miterLimit: st.miterLimit, tol: geom.FlattenMM / big}
	ends := s.ends(p.toWork)
	var plain, folded geom.Outline // the folded pieces are settled, the plain rings not
	for _, c := range chains {
		l := line{closed: c.Closed}
		for _, v := range c.P {
			l.add(inv.Apply(v), !ends[v])
		}
		if n := len(l.p); l.closed && n > 1 && l.p[0] == l.p[n-1] {
			l.p, l.smooth = l.p[:n-1], l.smooth[:n-1]
		}
		parts := []line{l}
		if st.dashes != nil && len(l.p) > 1 {
			var full bool
			if parts, full = l.dashed(st.dashes, st.dashOffset, geom.MaxPoints/8); full {
				return nil, &finding.Error{Found: "too many dashes", Allowed: fmt.Sprintf("at most %d in one line", geom.MaxPoints/8), Do: "use longer dashes"}
			}
		}
		for _, part := range parts {
			if len(part.p) > 24 && q.folds(part) {
				for _, piece := range q.pieces(part) {
					o, err := geom.Settle(piece.Transform(m), geom.NonZero)
					if err == nil {
						err = p.spend(o)
					}
					if err != nil {
						return nil, err
					}
					folded = append(folded, o...)
				}
				continue
			}
			rings := q.draw(part).Transform(m)
			if err := p.spend(rings); err != nil {
				return nil, err
			}
			plain = append(plain, rings...)
		}
	}
	out, err := geom.Settle(plain, geom.NonZero)
	if err != nil || len(folded) == 0 {
		return out, err
	}
	return geom.Settle(append(out, folded...), geom.NonZero)
}

// ends are the places in work space where the path's steps meet; all other points
// of its polygon lie inside a curve.
func (s *shape) ends(toWork geom.Affine) map[geom.Vec]bool {
	m := s.toPage.Then(toWork)
	ends := make(map[geom.Vec]bool, len(s.path))
	for _, g := range s.path {
		if g.Op != 'Z' {
			ends[m.Apply(g.To)] = true
		}
	}
	return ends
}
