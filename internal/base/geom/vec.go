package geom

import "math"

// Add is p + q.
func (p Vec) Add(q Vec) Vec { return Vec{p.X + q.X, p.Y + q.Y} }

// Sub is p - q.
func (p Vec) Sub(q Vec) Vec { return Vec{p.X - q.X, p.Y - q.Y} }

// Times is p stretched by a factor.
func (p Vec) Times(f float64) Vec { return Vec{p.X * f, p.Y * f} }

// Dot is the scalar product, in mm².
func (p Vec) Dot(q Vec) float64 { return p.X*q.X + p.Y*q.Y }

// Cross is the vector product's upright part, in mm²: positive when q lies to the left of p.
func (p Vec) Cross(q Vec) float64 { return p.X*q.Y - p.Y*q.X }

// Len is the length in mm.
func (p Vec) Len() float64 { return math.Hypot(p.X, p.Y) }

// Lerp is the point between p (t = 0) and q (t = 1).
func (p Vec) Lerp(q Vec, t float64) Vec {
	return Vec{p.X + (q.X-p.X)*t, p.Y + (q.Y-p.Y)*t}
}

// good reports whether the point is finite and within MaxMM of the origin.
func (p Vec) good() bool {
	return p.X >= -MaxMM && p.X <= MaxMM && p.Y >= -MaxMM && p.Y <= MaxMM
}
