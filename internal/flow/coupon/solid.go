package coupon

import (
	"context"
	"fmt"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
)

// terrace is a level that stands up from the top of a coupon, or is let into it. Its
// walls follow its outline exactly: a sampled wall would lean, and these are measured.
type terrace struct {
	outline geom.Outline
	riseMM  float64 // above the top; negative: sunk
	inMM    float64 // how far its far end is drawn in on each side; 0: upright walls
}

// solid is a coupon's shape: a slab whose outline, holes among them, is exact.
type solid struct {
	outline  geom.Outline // settled, on the plan as printed
	thickMM  float64
	terraces []terrace              // apart from each other and from the outline
	sheets   []*mesh.Sheet          // further surfaces, each with its rings at the top
	bottom   func(geom.Vec) float64 // height of the underside; nil: flat on the plate
}

// bottomPitchMM samples undersides (our choice: coarse, since their ledges are out of the
// caliper's way).
const bottomPitchMM = 0.1

// mesh is the closed mesh.
func (s *solid) mesh(ctx context.Context) (*mesh.Mesh, error) {
	var b mesh.Builder
	z := float32(s.thickMM)
	rim := mesh.Level(s.outline, z)
	top := append([]mesh.Ring3(nil), rim...)
	for _, t := range s.terraces {
		far := t.outline
		if t.inMM > 0 {
			var err error
			if far, err = geom.Offset(t.outline, -t.inMM); err != nil {
				return nil, err
			}
		}
		near, end := mesh.Level(t.outline, z), mesh.Level(far, z+float32(t.riseMM))
		for _, r := range near {
			top = append(top, r.Reversed())
		}
		roof, err := mesh.Plane(end)
		if err != nil {
			return nil, err
		}
		b.Up(roof)
		switch {
		case t.inMM > 0:
			flank := append([]mesh.Ring3(nil), near...)
			for _, r := range end {
				flank = append(flank, r.Reversed())
			}
			side, err := mesh.Plane(flank)
			if err != nil {
				return nil, err
			}
			b.Up(side)
		case t.riseMM > 0:
			b.Wall(end, near)
		default: // the rim of a pit runs around a hole of the solid
			for i := range near {
				b.Wall([]mesh.Ring3{near[i].Reversed()}, []mesh.Ring3{end[i].Reversed()})
			}
		}
	}
	for _, sh := range s.sheets {
		b.Up(sh)
		for _, r := range sh.Rings {
			top = append(top, r.Reversed())
		}
	}
	plane, err := mesh.Plane(top)
	if err != nil {
		return nil, err
	}
	b.Up(plane)
	if err := s.underside(ctx, &b, rim); err != nil {
		return nil, err
	}
	m, err := b.Mesh()
	if err != nil {
		return nil, fmt.Errorf("coupon: %w", err)
	}
	return m, nil
}

func (s *solid) underside(ctx context.Context, b *mesh.Builder, rim []mesh.Ring3) error {
	if s.bottom == nil {
		rings := mesh.Level(s.outline, 0)
		plane, err := mesh.Plane(rings)
		if err != nil {
			return err
		}
		b.Wall(rim, rings)
		b.Down(plane)
		return nil
	}
	f := field.New(field.Around(s.outline.Bounds().Grow(2*bottomPitchMM), bottomPitchMM))
	for j := range f.H {
		for i := range f.W {
			f.Z[j*f.W+i] = float32(s.bottom(f.XY(i, j)))
		}
	}
	under, err := mesh.Relief(ctx, f, s.outline, mesh.ToleranceMM)
	if err != nil {
		return err
	}
	b.Down(under)
	b.Wall(rim, under.Rings)
	return nil
}

// relieved draws the underside in along every edge, so that the bulge of the first
// layers is not measured: it stands clearMM high up to withinMM inside the outline.
func relieved(ctx context.Context, o geom.Outline, clearMM, withinMM float64) (func(geom.Vec) float64, error) {
	g := field.Around(o.Bounds().Grow(2*bottomPitchMM), bottomPitchMM)
	d, err := field.SignedDistance(ctx, g, o, 4*withinMM)
	if err != nil {
		return nil, err
	}
	return func(p geom.Vec) float64 {
		i, j := int((p.X-g.X0)/g.PitchMM+0.5), int((p.Y-g.Y0)/g.PitchMM+0.5)
		in := float64(d.At(i, j))
		return clearMM * min(1, max(0, 1-(in-withinMM)/(2*bottomPitchMM)))
	}, nil
}
