package picture

import (
	"context"
	"image"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// The chair: the camera's height above the horizon, its turn from straight front,
// and its distance in reaches of the scene.
const (
	chairElevationDeg = 40
	chairTurnDeg      = 14
	chairDistance     = 5.2
	chairFlattest     = 0.4 // least and greatest height of the picture to its width
	chairTallest      = 1.0
)

// wallMM is the height from which a hit beside what is covered belongs to its wall.
const wallMM = 0.05

// chair marches a ray through the heights for each pixel, and four more along edges.
func (s *scene) chair(ctx context.Context, look Look) (image.Image, error) {
	w := look.SizePx
	e, t := chairElevationDeg*math.Pi/180, chairTurnDeg*math.Pi/180
	// Camera frame: back (from the scene to the eye), right, up.
	bx, by, bz := math.Sin(t)*math.Cos(e), -math.Cos(t)*math.Cos(e), math.Sin(e)
	rx, ry := math.Cos(t), math.Sin(t)
	ux, uy, uz := by*0-bz*ry, bz*rx-bx*0, bx*ry-by*rx // back x right
	d := chairDistance * s.reach
	ex, ey, ez := s.middle.X+bx*d, s.middle.Y+by*d, bz*d+float64(s.top)/2

	// Fit what is covered, at its foot and at its height, into the picture.
	var left, right, low, high = math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, c := range s.reachedBy(4) {
		x, y, z := c[0]-ex, c[1]-ey, c[2]-ez
		depth := -(x*bx + y*by + z*bz)
		u, v := (x*rx+y*ry)/depth, (x*ux+y*uy+z*uz)/depth
		left, right = math.Min(left, u), math.Max(right, u)
		low, high = math.Min(low, v), math.Max(high, v)
	}
	// The shadow falls to the right and to the front: more room there.
	padX, padY := 0.10*(right-left), 0.13*(high-low)
	left, right, low, high = left-padX*0.9, right+padX*1.3, low-padY*1.2, high+padY
	aspect := math.Min(math.Max((high-low)/(right-left), chairFlattest), chairTallest)
	h := int(math.Round(float64(w) * aspect))
	scale := math.Max((right-left)/float64(w), (high-low)/float64(h)) // tangent per pixel
	cu, cv := (left+right)/2, (low+high)/2

	march := newMarcher(s)
	fine, round := s.bevel()
	// look1 follows one ray: the colour it meets, and what it met.
	look1 := func(fx, fy float64, keep float32) (c rgb, under float32, m met) {
		u, v := cu+(fx-float64(w)/2)*scale, cv-(fy-float64(h)/2)*scale
		dx, dy, dz := -bx+rx*u+ux*v, -by+ry*u+uy*v, -bz+uz*v
		n := 1 / math.Sqrt(dx*dx+dy*dy+dz*dz)
		dx, dy, dz = dx*n, dy*n, dz*n
		px, py, pz, hit := march.ray(ex, ey, ez, dx, dy, dz)
		p := at3{x: float32(px), y: float32(py), z: float32(pz), vx: float32(-dx), vy: float32(-dy), vz: float32(-dz)}
		light, room := s.lightAt(px, py)
		if hit {
			m.kind = s.kindAt(px, py)
			// A steep wall is met on the slope between its last sample and the
			// ground beside it: its stuff lies a few samples on.
			for k := 1.0; m.kind == 0 && pz > wallMM && k <= 4; k++ {
				m.kind = s.kindAt(px+dx*k*s.h.PitchMM, py+dy*k*s.h.PitchMM)
			}
		}
		if m.kind == 0 {
			return c, s.ground(p.x, p.y, light, room, keep, look.Ground), m
		}
		p.nx, p.ny, p.nz = march.normal(px, py, float64(fine)*s.h.PitchMM)
		p.mx, p.my, p.mz = march.normal(px, py, float64(round)*s.h.PitchMM)
		m.nx, m.ny, m.nz, m.z = p.nx, p.ny, p.nz, p.z
		return s.shade(&s.stuff[m.kind], p, light, room), 0, m
	}
	out := image.NewNRGBA(image.Rect(0, 0, w, h))
	first := make([]met, w*h)
	err := field.ForRows(ctx, h, func(from, to int) {
		for y := from; y < to; y++ {
			for x := range w {
				c, under, m := look1(float64(x)+0.5, float64(y)+0.5, border(x, y, w, h))
				first[y*w+x] = m
				cover := float32(1)
				if m.kind == 0 {
					cover = 0
				} else {
					under = 1
				}
				blend(out.Pix[y*out.Stride+4*x:], c, cover, under, look.Ground)
			}
		}
	})
	if err != nil {
		return nil, err
	}
	// Where neighbours met something else, four rays a pixel on a turned square.
	offsets := [4][2]float64{{-0.125, -0.375}, {0.375, -0.125}, {-0.375, 0.125}, {0.125, 0.375}}
	err = field.ForRows(ctx, h, func(from, to int) {
		for y := from; y < to; y++ {
			for x := range w {
				if !edge(first, x, y, w, h) {
					continue
				}
				var body rgb
				var cover, under float32
				for _, o := range offsets {
					c, u, m := look1(float64(x)+0.5+o[0], float64(y)+0.5+o[1], border(x, y, w, h))
					if m.kind == 0 {
						under += u
						continue
					}
					body = body.add(c)
					cover++
				}
				if cover < 4 {
					under /= 4 - cover
				} else {
					under = 1
				}
				blend(out.Pix[y*out.Stride+4*x:], body.times(0.25), cover/4, under, look.Ground)
			}
		}
	})
	return out, err
}

// met is what the ray through the middle of a pixel met.
type met struct {
	nx, ny, nz, z float32
	kind          uint8
}

// edge says whether one ray is not enough for a pixel: it or a neighbour met another
// stuff, a surface turned by more than some 8 degrees, or another height by more than
// a quarter of a millimetre.
func edge(m []met, x, y, w, h int) bool {
	c := &m[y*w+x]
	for _, k := range [4][2]int{{x - 1, y}, {x + 1, y}, {x, y - 1}, {x, y + 1}} {
		if k[0] < 0 || k[1] < 0 || k[0] >= w || k[1] >= h {
			continue
		}
		n := &m[k[1]*w+k[0]]
		if n.kind != c.kind {
			return true
		}
		if c.kind == 0 {
			continue
		}
		if c.nx*n.nx+c.ny*n.ny+c.nz*n.nz < 0.99 || c.z-n.z > 0.25 || n.z-c.z > 0.25 {
			return true
		}
	}
	return false
}

// covered is the box around everything covered, with a rim of one sample.
func (s *scene) covered() geom.Rect {
	i0, j0, i1, j1 := s.h.W, s.h.H, -1, -1
	for j := range s.h.H {
		row := s.cover[j*s.h.W : (j+1)*s.h.W]
		for i, c := range row {
			if c > 0 {
				i0, i1 = min(i0, i), max(i1, i)
				j0, j1 = min(j0, j), max(j1, j)
			}
		}
	}
	if i1 < 0 {
		return s.h.Bounds()
	}
	return geom.Rect{
		Min: s.h.XY(max(i0-1, 0), max(j0-1, 0)),
		Max: s.h.XY(min(i1+1, s.h.W-1), min(j1+1, s.h.H-1)),
	}
}

// reachedBy lists foot and height of every so-manieth covered sample; of an empty
// scene the corners.
func (s *scene) reachedBy(step int) [][3]float64 {
	var out [][3]float64
	for j := 0; j < s.h.H; j += step {
		for i := 0; i < s.h.W; i += step {
			if s.cover[j*s.h.W+i] > 0 {
				p := s.h.XY(i, j)
				out = append(out, [3]float64{p.X, p.Y, 0}, [3]float64{p.X, p.Y, float64(s.h.At(i, j))})
			}
		}
	}
	if len(out) == 0 {
		b := s.h.Bounds()
		out = append(out, [3]float64{b.Min.X, b.Min.Y, 0}, [3]float64{b.Max.X, b.Max.Y, 0}, [3]float64{b.Min.X, b.Max.Y, 0}, [3]float64{b.Max.X, b.Min.Y, 0})
	}
	return out
}

// lightAt interpolates the shares of window and room; outside the scene both are 1.
func (s *scene) lightAt(x, y float64) (light, room float32) {
	g := s.light.Grid
	u, v := (x-g.X0)/g.PitchMM, (y-g.Y0)/g.PitchMM
	if !(u >= 0 && v >= 0) || u >= float64(g.W-1) || v >= float64(g.H-1) {
		return 1, 1
	}
	i, j := int(u), int(v)
	a, b := float32(u-float64(i)), float32(v-float64(j))
	mix := func(f *field.Field) float32 {
		p, q := f.Z[j*g.W+i:], f.Z[(j+1)*g.W+i:]
		r, t := p[0]+(p[1]-p[0])*a, q[0]+(q[1]-q[0])*a
		return r + (t-r)*b
	}
	return mix(s.light), mix(s.room)
}

// kindAt is the stuff at a place, 0 where less than half of the place is covered.
func (s *scene) kindAt(x, y float64) uint8 {
	u, v := (x-s.h.X0)/s.h.PitchMM, (y-s.h.Y0)/s.h.PitchMM
	if !(u >= 0 && v >= 0) || u >= float64(s.h.W-1) || v >= float64(s.h.H-1) {
		return 0
	}
	i, j := int(u), int(v)
	a, b := u-float64(i), v-float64(j)
	at := j*s.h.W + i
	c := s.cover
	low := float64(c[at])*(1-a) + float64(c[at+1])*a
	high := float64(c[at+s.h.W])*(1-a) + float64(c[at+s.h.W+1])*a
	if low*(1-b)+high*b < 128 {
		return 0
	}
	// The stuff of the fullest of the four samples.
	best := at
	for _, k := range [3]int{at + 1, at + s.h.W, at + s.h.W + 1} {
		if c[k] > c[best] {
			best = k
		}
	}
	return s.kind[best]
}
