package geom

import "math"

// Path builds an Outline from lines and curves, as fonts and vector files give
// them. Curves become polygons within FlattenMM of them, measured in mm after the
// path's map has been applied, always with the same points for the same input.
//
// A mistake in the input (a coordinate that is no number or too large, too many
// points) is kept and given by Outline; the calls after it do nothing.
type Path struct {
	to    Affine
	parts []Polyline
	first Vec // start of the current part, in the path's own units
	at    Vec // current point, in the path's own units
	open  bool
	n     int
	err   error
}

// Polyline is a chain of points in mm, joined to a ring when Closed.
type Polyline struct {
	P      []Vec
	Closed bool
}

// NewPath starts an empty path whose own units are mapped to mm by to.
func NewPath(to Affine) *Path { return &Path{to: to} }

// MoveTo starts a new part of the path.
func (b *Path) MoveTo(p Vec) {
	b.first, b.at, b.open = p, p, false
}

// LineTo draws a straight line.
func (b *Path) LineTo(p Vec) {
	b.begin()
	b.put(b.to.Apply(p))
	b.at = p
}

// QuadTo draws a quadratic Bézier curve with control point c.
//
// The chord over an n-th of the parameter lies within |B”|/8n² of the curve
// (linear interpolation error), and |B”| = 2 |p0 - 2c + p|.
func (b *Path) QuadTo(c, p Vec) {
	b.begin()
	p0, p1, p2 := b.to.Apply(b.at), b.to.Apply(c), b.to.Apply(p)
	if b.check(p1); b.err != nil {
		return
	}
	d := p0.Sub(p1.Times(2)).Add(p2).Len()
	n := steps(d / 4)
	for i := 1; i < n; i++ {
		t := float64(i) / float64(n)
		b.put(p0.Lerp(p1, t).Lerp(p1.Lerp(p2, t), t))
	}
	b.put(p2)
	b.at = p
}

// CubicTo draws a cubic Bézier curve with control points c1 and c2.
func (b *Path) CubicTo(c1, c2, p Vec) {
	b.begin()
	p1, p2 := b.to.Apply(c1), b.to.Apply(c2)
	b.check(p1)
	if b.check(p2); b.err != nil {
		return
	}
	b.cubic(b.to.Apply(b.at), p1, p2, b.to.Apply(p), 0)
	b.at = p
}

// cubic halves the curve until few equal steps of its parameter suffice, so that
// a bend gets many points and a nearly straight run few. |B”| is at most six
// times the larger second difference of the control points.
func (b *Path) cubic(p0, p1, p2, p3 Vec, depth int) {
	d := math.Max(p0.Sub(p1.Times(2)).Add(p2).Len(), p1.Sub(p2.Times(2)).Add(p3).Len())
	n := steps(d * 6 / 8)
	if n > 4 && depth < 12 {
		a, m, c := p0.Lerp(p1, .5), p1.Lerp(p2, .5), p2.Lerp(p3, .5)
		am, mc := a.Lerp(m, .5), m.Lerp(c, .5)
		mid := am.Lerp(mc, .5)
		b.cubic(p0, a, am, mid, depth+1)
		b.cubic(mid, mc, c, p3, depth+1)
		return
	}
	for i := 1; i < n; i++ {
		t := float64(i) / float64(n)
		u := p1.Lerp(p2, t)
		b.put(p0.Lerp(p1, t).Lerp(u, t).Lerp(u.Lerp(p2.Lerp(p3, t), t), t))
	}
	b.put(p3)
}

// steps is the number of chords that keeps an error of e/n² below FlattenMM.
func steps(e float64) int {
	n := math.Ceil(math.Sqrt(e / FlattenMM))
	switch {
	case !(n >= 1): // also not a number: put reports the point
		return 1
	case n > 1<<14:
		return 1 << 14
	}
	return int(n)
}

// ArcTo draws a part of an ellipse with half axes rx and ry, the first turned by
// turnDeg, as the A command of SVG does: large takes the longer way round, sweep
// goes the way of growing angle. Axes too short to reach p are grown, a zero axis
// gives a line (SVG 2, appendix B.2.4 and B.2.5).
func (b *Path) ArcTo(rx, ry, turnDeg float64, large, sweep bool, p Vec) {
	rx, ry = math.Abs(rx), math.Abs(ry)
	if b.at == p {
		return
	}
	if !(rx > 0 && ry > 0) {
		b.LineTo(p)
		return
	}
	// In the frame where the ellipse is the unit circle.
	toUnit := Turn(-turnDeg).Then(Scale(1/rx, 1/ry))
	fromUnit := Scale(rx, ry).Then(Turn(turnDeg))
	a, e := toUnit.Apply(b.at), toUnit.Apply(p)
	half := e.Sub(a).Times(.5)
	mid := a.Add(half)
	h := half.Len()
	if h > 1 {
		fromUnit = Scale(h, h).Then(fromUnit)
		a, e, half, mid, h = a.Times(1/h), e.Times(1/h), half.Times(1/h), mid.Times(1/h), 1
	}
	off := math.Sqrt(math.Max(0, 1-h*h)) / h
	if large == sweep {
		off = -off
	}
	centre := mid.Add(Vec{-half.Y, half.X}.Times(off))
	t0 := math.Atan2(a.Y-centre.Y, a.X-centre.X)
	t1 := math.Atan2(e.Y-centre.Y, e.X-centre.X)
	if sweep && t1 <= t0 {
		t1 += 2 * math.Pi
	} else if !sweep && t1 >= t0 {
		t1 -= 2 * math.Pi
	}
	b.begin()
	b.arc(Move(centre.X, centre.Y).Then(fromUnit), t0, t1)
	b.put(b.to.Apply(p))
	b.at = p
}

// arc puts the inner points of a part of the unit circle mapped by m to the
// path's units. A chord over the angle δ lies within 1 - cos(δ/2) of the unit
// circle, and a linear map stretches that by at most its largest singular value.
func (b *Path) arc(m Affine, t0, t1 float64) {
	m = m.Then(b.to)
	s := math.Hypot(m.A+m.D, m.B-m.C)/2 + math.Hypot(m.A-m.D, m.B+m.C)/2
	n := arcSteps(s, math.Abs(t1-t0))
	for i := 1; i < n; i++ {
		sin, cos := math.Sincos(t0 + (t1-t0)*float64(i)/float64(n))
		b.put(m.Apply(Vec{cos, sin}))
	}
}

// arcSteps is the number of chords for an angle on a circle of radius r mm.
func arcSteps(r, angle float64) int {
	step := math.Pi / 2
	if r > FlattenMM {
		step = math.Min(step, 2*math.Acos(1-FlattenMM/r))
	}
	n := math.Ceil(angle/step - 1e-9)
	switch {
	case !(n >= 1):
		return 1
	case n > 1<<14:
		return 1 << 14
	}
	return int(n)
}

// Close joins the current part to its start.
func (b *Path) Close() {
	if b.open {
		b.parts[len(b.parts)-1].Closed = true
	}
	b.at, b.open = b.first, false
}

// begin opens a part at the current point when none is open.
func (b *Path) begin() {
	if !b.open {
		b.parts = append(b.parts, Polyline{})
		b.open = true
		b.first = b.at
		b.put(b.to.Apply(b.at))
	}
}

// check keeps the mistake of a point in mm that is no number or too far away.
func (b *Path) check(p Vec) {
	if b.err == nil && !p.good() {
		b.err = badPoint(p)
	}
}

// put adds a point in mm to the current part.
func (b *Path) put(p Vec) {
	b.check(p)
	if b.err != nil {
		return
	}
	part := &b.parts[len(b.parts)-1]
	if k := len(part.P); k > 0 && part.P[k-1] == p {
		return
	}
	if b.n++; b.n > MaxPoints {
		b.err = tooManyPoints(b.n)
		return
	}
	part.P = append(part.P, p)
}

// Polylines gives the parts as drawn, open or closed, for strokes; the error is a
// *finding.Error about a bad coordinate or too many points.
func (b *Path) Polylines() ([]Polyline, error) { return b.parts, b.err }

// Outline gives the parts as rings, open ones closed by a straight line as for
// filling. It is not settled. The error is a *finding.Error about a bad
// coordinate or too many points.
func (b *Path) Outline() (Outline, error) {
	if b.err != nil {
		return nil, b.err
	}
	var o Outline
	for _, part := range b.parts {
		r := Ring(part.P)
		for len(r) > 1 && r[0] == r[len(r)-1] {
			r = r[:len(r)-1]
		}
		if len(r) >= 3 {
			o = append(o, r[:len(r):len(r)])
		}
	}
	return o, nil
}
