package picture

import (
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// marcher finds where a ray from above first meets the heights. It passes over
// blocks of 8 x 8 samples that lie wholly below the ray.
type marcher struct {
	f    *field.Field
	top  float64
	box  geom.Rect // that holds every height
	bw   int
	high []float32 // greatest height of each block and its rim
}

const block = 8

func newMarcher(s *scene) *marcher {
	f := s.h
	m := &marcher{f: f, top: float64(s.top), box: s.covered(), bw: (f.W + block - 1) / block}
	bh := (f.H + block - 1) / block
	m.high = make([]float32, m.bw*bh)
	for bj := range bh {
		for bi := range m.bw {
			var z float32
			for j := bj * block; j <= min(bj*block+block, f.H-1); j++ {
				for i := bi * block; i <= min(bi*block+block, f.W-1); i++ {
					z = max(z, f.Z[j*f.W+i])
				}
			}
			m.high[bj*m.bw+bi] = z
		}
	}
	return m
}

func (m *marcher) at(x, y float64) float64 { return float64(bilinear(m.f, x, y)) }

// normal is the surface's direction at a place, from heights q mm away.
func (m *marcher) normal(x, y, q float64) (nx, ny, nz float32) {
	nx = -float32((m.at(x+q, y) - m.at(x-q, y)) / (2 * q))
	ny = -float32((m.at(x, y+q) - m.at(x, y-q)) / (2 * q))
	nz = 1 / sqrt(nx*nx+ny*ny+1)
	return nx * nz, ny * nz, nz
}

// ray returns the first place where the ray is not above the heights; hit is false
// where that place is on the ground. The direction is of unit length and points down.
func (m *marcher) ray(ex, ey, ez, dx, dy, dz float64) (x, y, z float64, hit bool) {
	f := m.f
	ground := -ez / dz
	s, end := max(0, (m.top-ez)/dz), ground
	for _, c := range [2][4]float64{{ex, dx, m.box.Min.X, m.box.Max.X}, {ey, dy, m.box.Min.Y, m.box.Max.Y}} {
		if c[1] == 0 {
			if c[0] < c[2] || c[0] > c[3] {
				end = 0
			}
			continue
		}
		t0, t1 := (c[2]-c[0])/c[1], (c[3]-c[0])/c[1]
		s, end = max(s, min(t0, t1)), min(end, max(t0, t1))
	}
	step := 0.75 * f.PitchMM / max(math.Hypot(dx, dy), 0.2)
	side := block * f.PitchMM
	last := len(m.high)/m.bw - 1
	before := s
	for s < end {
		x, y, z = ex+dx*s, ey+dy*s, ez+dz*s
		bi := min(max(int((x-f.X0)/side), 0), m.bw-1)
		bj := min(max(int((y-f.Y0)/side), 0), last)
		top := float64(m.high[bj*m.bw+bi])
		if z > top {
			// Down to the block's top, or out of the block, whichever comes first.
			leave := (top - z) / dz
			x0, y0 := f.X0+float64(bi)*side, f.Y0+float64(bj)*side
			if dx > 0 {
				leave = min(leave, (x0+side-x)/dx)
			} else if dx < 0 {
				leave = min(leave, (x0-x)/dx)
			}
			if dy > 0 {
				leave = min(leave, (y0+side-y)/dy)
			} else if dy < 0 {
				leave = min(leave, (y0-y)/dy)
			}
			before = s
			s += max(leave, 0) + step*1e-2
			continue
		}
		if m.at(x, y) >= z {
			lo, hi := before, s
			for range 8 {
				mid := (lo + hi) / 2
				if m.at(ex+dx*mid, ey+dy*mid) >= ez+dz*mid {
					hi = mid
				} else {
					lo = mid
				}
			}
			return ex + dx*hi, ey + dy*hi, ez + dz*hi, true
		}
		before = s
		s += step
	}
	return ex + dx*ground, ey + dy*ground, 0, false
}
