package picture

import (
	"context"
	"math"

	"mouldwright/internal/base/field"
)

// window is where the light comes from: a direction as seen from the middle of the
// scene (x right, y away, z up). It stands at the upper left, a little behind, as
// food is lit by a kitchen window. Seen from above it stands lower: light that rakes
// over the art makes it readable.
type window struct {
	x, y, z float32
	tan     float32 // of its height above the horizon
}

func windowFor(v View) window {
	x, y, z := unit3(-0.58, 0.50, 0.86)
	if v == Above {
		x, y, z = unit3(-0.62, 0.56, 0.66)
	}
	return window{x, y, z, z / float32(math.Hypot(float64(x), float64(y)))}
}

// windowDistance is how far the window stands away, in reaches of the scene.
const windowDistance = float32(5)

func unit3(x, y, z float64) (float32, float32, float32) {
	l := math.Sqrt(x*x + y*y + z*z)
	return float32(x / l), float32(y / l), float32(z / l)
}

// lightUp computes, on every second sample, how much of the window and how much of
// the room each place sees.
//
// The window's share comes from the horizon towards it: the steepest slope to any
// height on the way, compared with the window's lower and upper edge. Farther
// heights are taken from blurred copies, which is what a wide window does to
// shadows. The room's share compares each place with the mean height around it, at
// three distances: what lies deeper than its surroundings sees less, what stands out
// of them more, so that it can be above 1.
func (s *scene) lightUp(ctx context.Context) error {
	half, err := halve(ctx, s.h)
	if err != nil {
		return err
	}
	p := half.PitchMM
	// Distances in mm at which a chocolate's own shape casts shade: a letter's
	// hollow, a rim, the whole piece.
	var level [3]*field.Field
	for i, mm := range []float64{0.35, 1, 3} {
		if level[i], err = boxBlur(ctx, half, math.Max(mm/p, 0.6)); err != nil {
			return err
		}
	}
	s.light, s.room = field.New(half.Grid), field.New(half.Grid)
	dx, dy := float64(s.window.x), float64(s.window.y)
	l := math.Hypot(dx, dy)
	dx, dy = dx/l, dy/l
	type step struct {
		i, j int
		inv  float32
		from *field.Field
	}
	var steps []step
	for t := math.Max(0.3, 1.5*p); t < float64(s.top)/float64(s.window.tan)*2.2+1; t *= 1.16 {
		i, j := int(math.Round(dx*t/p)), int(math.Round(dy*t/p))
		from := half
		switch {
		case t > 4:
			from = level[1]
		case t > 1.2:
			from = level[0]
		}
		d := math.Hypot(float64(i), float64(j)) * p
		if d == 0 {
			continue
		}
		steps = append(steps, step{i, j, float32(1 / d), from})
	}
	return field.ForRows(ctx, half.H, func(from, to int) {
		slope := make([]float32, half.W)
		for j := from; j < to; j++ {
			// Row by row, one step at a time: neighbours look at neighbours.
			clear(slope)
			z := half.Row(j)
			for _, st := range steps {
				if uint(j+st.j) >= uint(half.H) {
					break
				}
				lo, hi := max(0, -st.i), min(half.W, half.W-st.i)
				if lo >= hi {
					break
				}
				steepest(slope[lo:hi], st.from.Row(j + st.j)[lo+st.i:hi+st.i], z[lo:hi], st.inv)
			}
			light, room := s.light.Row(j), s.room.Row(j)
			near, mid, far := level[0].Row(j), level[1].Row(j), level[2].Row(j)
			for i, z := range z {
				light[i] = 1 - smooth(0.25*s.window.tan, 1.7*s.window.tan, slope[i])
				a := float32(1)
				a /= 1 + 0.9*max(0, near[i]-z)/0.35
				a /= 1 + 0.8*max(0, mid[i]-z)/1
				a /= 1 + 0.30*max(0, far[i]-z)/3
				// What stands out of its surroundings sees more of the room than they do.
				room[i] = a * (1 + 1.5*min(max(0, z-mid[i]), 0.6))
			}
		}
	})
}

// steepest raises each slope to that from z up to the height beside it, 1/inv away.
func steepest(slope, height, z []float32, inv float32) {
	height, z = height[:len(slope)], z[:len(slope)]
	for i, s := range slope {
		if t := (height[i] - z[i]) * inv; t > s {
			slope[i] = t
		}
	}
}

// halve averages samples two by two.
func halve(ctx context.Context, f *field.Field) (*field.Field, error) {
	g := field.Grid{W: f.W / 2, H: f.H / 2, PitchMM: 2 * f.PitchMM, X0: f.X0 + f.PitchMM/2, Y0: f.Y0 + f.PitchMM/2}
	out := field.New(g)
	err := field.ForRows(ctx, g.H, func(from, to int) {
		for j := from; j < to; j++ {
			a, b, d := f.Row(2*j), f.Row(2*j+1), out.Row(j)
			for i := range d {
				d[i] = (a[2*i] + a[2*i+1] + b[2*i] + b[2*i+1]) / 4
			}
		}
	})
	return out, err
}

func smooth(a, b, x float32) float32 {
	t := (x - a) / (b - a)
	t = min(max(t, 0), 1)
	return t * t * (3 - 2*t)
}

// at3 is a place and three directions: the surface's normal, the normal of the
// same surface with its edges a little rounder, and the way to the eye.
type at3 struct {
	x, y, z    float32
	nx, ny, nz float32
	mx, my, mz float32
	vx, vy, vz float32
}

// shade is the light that leaves a surface towards the eye, in units of sunless
// white paper. light and room are the shares of the window and the room it sees.
func (s *scene) shade(m *stuff, p at3, light, room float32) rgb {
	// The window stands near enough that its direction changes over the scene.
	d := windowDistance * float32(s.reach)
	lx := s.window.x*d - (p.x - float32(s.middle.X))
	ly := s.window.y*d - (p.y - float32(s.middle.Y))
	lz := s.window.z*d - p.z
	inv := 1 / sqrt(lx*lx+ly*ly+lz*lz)
	fall := d * inv
	fall *= fall
	lx, ly, lz = lx*inv, ly*inv, lz*inv

	soft := 0.08 + 0.7*m.through
	// Exposed so that a level place is as bright under a high window as a low one.
	face := 0.80 * max(0, p.nx*lx+p.ny*ly+p.nz*lz+soft) / (s.window.z + soft)
	seen := light + (1-light)*m.through*0.5
	key := 1.16 * face * seen * fall
	openness := room
	if room < 1 {
		openness += (1 - room) * m.through * 0.6
	} else {
		key *= 1 + 0.38*(1-0.8*m.through)*(room-1)
	}
	fill := 0.24 * (0.6 + 0.4*p.nz) * openness
	glow := (0.33 + 0.35*m.through) * (1 - p.nz) * (0.35 + 0.65*openness)
	out := m.albedo.mul(rgb{
		key*1.02 + fill*1.01 + glow*paper.r,
		key*1.00 + fill*1.00 + glow*paper.g,
		key*0.97 + fill*1.00 + glow*paper.b,
	})
	if m.sheen == 0 {
		return out
	}
	// What the satin mirrors: the window, wide and without an edge, above a room
	// that is brighter at the top, and the paper below.
	nv := p.mx*p.vx + p.my*p.vy + p.mz*p.vz
	rx, ry, rz := 2*nv*p.mx-p.vx, 2*nv*p.my-p.vy, 2*nv*p.mz-p.vz
	var glint float32
	if c := rx*lx + ry*ly + rz*lz; c > 0.05 {
		q := (1 - c*c) / (c * c * m.spread * m.spread) // squared tangent over squared spread
		glint = 3.4/(1+q)/(1+q) + 3.0/(1+9*q*q*q)
	}
	sky := 0.16 + 0.22*max(rz, 0)
	if rz < 0.15 {
		sky += (0.34 - sky) * smooth(0.15, -0.4, rz)
	}
	graze := 1 - max(nv, 0)
	g2 := graze * graze
	// A rough surface never mirrors fully at grazing angles: 0.12 instead of 1.
	f := m.f0 + 0.12*g2*g2*graze
	shine := f * m.sheen * (glint*light*fall + sky*room)
	return out.add(rgb{shine * 1.02, shine * 0.98, shine * 0.92})
}

// ground is the light that leaves the ground, as a share of what it leaves where
// nothing stands. keep is the share of the shadow that is kept. Paper grows darker
// away from the window; a page does not.
func (s *scene) ground(x, y, light, room, keep float32, g Ground) float32 {
	shadow := 1 - (0.70*light+0.30)*(0.42+0.58*min(room, 1))
	left := 1 - shadow*keep
	if g != Paper {
		return left
	}
	d := windowDistance * float32(s.reach)
	lx, ly, lz := s.window.x*d-(x-float32(s.middle.X)), s.window.y*d-(y-float32(s.middle.Y)), s.window.z*d
	return left * (0.65 + 0.35*d*d/(lx*lx+ly*ly+lz*lz))
}

func sqrt(x float32) float32 { return float32(math.Sqrt(float64(x))) }
