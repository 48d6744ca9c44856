package picture

import (
	"context"
	"fmt"
	"image"
	"math"

	"golang.org/x/image/vector"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// scene is what the camera sees: heights over the ground, what each place is made
// of, how much of it is covered, and how much light comes to it.
type scene struct {
	h     *field.Field
	cover []uint8 // share of the sample that a body covers, 0..255
	kind  []uint8 // index into stuff; 0 where there is no body
	stuff []stuff
	top   float32 // greatest height

	light *field.Field // on a grid of twice the pitch: share of the window that is seen
	room  *field.Field // on the same grid: share of the room that is seen

	window window
	middle geom.Vec // of the extent, on the ground
	reach  float64  // half of the longer side of the extent, mm
}

// maxWork bounds the working grid of one picture: MaxPx squared, twice as fine.
const maxWork = 2 * MaxPx * 2 * MaxPx

// newScene lays bodies out on a grid of the given pitch over the extent.
func newScene(ctx context.Context, view View, extent geom.Rect, pitch float64, bodies func(int) (Body, error), placed []Placed) (*scene, error) {
	if extent.Empty() || !(pitch > 0) || extent.W() > 1e5 || extent.H() > 1e5 {
		return nil, fmt.Errorf("picture: nothing to draw (extent %.4g x %.4g mm)", extent.W(), extent.H())
	}
	g := field.Grid{
		W: 2 * max(4, int(math.Ceil(extent.W()/pitch/2))), H: 2 * max(4, int(math.Ceil(extent.H()/pitch/2))),
		PitchMM: pitch, X0: extent.Min.X + pitch/2, Y0: extent.Min.Y + pitch/2,
	}
	if g.W*g.H > maxWork {
		return nil, fmt.Errorf("picture: %d x %d samples needed, allowed %d", g.W, g.H, maxWork)
	}
	s := &scene{h: field.New(g), cover: make([]uint8, g.W*g.H), kind: make([]uint8, g.W*g.H), stuff: []stuff{{}}}
	s.window = windowFor(view)
	s.middle = extent.Center()
	s.reach = math.Max(extent.W(), extent.H()) / 2
	seen := map[string]uint8{}
	made := map[int]Body{}
	for _, p := range placed {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		b, ok := made[p.Body]
		if !ok {
			var err error
			if b, err = bodies(p.Body); err != nil {
				return nil, err
			}
			if b.Relief, err = coarse(ctx, b.Relief, pitch); err != nil {
				return nil, err
			}
			made[p.Body] = b
		}
		k, ok := seen[b.Kind]
		if !ok {
			k = uint8(len(s.stuff))
			seen[b.Kind] = k
			s.stuff = append(s.stuff, stuffOf(b.Kind))
		}
		if err := s.put(ctx, b, p, k); err != nil {
			return nil, err
		}
	}
	for _, z := range s.h.Z {
		s.top = max(s.top, z)
	}
	return s, s.lightUp(ctx)
}

// coarse takes a relief to about the pitch of the scene when it is much finer.
func coarse(ctx context.Context, f *field.Field, pitch float64) (*field.Field, error) {
	if pitch < 1.2*f.PitchMM {
		return f, nil
	}
	return Coarser(ctx, f, pitch)
}

// put adds one body.
func (s *scene) put(ctx context.Context, b Body, p Placed, kind uint8) error {
	to := geom.Turn(p.TurnDeg).Then(geom.Move(p.XMM, p.YMM))
	o := b.Outline.Transform(to)
	box := o.Bounds().Grow(2 * s.h.PitchMM)
	g := s.h.Grid
	i0 := max(0, int(math.Floor((box.Min.X-g.X0)/g.PitchMM)))
	j0 := max(0, int(math.Floor((box.Min.Y-g.Y0)/g.PitchMM)))
	i1 := min(g.W, int(math.Ceil((box.Max.X-g.X0)/g.PitchMM))+1)
	j1 := min(g.H, int(math.Ceil((box.Max.Y-g.Y0)/g.PitchMM))+1)
	if i1 <= i0 || j1 <= j0 {
		return nil
	}
	w, h := i1-i0, j1-j0
	mask := fill(o, w, h, g.X0+float64(i0)*g.PitchMM-g.PitchMM/2, g.Y0+float64(j0)*g.PitchMM-g.PitchMM/2, g.PitchMM)

	var local *field.Field // the body on the scene's own samples, when it is not turned
	if p.TurnDeg == 0 {
		lg := field.Grid{W: w, H: h, PitchMM: g.PitchMM,
			X0: g.X0 + float64(i0)*g.PitchMM - p.XMM, Y0: g.Y0 + float64(j0)*g.PitchMM - p.YMM}
		var err error
		if local, err = resample(ctx, b.Relief, lg); err != nil {
			return err
		}
	}
	sin, cos := math.Sincos(-p.TurnDeg * math.Pi / 180)
	return field.ForRows(ctx, h, func(from, to int) {
		for j := from; j < to; j++ {
			for i := range w {
				c := mask.Pix[j*mask.Stride+i]
				if c == 0 {
					continue
				}
				at := (j0+j)*g.W + i0 + i
				var z float32
				if local != nil {
					z = local.Z[j*w+i]
				} else {
					q := g.XY(i0+i, j0+j)
					x, y := q.X-p.XMM, q.Y-p.YMM
					z = b.Relief.SampleOrZero(x*cos-y*sin, x*sin+y*cos)
				}
				s.h.Z[at] = max(s.h.Z[at], z)
				if c >= s.cover[at] {
					s.cover[at], s.kind[at] = c, kind
				}
			}
		}
	})
}

// fill gives the share of each cell that the outline covers; row 0 is at y0.
func fill(o geom.Outline, w, h int, x0, y0, pitch float64) *image.Alpha {
	z := vector.NewRasterizer(w, h)
	for _, r := range o {
		for i, p := range r {
			x, y := float32((p.X-x0)/pitch), float32((p.Y-y0)/pitch)
			if i == 0 {
				z.MoveTo(x, y)
			} else {
				z.LineTo(x, y)
			}
		}
		z.ClosePath()
	}
	mask := image.NewAlpha(image.Rect(0, 0, w, h))
	z.Draw(mask, mask.Bounds(), image.Opaque, image.Point{})
	return mask
}
