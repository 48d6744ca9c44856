// Package field holds functions sampled on a regular grid: heights, distances,
// tones. A relief of this trade is a Field of heights in mm; everything the
// program computes about shape is an operation on Fields.
//
// SignedDistance turns a geom.Outline into a Field; mesh.Relief turns a Field into
// triangles.
package field

import "mouldwright/internal/base/geom"

// Grid says where samples lie: sample (i, j) sits at (X0 + i*PitchMM, Y0 + j*PitchMM),
// 0 <= i < W, 0 <= j < H. Row-major, y growing with j.
// X0 and Y0 are mm.
type Grid struct {
	W, H    int
	PitchMM float64
	X0, Y0  float64
}

// MaxSamples bounds one grid (our choice: 2^28 samples are 1 GiB of float32).
const MaxSamples = 1 << 28

// Field is a function on a grid, in the unit its name states.
type Field struct {
	Grid
	Z []float32
}

// New makes a field of zeros.
func New(g Grid) *Field { return &Field{Grid: g, Z: make([]float32, g.W*g.H)} }

// Around is the grid of the given pitch that covers r, with samples on multiples
// of the pitch, so that the same place has the same samples in every grid.
func Around(r geom.Rect, pitchMM float64) Grid { return around(r, pitchMM) }

// XY is the place of sample (i, j) in mm.
func (g Grid) XY(i, j int) geom.Vec {
	return geom.Vec{X: g.X0 + float64(i)*g.PitchMM, Y: g.Y0 + float64(j)*g.PitchMM}
}

// Bounds is the rectangle from the first to the last sample.
func (g Grid) Bounds() geom.Rect { return geom.Rect{Min: g.XY(0, 0), Max: g.XY(g.W-1, g.H-1)} }

// Row is row j as a slice that shares the field's memory.
func (f *Field) Row(j int) []float32 { return f.Z[j*f.W : (j+1)*f.W : (j+1)*f.W] }

// At is the value at sample (i, j).
func (f *Field) At(i, j int) float32 { return f.Z[j*f.W+i] }
