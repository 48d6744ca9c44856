package master

import (
	"math"
	"slices"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
)

// The inside of a panel, lying on its back: u runs along it, v up from the table, z
// through its thickness. At its foot lies the groove for the base's edge, above that
// the fillet, a lip that rests on the base and ends in a mitre at each corner of the
// frame; further up a fine line marks the rubber's level. Our choice: each is the least that
// a printer draws cleanly and an eye sees.
const (
	lipMM    = 0.15 // thinnest edge of the lip that is printed
	wallMM   = 0.1  // run of a wall, which must not be vertical to be a height
	mitreMM  = 0.3  // from the corner joint to the lip's mitre
	markMM   = 0.3  // depth and half width of the level's line
	lipSteps = 12   // chords of the lip's arc: within 1 µm at 1.5 mm
)

// level is a line along the panel's foot: at v, z is thick + rise in the middle; lip
// is how far it stands over the panel's face, for the mitre.
type level struct{ v, z, lip float64 }

// levels is the profile of the foot from the table up to the plain face.
func (m *maker) levels(heightMM float64) []level {
	thick := m.thick()
	groove := m.c.BaseMM + m.c.ClearMM
	out := []level{{0, thick - m.groove(), 0}, {groove, thick - m.groove(), 0}}
	r := m.lip(heightMM)
	if r <= 2*lipMM {
		return append(out, level{groove + wallMM, thick, 0})
	}
	// A quarter circle about the point r off the face and r off the base, cut where its
	// edge gets thinner than lipMM.
	for i := range lipSteps + 1 {
		w := lipMM + (r-lipMM)*float64(i)/lipSteps
		h := r - math.Sqrt(r*r-(r-w)*(r-w))
		if i == 0 {
			out = append(out, level{groove + wallMM, thick + h, h})
		}
		out = append(out, level{groove + w, thick + h, h})
	}
	return out
}

// lip is the fillet's radius: as asked, but ending below the middle of the panel,
// where the joints are halved.
func (m *maker) lip(heightMM float64) float64 {
	return math.Max(0, math.Min(m.c.SealMM, heightMM/2-m.c.BaseMM-m.c.ClearMM-1))
}

// end is one end of a length of panel: what its foot runs into.
type end struct {
	at     float64 // u of the length's end
	inward float64 // +1 at the left end, -1 at the right one
	cut    bool    // joined to another length by keys
	slot   bool    // the corner's slot is open at the foot
	corner float64 // u of the frame's inside
}

// columns gives the points of a level from this end inwards.
func (e end) columns(m *maker, l level) []vec3 {
	thick := m.thick()
	if e.cut {
		return []vec3{{e.at, l.v, l.z}}
	}
	face := math.Min(l.z, thick) // groove or face, without the lip
	mitre := e.corner + e.inward*(m.c.ClearMM+mitreMM)
	if e.slot {
		return []vec3{{e.corner + e.inward*m.c.ClearMM, l.v, face}, {mitre, l.v, face}, {mitre + e.inward*l.lip, l.v, l.z}}
	}
	// The groove goes on past the corner, under the other panel, as the base does.
	close := e.corner - e.inward*grooveMM
	return []vec3{{close - e.inward*wallMM, l.v, thick}, {close, l.v, face}, {mitre, l.v, face}, {mitre + e.inward*l.lip, l.v, l.z}}
}

type vec3 [3]float64

// panelLength makes length k of n of a panel.
func (m *maker) panelLength(s panelShape, length float64, k, n int) (panelPart, error) {
	h, c, thick := s.heightMM, m.c.ClearMM, m.thick()
	corner := earMM + thick
	left := end{at: length * float64(k) / float64(n), inward: 1, cut: k > 0, slot: !s.fromAbove, corner: corner}
	right := end{at: length * float64(k+1) / float64(n), inward: -1, cut: k < n-1, slot: !s.fromAbove, corner: length - corner}
	levels := m.levels(h)

	// Rows of the foot, and its cells.
	var rows [][]vec3
	for _, l := range levels {
		row := left.columns(m, l)
		back := right.columns(m, l)
		slices.Reverse(back)
		rows = append(rows, append(row, back...))
	}
	var out panelPart
	for i := range rows[1:] {
		for j := range rows[i][1:] {
			if err := m.face(&out, []vec3{rows[i][j], rows[i][j+1], rows[i+1][j+1], rows[i+1][j]}); err != nil {
				return out, err
			}
		}
	}
	// The face around the foot, and the ring of the whole.
	side := func(j int) []vec3 { // a side of the foot, from the table up
		var pts []vec3
		for _, r := range rows {
			pts = append(pts, r[j])
		}
		return pts
	}
	first, last := side(0), side(len(rows[0])-1)
	var face, ring []vec3
	add := func(to *[]vec3, u, v float64) { *to = append(*to, vec3{u, v, thick}) }
	l0, l1 := earMM-c, corner+c
	low, high := h/2+halfGapMM, h/2-halfGapMM // ends of slots from below and from above
	both := func(u, v float64) { add(&face, u, v); add(&ring, u, v) }
	down := slices.Clone(first)
	slices.Reverse(down)
	switch {
	case left.cut:
		ring = append(ring, down...)
	case left.slot:
		both(0, 0)
		both(l0, 0)
		both(l0, low)
		both(l1, low)
		ring = append(ring, down...)
	default:
		both(0, 0)
		face = append(face, first...)
		ring = append(ring, first[0])
	}
	ring = append(ring, rows[0]...)
	face = append(face, rows[len(rows)-1]...)
	switch {
	case right.cut:
		ring = append(ring, last...)
	case right.slot:
		ring = append(ring, last...)
		both(length-l1, low)
		both(length-l0, low)
		both(length-l0, 0)
		both(length, 0)
	default:
		up := slices.Clone(last)
		slices.Reverse(up)
		face = append(face, up...)
		both(length, 0)
	}
	tabs := m.panelTabs(h, levels[len(levels)-1].v)
	if right.cut {
		j := joint{upright: true, at: right.at, to: h, depth: tabMM}
		for _, v := range tabs {
			for _, q := range j.trapezoid(v, 0) {
				p := j.place(q)
				both(p.X, p.Y)
			}
		}
	}
	both(right.at, h)
	if s.fromAbove {
		slot := func(from, to float64) {
			if math.Min(from, to) > left.at && math.Max(from, to) < right.at {
				both(from, h)
				both(from, high)
				both(to, high)
				both(to, h)
			}
		}
		slot(length-l0, length-l1)
		slot(l1, l0)
	}
	both(left.at, h)
	if left.cut {
		j := joint{upright: true, at: left.at, to: h, depth: tabMM}
		for i := range tabs {
			q := j.trapezoid(tabs[len(tabs)-1-i], math.Max(0, c+m.bleed))
			for i := range q {
				p := j.place(q[len(q)-1-i])
				both(p.X, p.Y)
			}
		}
	}
	mark, err := m.mark(&out, left, right, m.c.BaseMM+s.levelMM)
	if err != nil {
		return out, err
	}
	around := []mesh.Ring3{m.ring3(face)}
	if mark != nil {
		around = append(around, mark.Reversed())
	}
	plane, err := mesh.Plane(around)
	if err != nil {
		return out, err
	}
	out.up = append(out.up, plane)
	out.ring = m.ring3(ring)
	var plan geom.Ring
	for _, v := range out.ring {
		plan = append(plan, geom.Vec{X: float64(v[0]), Y: float64(v[1])})
	}
	out.outline = geom.Outline{plan}
	for _, l := range levels {
		out.heightMM = math.Max(out.heightMM, math.Max(l.z, thick)*m.grow)
	}
	return out, nil
}

// panelTabs places the keys between two lengths, above the foot.
func (m *maker) panelTabs(h, foot float64) []float64 {
	room := h - foot
	if room >= 2*(tabRootMM+4) {
		return []float64{foot + 0.28*room, foot + 0.75*room}
	}
	return []float64{foot + room/2}
}

// mark lets the line at the rubber's level into the face and gives its outer ring. It
// ends before the keys; a length too short for it has none.
func (m *maker) mark(out *panelPart, left, right end, v float64) (mesh.Ring3, error) {
	from, to := left.corner+m.c.ClearMM+2*mitreMM, right.corner-m.c.ClearMM-2*mitreMM
	if left.cut {
		from = left.at + tabMM + m.c.ClearMM + 1
	}
	if right.cut {
		to = right.at - 1
	}
	if to-from < 4*markMM {
		return nil, nil
	}
	t := m.thick()
	a, d := vec3{from, v, t}, vec3{to, v, t}
	b, c := vec3{from + markMM, v - markMM, t}, vec3{to - markMM, v - markMM, t}
	f, e := vec3{from + markMM, v + markMM, t}, vec3{to - markMM, v + markMM, t}
	p, q := vec3{from + markMM, v, t - markMM}, vec3{to - markMM, v, t - markMM}
	for _, cell := range [...][]vec3{{a, b, p}, {a, p, f}, {b, c, q, p}, {p, q, e, f}, {c, d, q}, {q, d, e}} {
		if err := m.face(out, cell); err != nil {
			return nil, err
		}
	}
	return m.ring3([]vec3{a, b, c, d, e, f}), nil
}

// face adds a flat cell, unless it has no area.
func (m *maker) face(out *panelPart, cell []vec3) error {
	r := m.ring3(cell)
	if len(r) < 3 {
		return nil
	}
	s, err := mesh.Plane([]mesh.Ring3{r})
	if err == nil {
		out.up = append(out.up, s)
	}
	return err
}

// ring3 grows points for the resin, puts them on the plan grid and drops repeated ones.
func (m *maker) ring3(pts []vec3) mesh.Ring3 {
	var out mesh.Ring3
	for _, p := range pts {
		v := mesh.Ring3{{float32(p[0] * m.grow), float32(p[1] * m.grow), float32(p[2] * m.grow)}}.Placed(0, 0, 0, 0)[0]
		if n := len(out); n == 0 || out[n-1] != v {
			out = append(out, v)
		}
	}
	if n := len(out); n > 1 && out[0] == out[n-1] {
		out = out[:n-1]
	}
	return out
}
