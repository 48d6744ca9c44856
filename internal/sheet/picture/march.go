package picture

import (
	"math"

	"mouldwright/internal/base/field"
)

// marcher finds where a ray from above first meets the heights. It passes over
// blocks of 8 x 8 samples that lie wholly below the ray.
type marcher struct {
	f    *field.Field
	top  float64
	bw   int
	high []float32 // greatest height of each block and its rim
}

const block = 8

func newMarcher(f *field.Field, top float64) *marcher {
	m := &marcher{f: f, top: top, bw: (f.W + block - 1) / block}
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

// ray returns the first place where the ray is not above the heights; hit is false
// where that place is on the ground outside the grid. The direction is of unit
// length and points down.
func (m *marcher) ray(ex, ey, ez, dx, dy, dz float64) (x, y, z float64, hit bool) {
	f := m.f
	end := -ez / dz // where it meets the ground
	s := math.Max(0, (m.top-ez)/dz)
	// Cut to the grid.
	b := f.Bounds()
	clip := func(e, d, lo, hi float64) {
		if d == 0 {
			if e < lo || e > hi {
				s = math.Inf(1)
			}
			return
		}
		t0, t1 := (lo-e)/d, (hi-e)/d
		if t0 > t1 {
			t0, t1 = t1, t0
		}
		s = math.Max(s, t0)
		if t1 < s {
			s = math.Inf(1)
		}
	}
	clip(ex, dx, b.Min.X, b.Max.X)
	clip(ey, dy, b.Min.Y, b.Max.Y)
	inside := func(x, y float64) bool {
		return x >= b.Min.X && x <= b.Max.X && y >= b.Min.Y && y <= b.Max.Y
	}
	flat := math.Hypot(dx, dy)
	step := 0.75 * f.PitchMM / math.Max(flat, 0.2)
	side := block * f.PitchMM
	before := s
	for s < end {
		x, y, z = ex+dx*s, ey+dy*s, ez+dz*s
		u, v := (x-f.X0)/f.PitchMM, (y-f.Y0)/f.PitchMM
		if u < -1e-6 || v < -1e-6 || u > float64(f.W-1)+1e-6 || v > float64(f.H-1)+1e-6 {
			break
		}
		bi, bj := min(max(int(u)/block, 0), m.bw-1), min(max(int(v)/block, 0), len(m.high)/m.bw-1)
		if top := float64(m.high[bj*m.bw+bi]); z > top {
			// Down to the block's top, or out of the block, whichever comes first.
			leave := (top - z) / dz
			x0, y0 := f.X0+float64(bi)*side, f.Y0+float64(bj)*side
			if dx > 0 {
				leave = math.Min(leave, (x0+side-x)/dx)
			} else if dx < 0 {
				leave = math.Min(leave, (x0-x)/dx)
			}
			if dy > 0 {
				leave = math.Min(leave, (y0+side-y)/dy)
			} else if dy < 0 {
				leave = math.Min(leave, (y0-y)/dy)
			}
			before = s
			s += math.Max(leave, 0) + 1e-6*step + step*1e-3
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
	x, y = ex+dx*end, ey+dy*end
	return x, y, 0, inside(x, y)
}
