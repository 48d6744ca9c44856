package piece

import (
	"context"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/relief"
)

// art is a piece of art that is read but has no size and no place yet: exactly one
// of its parts is set. Each is given the box to fit into, of which one side may be
// 0 and then is free, and the pitch of the piece.
type art struct {
	outline func(ctx context.Context, widthMM, heightMM float64) (artwork.Setting, []finding.Finding, error) // without letters where it is no text
	tone    func(ctx context.Context, widthMM, heightMM, pitchMM float64) (*field.Field, []finding.Finding, error)
	view    func(ctx context.Context, widthMM, heightMM, pitchMM float64) (*artwork.Top, []finding.Finding, error)
}

// raised is art in its place.
type raised struct {
	relief   *field.Field     // 0..depth, on the part of the grid that it needs
	strokeMM float64          // mean width of an outline's strokes, twice its area by its perimeter; 0 for other art
	letters  []artwork.Letter // of a text
	undercut artwork.Undercut // of a mesh
}

// middled is the art of an outline with its middle, not that of a circle on which words
// are bent, where it is put.
func (t art) middled() art {
	draw := t.outline
	t.outline = func(ctx context.Context, widthMM, heightMM float64) (artwork.Setting, []finding.Finding, error) {
		s, list, err := draw(ctx, widthMM, heightMM)
		if err != nil {
			return s, list, err
		}
		c := s.Outline.Bounds().Center()
		return s.Moved(geom.Move(-c.X, -c.Y)), list, nil
	}
	return t
}

// raise scales the art into its box, turns it, moves it to its place and raises it.
func (t art) raise(ctx context.Context, a artwork.Choices, pitchMM float64) (r raised, list []finding.Finding, err error) {
	if t.outline != nil {
		t, list, err := t.outline(ctx, a.WidthMM, a.HeightMM)
		if err != nil {
			return r, nil, err
		}
		t = t.Moved(geom.Turn(a.TurnDeg).Then(geom.Move(a.XMM, a.YMM)))
		o := t.Outline
		r.letters = t.Letters
		foot := relief.OutsideMM(a.DepthMM, a.Profile, a.DraftDeg, pitchMM)
		g := field.Around(o.Bounds().Grow(foot+pitchMM), pitchMM)
		r.relief, err = relief.FromOutline(ctx, g, o, a.DepthMM, a.Profile, a.DraftDeg)
		r.strokeMM = 2 * o.Area() / o.Perimeter()
		return r, list, err
	}
	var f *field.Field
	if t.view != nil {
		var top *artwork.Top
		if top, list, err = t.view(ctx, a.WidthMM, a.HeightMM, pitchMM); err != nil {
			return r, nil, err
		}
		f, r.undercut = top.Height, top.Deepest
		flat := a.DepthMM / top.HeightMM // it is pressed flat to the art's depth
		r.undercut.HeightMM, r.undercut.VolumeMM3 = flat*r.undercut.HeightMM, flat*r.undercut.VolumeMM3
	} else if f, list, err = t.tone(ctx, a.WidthMM, a.HeightMM, pitchMM); err != nil {
		return r, nil, err
	}
	b, to := f.Bounds(), place(f, a)
	if f, err = moved(ctx, f, to, pitchMM); err != nil {
		return r, nil, err
	}
	if t.view != nil {
		r.undercut.At = to.Apply(r.undercut.At)
		r.relief, err = relief.FromHeights(ctx, f, a.DepthMM, a.DraftDeg)
		return r, list, err
	}
	edge := geom.Outline{{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}}}.Transform(to)
	r.relief, err = relief.FromTone(ctx, f, a.DepthMM, a.DraftDeg, edge)
	return r, list, err
}

// place maps the art's own coordinates to the piece's: its middle to the place asked
// for, turned about it.
func place(f *field.Field, a artwork.Choices) geom.Affine {
	c := f.Bounds().Center()
	return geom.Move(-c.X, -c.Y).Then(geom.Turn(a.TurnDeg)).Then(geom.Move(a.XMM, a.YMM))
}

// moved samples a field that a rigid motion has carried elsewhere, linearly between
// its samples and 0 beyond them.
func moved(ctx context.Context, f *field.Field, m geom.Affine, pitchMM float64) (*field.Field, error) {
	b := f.Bounds()
	corners := geom.Outline{{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}}}.Transform(m)
	g := field.Around(corners.Bounds().Grow(pitchMM), pitchMM)
	out := field.New(g)
	err := field.ForRows(ctx, g.H, func(j0, j1 int) {
		for j := j0; j < j1; j++ {
			dst := out.Row(j)
			for i := range dst {
				// Back by the transpose, which is the inverse of a rotation.
				p := g.XY(i, j)
				p.X, p.Y = p.X-m.E, p.Y-m.F
				x, y := m.A*p.X+m.B*p.Y, m.C*p.X+m.D*p.Y
				dst[i] = f.SampleOrZero(x, y)
			}
		}
	})
	return out, err
}
