package piece

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/artwork"
)

// body is a design's shape without its art: what all rows of a name list share.
type body struct {
	outline  geom.Outline // the footprint
	relief   *field.Field // heights, 0 at and outside the footprint
	distance *field.Field // from the footprint, positive inside; may stop growing beyond insetMM
	insetMM  float64      // where the top begins
	heightMM float64
	undercut artwork.Undercut
}

// top is the rectangle around the part of the footprint where art may stand.
func (b *body) top() geom.Rect { return b.outline.Bounds().Grow(-b.insetMM) }

// margin is how much wider than the footprint a piece's grid is, in samples, so that the
// relief comes down to 0 well inside its grid.
const margin = 2

// newBody raises a footprint: sides, edge and top.
func newBody(ctx context.Context, c Choices, in Inputs, o geom.Outline, pitchMM float64) (*body, []finding.Finding, error) {
	rise := 0.0
	if c.Top != "flat" {
		rise = c.RiseMM
	}
	rim := c.HeightMM - rise
	if rim < 0 {
		return nil, []finding.Finding{in.stop("rise_mm", fmt.Sprintf("%g mm, more than the height of %g mm", rise, c.HeightMM),
			fmt.Sprintf("set rise_mm to %g or less", c.HeightMM)).Mended(in.mend(c, "rise_mm", c.HeightMM))}, nil
	}
	s := newSection(rim, c.DraftDeg, c.EdgeMM, pitchMM)
	if most := s.largestEdgeMM(); c.EdgeMM > most {
		return nil, []finding.Finding{in.stop("edge_mm", fmt.Sprintf("%g mm, at most %.2f mm on a side of %g mm", c.EdgeMM, most, rim),
			fmt.Sprintf("set edge_mm to %.2f or less, or make the piece higher", math.Floor(100*most)/100)).Mended(in.mend(c, "edge_mm", math.Floor(100*most)/100))}, nil
	}
	reach, err := reachMM(ctx, o)
	if err != nil {
		return nil, nil, err
	}
	inset := s.insetMM()
	// A top narrower than a fiftieth of the piece is none: reach is not known better.
	size := math.Max(o.Bounds().W(), o.Bounds().H())
	if inset+size/100 >= reach {
		return nil, []finding.Finding{in.stop("height_mm",
			fmt.Sprintf("no top is left: sides and edge reach %.2f mm inwards, the footprint is only %.2f mm deep inside", inset, reach),
			"make the piece wider or lower, or draft_deg or edge_mm smaller")}, nil
	}

	b := &body{outline: o, insetMM: inset, heightMM: c.HeightMM}
	g := field.Around(o.Bounds().Grow(margin*pitchMM), pitchMM)
	if float64(g.W)*float64(g.H) > field.MaxSamples {
		return nil, nil, &finding.Error{Key: in.key("width_mm"), Found: fmt.Sprintf("%d x %d samples", g.W, g.H),
			Allowed: fmt.Sprintf("%d samples", field.MaxSamples), Do: "raise pitch_mm"}
	}
	limit := inset + 4*pitchMM
	if c.Top == "domed" && s.slope > 0 {
		// Where the wall, continued, is higher than the whole piece, there is only dome.
		limit += rise / s.slope
	}
	if b.distance, err = field.SignedDistance(ctx, g, o, limit); err != nil {
		return nil, nil, err
	}
	b.relief = field.New(g)
	switch c.Top {
	case "flat":
		err = b.flat(ctx, s)
	case "cushioned":
		var u *swell
		if u, err = newSwell(ctx, o, inset, reach); err == nil {
			err = b.cushioned(ctx, s, u, rise)
		}
	case "domed":
		var u *swell
		if u, err = newSwell(ctx, o, s.runMM, reach); err == nil {
			err = b.domed(ctx, s, u, rise, reach-s.runMM)
		}
	}
	if err != nil {
		return nil, nil, err
	}
	return b, nil, nil
}

// flat writes wall, arc and a level top: a function of the distance alone.
func (b *body) flat(ctx context.Context, s section) error {
	inset, rim := float32(b.insetMM), float32(s.rimMM)
	return field.ForRows(ctx, b.relief.H, func(j0, j1 int) {
		for j := j0; j < j1; j++ {
			dst := b.relief.Row(j)
			for i, d := range b.distance.Row(j) {
				switch {
				case d >= inset:
					dst[i] = rim
				case d > 0:
					dst[i] = float32(s.at(float64(d), s.rimMM, 0))
				}
			}
		}
	})
}

// cushioned puts a swell on the level top of flat.
func (b *body) cushioned(ctx context.Context, s section, u *swell, rise float64) error {
	return b.swollen(ctx, u, false, func(d, u, climb float64) float64 {
		if d >= b.insetMM {
			return s.rimMM + rise*cushion(u)
		}
		return s.at(d, s.rimMM, 0)
	})
}

// domed rounds the wall over into the dome.
func (b *body) domed(ctx context.Context, s section, u *swell, rise, radius float64) error {
	shape := dome(rise, radius)
	return b.swollen(ctx, u, true, func(d, u, climb float64) float64 {
		h, slope := shape(u)
		return math.Max(0, s.at(d, s.rimMM+rise*h, rise*slope*climb))
	})
}

// swollen writes the height at every sample inside the footprint.
func (b *body) swollen(ctx context.Context, u *swell, climbs bool, height func(d, u, climb float64) float64) error {
	f := b.relief
	up, climb := newSpline(u.u, f.Grid), newSpline(u.climb, f.Grid)
	return field.ForRows(ctx, f.H, func(j0, j1 int) {
		line, us, cs := make([]float32, u.u.W), make([]float32, f.W), make([]float32, f.W)
		for j := j0; j < j1; j++ {
			up.row(j, line, us)
			if climbs {
				climb.row(j, line, cs)
			}
			dst := f.Row(j)
			for i, d := range b.distance.Row(j) {
				if d > 0 {
					dst[i] = float32(height(float64(d), float64(us[i]), float64(cs[i])))
				}
			}
		}
	})
}

// reachMM is the greatest distance that a place inside the outline has from it, low
// by at most a hundredth of the outline's size.
func reachMM(ctx context.Context, o geom.Outline) (float64, error) {
	b := o.Bounds()
	size := math.Max(b.W(), b.H())
	d, err := field.SignedDistance(ctx, field.Around(b, size/128), o, size)
	if err != nil {
		return 0, err
	}
	reach := float32(0)
	for _, v := range d.Z {
		reach = max(reach, v)
	}
	return float64(reach), nil
}
