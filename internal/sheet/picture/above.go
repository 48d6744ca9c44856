package picture

import (
	"context"
	"image"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// Chocolate pictures one piece: relief f in mm over its back, o the footprint, kind
// dark, milk or white. The extent is the footprint and a margin for its shadow.
func Chocolate(ctx context.Context, f *field.Field, o geom.Outline, kind string, look Look) (image.Image, error) {
	body := func(int) (Body, error) { return Body{f, o, kind}, nil }
	return Scene(ctx, Seen(f, o, look.View), body, []Placed{{}}, look)
}

// Seen is what a picture of one piece shows, in mm.
func Seen(f *field.Field, o geom.Outline, view View) geom.Rect {
	b := o.Bounds()
	_, top := f.Extremes()
	margin := math.Max(0.1*math.Max(b.W(), b.H()), 0.5*float64(top))
	if view == Chair {
		margin = math.Max(margin, 1.4*float64(top))
	}
	return b.Grow(margin)
}

// Scene pictures bodies where they are placed. The extent, in mm, is what is seen
// from above; from the chair it is what the camera is turned to. bodies is called
// once for each body in the order of its first place.
func Scene(ctx context.Context, extent geom.Rect, bodies func(int) (Body, error), placed []Placed, look Look) (image.Image, error) {
	if err := look.check(); err != nil {
		return nil, err
	}
	long := math.Max(extent.W(), extent.H())
	if look.View == Chair {
		s, err := newScene(ctx, look.View, extent, long/(1.6*float64(look.SizePx)), bodies, placed)
		if err != nil {
			return nil, err
		}
		return s.chair(ctx, look)
	}
	s, err := newScene(ctx, look.View, extent, long/(2*float64(look.SizePx)), bodies, placed)
	if err != nil {
		return nil, err
	}
	return s.above(ctx, look.Ground)
}

// above shades every sample as seen straight down and averages them two by two.
func (s *scene) above(ctx context.Context, ground Ground) (image.Image, error) {
	w, h := s.h.W/2, s.h.H/2
	out := image.NewNRGBA(image.Rect(0, 0, w, h))
	g := s.h.Grid
	fine, round := s.bevel()
	err := field.ForRows(ctx, h, func(from, to int) {
		for y := from; y < to; y++ {
			jj := h - 1 - y // pictures run down, grids run up
			for x := range w {
				at2 := jj*w + x
				light, room := s.light.Z[at2], s.room.Z[at2]
				var body rgb
				var cover float32
				for k := range 4 {
					i, j := 2*x+k&1, 2*jj+k>>1
					at := j*g.W + i
					c := s.cover[at]
					if c == 0 {
						continue
					}
					p := at3{x: float32(g.X0 + float64(i)*g.PitchMM), y: float32(g.Y0 + float64(j)*g.PitchMM), z: s.h.Z[at]}
					p.nx, p.ny, p.nz = s.normal(i, j, fine)
					p.mx, p.my, p.mz = s.normal(i, j, round)
					// The eye is far above, but not at infinity: the sheen moves over the piece.
					p.vx = -(p.x - float32(s.middle.X)) / (4 * float32(s.reach))
					p.vy = -(p.y - float32(s.middle.Y)) / (4 * float32(s.reach))
					n := 1 / sqrt(p.vx*p.vx+p.vy*p.vy+1)
					p.vx, p.vy, p.vz = p.vx*n, p.vy*n, n
					a := float32(c) / 255
					body = body.add(s.shade(&s.stuff[s.kind[at]], p, light, room).times(a))
					cover += a
				}
				body, cover = body.times(0.25), cover/4
				px, py := float32(s.light.X0+float64(x)*s.light.PitchMM), float32(s.light.Y0+float64(jj)*s.light.PitchMM)
				under := float32(1)
				if cover < 1 {
					under = s.ground(px, py, light, room, border(x, y, w, h), ground)
				}
				blend(out.Pix[y*out.Stride+4*x:], body, cover, under, ground)
			}
		}
	})
	return out, err
}

// border fades a shadow out towards the picture's edge, so that it is not cut off.
func border(x, y, w, h int) float32 {
	edge := min(x, y, w-1-x, h-1-y)
	return smooth(0, 0.09*float32(max(w, h)), float32(edge))
}

// bevel is over how many samples to each side a slope is taken, for scattered light
// and for the sheen: as far as chocolate rounds an edge, one or two tenths of a
// millimetre (common practice, no source). It lets edges catch the light.
func (s *scene) bevel() (fine, round int) {
	n := func(mm float64) int { return max(1, int(math.Round(mm/s.h.PitchMM))) }
	return n(0.08), n(0.24)
}

// normal is the surface's direction at a sample, from heights d samples away.
func (s *scene) normal(i, j, d int) (x, y, z float32) {
	g := &s.h.Grid
	il, ir, jd, ju := max(i-d, 0), min(i+d, g.W-1), max(j-d, 0), min(j+d, g.H-1)
	inv := 1 / (2 * float32(d) * float32(g.PitchMM))
	x = -(s.h.Z[j*g.W+ir] - s.h.Z[j*g.W+il]) * inv
	y = -(s.h.Z[ju*g.W+i] - s.h.Z[jd*g.W+i]) * inv
	z = 1 / sqrt(x*x+y*y+1)
	return x * z, y * z, z
}

// blend writes one pixel: a body's light, already weighted by its cover, over the
// ground that receives the share under of its full light.
func blend(px []uint8, body rgb, cover, under float32, ground Ground) {
	rest := 1 - cover
	switch ground {
	case Paper:
		c := body.add(paper.times(rest * under))
		px[0], px[1], px[2], px[3] = encode(c.r), encode(c.g), encode(c.b), 255
	case Blank:
		// The page is the light's measure: unshadowed ground is exactly white.
		u := min(under, 1)
		c := body.add(rgb{1, 0.995, 0.985}.lerp(rgb{1, 1, 1}, u).times(rest * u))
		px[0], px[1], px[2], px[3] = encodeFlat(c.r), encodeFlat(c.g), encodeFlat(c.b), 255
	case Clear:
		// Shadow as black ink, warm where it is thin.
		ink := rest * (1 - gamma(min(under, 1)))
		a := cover + ink
		if a <= 0 {
			px[0], px[1], px[2], px[3] = 0, 0, 0, 0
			return
		}
		c := rgb{}
		if cover > 0 {
			c = body.times(1 / cover)
		}
		t := cover / a
		mix := func(v float32, shadow uint8) uint8 {
			return uint8(float32(encode(v))*t + float32(shadow)*(1-t) + 0.5)
		}
		px[0], px[1], px[2], px[3] = mix(c.r, 40), mix(c.g, 28), mix(c.b, 20), uint8(a*255+0.5)
	}
}

// gamma is the sRGB share 0..1 of linear light 0..1.
func gamma(v float32) float32 { return float32(encodeFlat(v)) / 255 }
