// Package geom holds shapes in the plane: points, rings, outlines, and the few
// exact operations on them. All lengths are millimetres.
//
// Art of every kind (text, vector art, a traced photo) and every footprint
// becomes an Outline; field.SignedDistance turns an Outline into heights.
package geom

import "math"

// Vec is a point or a direction in the plane, in mm. x right, y away.
type Vec struct{ X, Y float64 }

// Rect is an axis-parallel rectangle; it is empty when Max < Min.
type Rect struct{ Min, Max Vec }

// Ring is a closed polygon; the last point is joined to the first and not
// repeated. Positive area means counter-clockwise.
type Ring []Vec

// Outline is a set of rings with the inside by the non-zero rule. A settled
// outline (see Settle) has no crossing edges, outer rings counter-clockwise,
// holes clockwise. Curves are flattened to FlattenMM before they get here.
type Outline []Ring

// FlattenMM is the greatest distance between a curve and its polygon: 2 µm, a
// tenth of the finest pixel pitch in use (17-25 µm), so that flattening is never
// what limits the accuracy.
const FlattenMM = 0.002

// Affine maps (x, y) to (A*x + C*y + E, B*x + D*y + F), as the matrix of SVG does.
type Affine struct{ A, B, C, D, E, F float64 }

// Identity leaves every point where it is, by definition.
var Identity = Affine{A: 1, D: 1}

// Apply maps one point.
func (m Affine) Apply(p Vec) Vec {
	return Vec{m.A*p.X + m.C*p.Y + m.E, m.B*p.X + m.D*p.Y + m.F}
}

// Move shifts by x and y mm.
func Move(x, y float64) Affine { return Affine{A: 1, D: 1, E: x, F: y} }

// Scale stretches by the factors x and y about the origin.
func Scale(x, y float64) Affine { return Affine{A: x, D: y} }

// Turn turns counter-clockwise about the origin, in degrees.
func Turn(deg float64) Affine {
	s, c := math.Sincos(deg * math.Pi / 180)
	return Affine{A: c, B: s, C: -s, D: c}
}

// Then gives the map that first applies m, then next.
func (m Affine) Then(next Affine) Affine {
	return Affine{
		A: next.A*m.A + next.C*m.B, B: next.B*m.A + next.D*m.B,
		C: next.A*m.C + next.C*m.D, D: next.B*m.C + next.D*m.D,
		E: next.A*m.E + next.C*m.F + next.E, F: next.B*m.E + next.D*m.F + next.F,
	}
}

// Transform maps every point; a mirroring map also reverses each ring, so that
// outsides stay counter-clockwise.
func (o Outline) Transform(m Affine) Outline {
	mirror := m.A*m.D-m.B*m.C < 0
	out := make(Outline, len(o))
	for i, r := range o {
		q := make(Ring, len(r))
		for j, p := range r {
			if mirror {
				q[len(r)-1-j] = m.Apply(p)
			} else {
				q[j] = m.Apply(p)
			}
		}
		out[i] = q
	}
	return out
}

// Area is the ring's signed area in mm², positive when counter-clockwise.
func (r Ring) Area() float64 {
	var s float64
	for i, p := range r {
		q := r[(i+1)%len(r)]
		s += p.X*q.Y - q.X*p.Y
	}
	return s / 2
}

// Area is the sum of the rings' signed areas in mm²: the true area of a settled outline.
func (o Outline) Area() float64 {
	var s float64
	for _, r := range o {
		s += r.Area()
	}
	return s
}

// Bounds is the smallest rectangle around all points.
func (o Outline) Bounds() Rect {
	b := EmptyRect()
	for _, r := range o {
		for _, p := range r {
			b.Add(p)
		}
	}
	return b
}

// EmptyRect is a rectangle that holds nothing.
func EmptyRect() Rect {
	return Rect{Vec{math.Inf(1), math.Inf(1)}, Vec{math.Inf(-1), math.Inf(-1)}}
}

// Add grows the rectangle to hold p.
func (r *Rect) Add(p Vec) {
	r.Min.X, r.Min.Y = math.Min(r.Min.X, p.X), math.Min(r.Min.Y, p.Y)
	r.Max.X, r.Max.Y = math.Max(r.Max.X, p.X), math.Max(r.Max.Y, p.Y)
}

// Empty reports whether the rectangle holds nothing.
func (r Rect) Empty() bool { return r.Max.X < r.Min.X || r.Max.Y < r.Min.Y }

// Holds says whether a point lies in the rectangle, its edges included.
func (r Rect) Holds(p Vec) bool {
	return p.X >= r.Min.X && p.X <= r.Max.X && p.Y >= r.Min.Y && p.Y <= r.Max.Y
}

// W is the width in mm.
func (r Rect) W() float64 { return r.Max.X - r.Min.X }

// H is the height in mm.
func (r Rect) H() float64 { return r.Max.Y - r.Min.Y }

// Center is the middle.
func (r Rect) Center() Vec { return Vec{(r.Min.X + r.Max.X) / 2, (r.Min.Y + r.Max.Y) / 2} }

// Grow moves every side outwards by d mm.
func (r Rect) Grow(d float64) Rect {
	return Rect{Vec{r.Min.X - d, r.Min.Y - d}, Vec{r.Max.X + d, r.Max.Y + d}}
}
