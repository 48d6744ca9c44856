package geom

import "math"

// Add, Sub and Times are the vector operations; Dot and Cross the two products.
func (p Vec) Add(q Vec) Vec       { return Vec{p.X + q.X, p.Y + q.Y} }
func (p Vec) Sub(q Vec) Vec       { return Vec{p.X - q.X, p.Y - q.Y} }
func (p Vec) Times(f float64) Vec { return Vec{p.X * f, p.Y * f} }
func (p Vec) Dot(q Vec) float64   { return p.X*q.X + p.Y*q.Y }
func (p Vec) Cross(q Vec) float64 { return p.X*q.Y - p.Y*q.X }
func (p Vec) Len() float64        { return math.Hypot(p.X, p.Y) }
func (p Vec) Lerp(q Vec, t float64) Vec {
	return Vec{p.X + (q.X-p.X)*t, p.Y + (q.Y-p.Y)*t}
}

// good reports whether the point is finite and within MaxMM of the origin.
func (p Vec) good() bool {
	return p.X >= -MaxMM && p.X <= MaxMM && p.Y >= -MaxMM && p.Y <= MaxMM
}
