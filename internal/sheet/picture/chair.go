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

// tile is the side of the square of pixels whose rays are led to the heights together.
const tile = 8

// chair marches a ray through the heights for each pixel, and four more along edges.
func (s *scene) chair(ctx context.Context, look Look) (image.Image, error) {
	c := s.seat(look.SizePx)
	w, h := c.w, c.h
	c.march = newMarcher(s, c.eye)
	// How far the rays of each tile are free: heights are met beyond that.
	tw, th := (w+tile-1)/tile, (h+tile-1)/tile
	free := make([]float64, tw*th)
	if err := field.ForRows(ctx, th, func(from, to int) {
		for j := from; j < to; j++ {
			for i := range tw {
				free[j*tw+i] = c.free(i*tile, j*tile)
			}
		}
	}); err != nil {
		return nil, err
	}
	out := image.NewNRGBA(image.Rect(0, 0, w, h))
	first := make([]met, w*h)
	err := field.ForRows(ctx, h, func(from, to int) {
		for y := from; y < to; y++ {
			for x := range w {
				body, under, m := s.look(&c, float64(x)+0.5, float64(y)+0.5, free[y/tile*tw+x/tile], border(x, y, w, h), look.Ground)
				first[y*w+x] = m
				cover := float32(1)
				if m.kind == 0 {
					cover = 0
				} else {
					under = 1
				}
				blend(out.Pix[y*out.Stride+4*x:], body, cover, under, look.Ground)
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
					b, u, m := s.look(&c, float64(x)+0.5+o[0], float64(y)+0.5+o[1], free[y/tile*tw+x/tile], border(x, y, w, h), look.Ground)
					if m.kind == 0 {
						under += u
						continue
					}
					body = body.add(b)
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

// camera is where the picture is taken from, w by h pixels.
type camera struct {
	w, h            int
	eye             [3]float64
	back, right, up [3]float64 // from the scene to the eye, and square to it
	cu, cv, scale   float64    // the picture's middle and its pixels, as tangents
	march           *marcher
}

// seat puts the camera so that what is covered, at its foot and at its height, fits.
func (s *scene) seat(w int) camera {
	e, t := chairElevationDeg*math.Pi/180, chairTurnDeg*math.Pi/180
	b := [3]float64{math.Sin(t) * math.Cos(e), -math.Cos(t) * math.Cos(e), math.Sin(e)}
	r := [3]float64{math.Cos(t), math.Sin(t), 0}
	u := [3]float64{-b[2] * r[1], b[2] * r[0], b[0]*r[1] - b[1]*r[0]} // back x right
	d := chairDistance * s.reach
	c := camera{w: w, back: b, right: r, up: u,
		eye: [3]float64{s.middle.X + b[0]*d, s.middle.Y + b[1]*d, b[2]*d + float64(s.top)/2}}

	var left, right, low, high = math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, p := range s.reachedBy(4) {
		x, y, z := p[0]-c.eye[0], p[1]-c.eye[1], p[2]-c.eye[2]
		depth := -(x*b[0] + y*b[1] + z*b[2])
		u, v := (x*r[0]+y*r[1])/depth, (x*u[0]+y*u[1]+z*u[2])/depth
		left, right = math.Min(left, u), math.Max(right, u)
		low, high = math.Min(low, v), math.Max(high, v)
	}
	// The shadow falls to the right and to the front: more room there.
	padX, padY := 0.10*(right-left), 0.13*(high-low)
	left, right, low, high = left-padX*0.9, right+padX*1.3, low-padY*1.2, high+padY
	aspect := math.Min(math.Max((high-low)/(right-left), chairFlattest), chairTallest)
	c.h = int(math.Round(float64(w) * aspect))
	c.scale = math.Max((right-left)/float64(w), (high-low)/float64(c.h))
	c.cu, c.cv = (left+right)/2, (low+high)/2
	return c
}

// towards is the direction of the ray through a place in the picture, as far as it
// goes while it gets 1 mm deeper into the picture.
func (c *camera) towards(x, y float64) (dx, dy, dz float64) {
	u, v := c.cu+(x-float64(c.w)/2)*c.scale, c.cv-(y-float64(c.h)/2)*c.scale
	return -c.back[0] + c.right[0]*u + c.up[0]*v, -c.back[1] + c.right[1]*u + c.up[1]*v, -c.back[2] + c.up[2]*v
}

// free is the depth in mm to which no ray of the tile at (x, y) meets anything.
func (c *camera) free(x, y int) float64 {
	var corner [4][3]float64
	for k := range corner {
		dx, dy, dz := c.towards(float64(x+tile*(k&1)), float64(y+tile*(k>>1)))
		corner[k] = [3]float64{dx, dy, dz}
	}
	return c.march.free(corner)
}

// look follows one ray, free to the given depth: the colour it meets or how bright the
// ground is, and what it met. keep is the share of the ground's shadow that is kept.
func (s *scene) look(c *camera, x, y, free float64, keep float32, g Ground) (colour rgb, under float32, m met) {
	dx, dy, dz := c.towards(x, y)
	px, py, pz, hit := c.march.ray(dx, dy, dz, free)
	light, room := s.lightAt(px, py)
	if hit {
		m.kind = s.kindAt(px, py)
		// A steep wall is met on the slope between its last sample and the
		// ground beside it: its stuff lies a few samples on.
		n := s.h.PitchMM / math.Sqrt(dx*dx+dy*dy+dz*dz)
		for k := 1.0; m.kind == 0 && pz > wallMM && k <= 4; k++ {
			m.kind = s.kindAt(px+dx*k*n, py+dy*k*n)
		}
	}
	if m.kind == 0 {
		return colour, s.ground(float32(px), float32(py), light, room, keep, g), m
	}
	p := at3{x: float32(px), y: float32(py), z: float32(pz)}
	p.vx, p.vy, p.vz = unit3(-dx, -dy, -dz)
	fine, round := s.bevel()
	p.nx, p.ny, p.nz = c.march.normal(px, py, float64(fine)*s.h.PitchMM)
	p.mx, p.my, p.mz = c.march.normal(px, py, float64(round)*s.h.PitchMM)
	m.nx, m.ny, m.nz, m.z = p.nx, p.ny, p.nz, p.z
	return s.shade(&s.stuff[m.kind], p, light, room), 0, m
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
