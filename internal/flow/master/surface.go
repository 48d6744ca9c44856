package master

import (
	"context"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/flow/piece"
)

// ringMM is how far the ring of an item may lie off the exact offset of its
// footprint: the fillet is thinner than 0.1 µm there, and a ring has a few hundred
// points instead of thousands.
const ringMM = 0.003

// thinFilletMM is the narrowest fillet that is worth making (our choice: under a
// pixel of most printers).
const thinFilletMM = 0.02

// Surface makes a piece ready for the master: grown by 1/(1-siliconeShrink), so that
// the chocolate and not the master gets the asked size, drawn in by bleedMM on every
// side, so that the print and not its mask has that size, with a fillet of c.FilletMM
// at its foot, meshed to tolMM. Cavities stays 0, to be set by the caller.
func Surface(ctx context.Context, p *piece.Piece, c Choices, siliconeShrink, bleedMM, tolMM float64) (Item, error) {
	return makeSurface(ctx, p, c, siliconeShrink, bleedMM, tolMM, mesh.ReliefEdge)
}

// SketchSurface is Surface for looking at and for laying out: see mesh.SketchEdge.
func SketchSurface(ctx context.Context, p *piece.Piece, c Choices, siliconeShrink, bleedMM, tolMM float64) (Item, error) {
	return makeSurface(ctx, p, c, siliconeShrink, bleedMM, tolMM, mesh.SketchEdge)
}

// mesher turns a relief into a sheet with a ring at one height.
type mesher func(ctx context.Context, f *field.Field, o geom.Outline, tolMM float64, edgeZ float32) (*mesh.Sheet, error)

func makeSurface(ctx context.Context, p *piece.Piece, c Choices, siliconeShrink, bleedMM, tolMM float64, triangulate mesher) (Item, error) {
	it := Item{Name: p.Name, Design: p.Design}
	if !(siliconeShrink >= 0 && siliconeShrink < 0.5) {
		return it, &finding.Error{Key: "silicone.shrinkage", Found: fmt.Sprintf("%g", siliconeShrink), Allowed: "0 to less than 0.5", Do: "write a share: 0.001 is a tenth of a per cent"}
	}
	grow := 1 / (1 - siliconeShrink)
	foot := p.Footprint.Transform(geom.Scale(grow, grow))
	whole := grown(p.Relief, grow, c.FilletMM+max(0, -bleedMM))
	f, err := drawnIn(ctx, whole, bleedMM)
	if err != nil {
		return it, err
	}
	if math.Abs(bleedMM) >= leastBleedMM {
		if foot, err = geom.Offset(foot, -bleedMM); err != nil {
			return it, fmt.Errorf("master: footprint of %q: %w", p.Name, err)
		}
	}
	it.Outline = foot
	bled := 0.0 // what the print has more than the mask
	if f != whole {
		for k, z := range whole.Z {
			bled += float64(z) - float64(f.Z[k])
		}
		bled *= f.PitchMM * f.PitchMM
	}
	if c.FilletMM > 0 {
		extent, err := addFillet(ctx, f, foot, c.FilletMM)
		if err != nil {
			return it, err
		}
		if extent > 0 {
			if it.Outline, err = geom.Offset(foot, extent); err != nil {
				return it, fmt.Errorf("master: fillet of %q: %w", p.Name, err)
			}
		}
	}
	it.Outline = geom.Simplify(it.Outline, ringMM)
	sheet, err := triangulate(ctx, f, it.Outline, tolMM, 0)
	if err != nil {
		return it, fmt.Errorf("master: surface of %q: %w", p.Name, err)
	}
	it.Sheet = sheet
	_, high := sheet.Bounds()
	it.HeightMM = float64(high[2])
	it.VolumeMM3 = sheet.Volume() + bled
	return it, nil
}

// grown scales a relief in all directions and gives it a rim for the fillet.
func grown(f *field.Field, grow, filletMM float64) *field.Field {
	rim := int(math.Ceil(filletMM/(f.PitchMM*grow))) + 3
	g := field.Grid{W: f.W + 2*rim, H: f.H + 2*rim, PitchMM: f.PitchMM * grow,
		X0: (f.X0 - float64(rim)*f.PitchMM) * grow, Y0: (f.Y0 - float64(rim)*f.PitchMM) * grow}
	out := field.New(g)
	for j := range f.H {
		to := out.Row(j + rim)[rim:]
		for i, z := range f.Row(j) {
			to[i] = float32(float64(z) * grow)
		}
	}
	return out
}

// addFillet raises f to an arc of radius r that touches the base and the wall, and
// returns how far it reaches from the footprint. The arc is the one for the wall's
// usual lean: seen in section the base runs along d (distance outside the footprint)
// and the wall rises from d = 0, leaning inwards by the draft. A circle that touches
// both does so at t = r tan(45 deg - draft/2) from the corner; between the two points
//
//	z(d) = r - sqrt(r^2 - (t - d)^2),   -t sin(draft) <= d <= t
func addFillet(ctx context.Context, f *field.Field, foot geom.Outline, r float64) (extent float64, err error) {
	sd, err := field.SignedDistance(ctx, f.Grid, foot, 2*r+4*f.PitchMM)
	if err != nil {
		return 0, err
	}
	draft := wallDraft(f, sd, math.Max(2*f.PitchMM, 0.15*r))
	t := r * math.Tan(math.Pi/4-draft/2)
	if t < thinFilletMM {
		return 0, nil
	}
	inner := -t * math.Sin(draft)
	err = field.ForRows(ctx, f.H, func(j0, j1 int) {
		for k := j0 * f.W; k < j1*f.W; k++ {
			d := -float64(sd.Z[k])
			if d < inner || d >= t {
				continue
			}
			z := r - math.Sqrt(math.Max(0, r*r-(t-d)*(t-d)))
			f.Z[k] = max(f.Z[k], float32(z))
		}
	})
	return t, err
}

// wallDraft is the median lean of the walls from vertical, in radians, over the
// samples about w inside the footprint: distance from the edge over height.
func wallDraft(f, sd *field.Field, w float64) float64 {
	var lean []float64
	for k, s := range sd.Z {
		if d := float64(s); d >= w && d < w+f.PitchMM {
			lean = append(lean, math.Atan2(d, float64(f.Z[k])))
		}
	}
	if len(lean) == 0 {
		return math.Pi / 2
	}
	slices.Sort(lean)
	return lean[len(lean)/2]
}
