package picture

import (
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// marcher finds where rays from one eye first meet the heights. It passes over blocks
// of 8 x 8 samples that lie wholly below the ray. Inside it counts along x and y in
// samples, so that a step costs no division.
type marcher struct {
	f          *field.Field
	eu, ev, ez float64   // the eye: along x and y in samples, above the ground in mm
	top        float64   // greatest height, mm
	box        geom.Rect // that holds every height, in samples
	bw         int
	high       []float32 // greatest height of each block and its rim
}

const block = 8

// The place of a hit is drawn closer until the ray is within closeMM of the heights,
// which no picture shows, but not more often than most: a wall takes that many.
const (
	closeMM = 0.0005
	most    = 8
)

func newMarcher(s *scene, eye [3]float64) *marcher {
	f := s.h
	samples := func(p geom.Vec) geom.Vec {
		return geom.Vec{X: (p.X - f.X0) / f.PitchMM, Y: (p.Y - f.Y0) / f.PitchMM}
	}
	at, b := samples(geom.Vec{X: eye[0], Y: eye[1]}), s.covered()
	m := &marcher{f: f, eu: at.X, ev: at.Y, ez: eye[2], top: float64(s.top),
		box: geom.Rect{Min: samples(b.Min), Max: samples(b.Max)}, bw: (f.W + block - 1) / block}
	bh := (f.H + block - 1) / block
	m.high = make([]float32, m.bw*bh)
	for bj := range bh {
		high := m.high[bj*m.bw : (bj+1)*m.bw]
		for j := bj * block; j <= min(bj*block+block, f.H-1); j++ {
			row := f.Row(j)
			for bi, z := range high {
				for _, v := range row[bi*block : min(bi*block+block+1, f.W)] {
					if v > z {
						z = v
					}
				}
				high[bi] = z
			}
		}
	}
	return m
}

// normal is the surface's direction at a place, from heights q mm away.
func (m *marcher) normal(x, y, q float64) (nx, ny, nz float32) {
	nx = -(m.f.SampleOrZero(x+q, y) - m.f.SampleOrZero(x-q, y)) / float32(2*q)
	ny = -(m.f.SampleOrZero(x, y+q) - m.f.SampleOrZero(x, y-q)) / float32(2*q)
	nz = 1 / sqrt(nx*nx+ny*ny+1)
	return nx * nz, ny * nz, nz
}

// over is how far a ray is above the heights at (u, v), in samples.
func (m *marcher) over(u, v, z float64) float64 {
	f := m.f
	i, j := min(max(int(u), 0), f.W-2), min(max(int(v), 0), f.H-2)
	s, t := u-float64(i), v-float64(j)
	at := j*f.W + i
	a, b := f.Z[at:at+2:at+2], f.Z[at+f.W:at+f.W+2:at+f.W+2]
	p, q := float64(a[0])+float64(a[1]-a[0])*s, float64(b[0])+float64(b[1]-b[0])*s
	return z - (p + (q-p)*t)
}

// free is how far all rays between four go without meeting anything, in units of their
// directions, which lie in one plane, as they do for a rectangle of a picture.
func (m *marcher) free(corner [4][3]float64) float64 {
	s, end := math.Inf(1), 0.0
	longest := 0.0
	for k := range corner {
		c := &corner[k]
		c[0], c[1] = c[0]/m.f.PitchMM, c[1]/m.f.PitchMM
		s, end = min(s, (m.top-m.ez)/c[2]), max(end, -m.ez/c[2])
		longest = max(longest, c[0]*c[0]+c[1]*c[1])
	}
	s = max(s, 0)
	step := block / max(math.Sqrt(longest), 1e-3*m.ez)
	for ; s < end; s += step {
		// The box around the rays from s to s + step, and the blocks in it.
		u0, u1, v0, v1, z := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1), math.Inf(1)
		for _, c := range corner {
			for _, t := range [2]float64{s, s + step} {
				u, v := m.eu+c[0]*t, m.ev+c[1]*t
				u0, u1, v0, v1 = min(u0, u), max(u1, u), min(v0, v), max(v1, v)
			}
			z = min(z, m.ez+c[2]*(s+step))
		}
		if u1 < m.box.Min.X || u0 > m.box.Max.X || v1 < m.box.Min.Y || v0 > m.box.Max.Y {
			continue
		}
		i0, i1 := max(int(u0)/block, 0), min(int(max(u1, 0))/block, m.bw-1)
		j0, j1 := max(int(v0)/block, 0), min(int(max(v1, 0))/block, len(m.high)/m.bw-1)
		low := float32(max(z, 0))
		for j := j0; j <= j1; j++ {
			for _, high := range m.high[j*m.bw+i0 : j*m.bw+i1+1] {
				if high >= low && high > 0 {
					return s
				}
			}
		}
	}
	return math.Inf(1)
}

// ray returns the first place, in mm, where the ray is not above the heights; hit is
// false where that place is on the ground. The direction points down; the ray is free
// for so many times its length.
func (m *marcher) ray(dx, dy, dz, free float64) (x, y, z float64, hit bool) {
	f := m.f
	du, dv := dx/f.PitchMM, dy/f.PitchMM
	iu, iv, iz := 1/du, 1/dv, 1/dz
	ground := -m.ez * iz
	s, end := max(free, (m.top-m.ez)*iz), ground
	s, end = clip(s, end, m.eu, du, iu, m.box.Min.X, m.box.Max.X)
	s, end = clip(s, end, m.ev, dv, iv, m.box.Min.Y, m.box.Max.Y)
	step := 0.75 / max(math.Sqrt(du*du+dv*dv), 0.2/f.PitchMM)
	// Where a ray leaves a block, from the block's first sample.
	var outU, outV float64
	if du >= 0 {
		outU = block
	}
	if dv >= 0 {
		outV = block
	}
	lastU, lastV := m.bw-1, len(m.high)/m.bw-1
	before, above := s, 0.0 // the last place above the heights, and how far
	for s < end {
		u, v, z := m.eu+du*s, m.ev+dv*s, m.ez+dz*s
		bi, bj := min(max(int(u)/block, 0), lastU), min(max(int(v)/block, 0), lastV)
		if top := float64(m.high[bj*m.bw+bi]); z > top {
			// Down to the block's top, or out of the block, whichever comes first.
			leave := min((top-z)*iz, (float64(bi*block)+outU-u)*iu, (float64(bj*block)+outV-v)*iv)
			before, above = s, 0
			s += max(leave, 0) + step*1e-2
			continue
		}
		if over := m.over(u, v, z); over > 0 {
			before, above = s, over
			s += step
		} else {
			s = m.meet(du, dv, dz, before, s, above, over)
			return f.X0 + (m.eu+du*s)*f.PitchMM, f.Y0 + (m.ev+dv*s)*f.PitchMM, m.ez + dz*s, true
		}
	}
	return f.X0 + (m.eu+du*ground)*f.PitchMM, f.Y0 + (m.ev+dv*ground)*f.PitchMM, 0, false
}

// clip cuts the stretch from s to end of a ray to where it is between lo and hi along
// one axis.
func clip(s, end, e, d, inv, lo, hi float64) (float64, float64) {
	if d == 0 {
		if e < lo || e > hi {
			return s, 0
		}
		return s, end
	}
	a, b := (lo-e)*inv, (hi-e)*inv
	return max(s, min(a, b)), min(end, max(a, b))
}

// meet finds where a ray goes through the heights between lo, above them by a, and hi,
// not above them by b <= 0. It follows the chord, and halves the weight of an end that
// stays twice (the Illinois rule).
func (m *marcher) meet(du, dv, dz, lo, hi, a, b float64) float64 {
	if a <= 0 {
		a = m.over(m.eu+du*lo, m.ev+dv*lo, m.ez+dz*lo)
	}
	for range most {
		if b > -closeMM || !(a > 0) {
			break
		}
		mid := lo + (hi-lo)*a/(a-b)
		o := m.over(m.eu+du*mid, m.ev+dv*mid, m.ez+dz*mid)
		if o > 0 {
			lo, a, b = mid, o, b/2
		} else {
			hi, b, a = mid, o, a/2
		}
	}
	return hi
}
