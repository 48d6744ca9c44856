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
)

// A thick body may be hollowed from below: the tile's underside is one more height
// field. Under each piece a vault rises to hollow_mm below the surface, measured square
// to it, divided by ribs, its walls so steep that they print without supports. Straight
// channels along the underside run through the ribs and out at the tile's edge, so that
// no cell sucks while it is printed or keeps liquid resin.
const (
	hollowPitchMM = 0.25 // of the vaults
	backPitchMM   = 0.06 // of the whole underside; the walls of numbers span 2.4 samples
	roughBackMM   = 0.25 // the same of a sketch, which has no numbers
	backTolMM     = 0.02
	ribMM         = 1.2  // twice the thinnest wall that prints straight (common practice, no source)
	cellMM        = 16.0 // of a vault, rib to rib: under a body 16 mm high its level roof is some 5 mm wide, which prints as a bridge (common practice: up to 8 mm, no source)
	vaultLean     = 20.0 // degrees from vertical of its walls; 45 prints without supports (common practice, no source)
	vaultLeastMM  = 2.0  // lower vaults are not worth their drains
	drainRoofMM   = 1.2  // of the base over a channel
	drainMostMM   = 1.5  // height of a channel
)

// vault is the hollow of one piece on its tile, before the channels.
type vault struct {
	box    geom.Rect
	nx, ny int
}

// mid is the middle of a cell's column or row.
func (v vault) mid(upright bool, k int) float64 {
	if upright {
		return v.box.Min.X + v.box.W()*(float64(k)+0.5)/float64(v.nx)
	}
	return v.box.Min.Y + v.box.H()*(float64(k)+0.5)/float64(v.ny)
}

// channel is a straight drain between two points, along x or y.
type channel struct{ a, b geom.Vec }

// box is the room that a channel takes.
func (c channel) box(widthMM float64) geom.Rect {
	r := geom.EmptyRect()
	r.Add(c.a)
	r.Add(c.b)
	return r.Grow(widthMM / 2)
}

// hollowUnder makes the underside of a tile with vaults under its thick pieces. text
// is the engraving, where it stands. nil means that nothing is thick enough.
func (m *maker) hollowUnder(ctx context.Context, name string, o geom.Outline, base float64, pieces []placedSheet, text geom.Outline) (*underside, error) {
	heights, vaults, err := m.vaults(ctx, o, base, pieces, nil)
	if err != nil || len(vaults) == 0 {
		return nil, err
	}
	keep := geom.EmptyRect()
	if text != nil {
		keep = text.Bounds().Grow(0.6)
	}
	var drains []channel
	stuck := 0
	for _, v := range vaults {
		own, ok := m.drains(v, o.Bounds(), keep)
		if !ok {
			stuck++
			heights.clear(v.box)
			continue
		}
		drains = append(drains, own...)
	}
	if stuck > 0 {
		m.found = append(m.found, finding.Finding{Severity: finding.Note, Where: name, What: fmt.Sprintf("%d of %d thick pieces stay solid: a drain would run through the tile's number", stuck, len(vaults)), Do: "another place for the piece, or a narrower master.drain_mm"})
	}
	if len(drains) == 0 {
		return nil, nil
	}
	f, err := m.back(ctx, o, base, math.Min(drainMostMM, base-drainRoofMM), heights.Field, drains, text)
	if err != nil {
		return nil, err
	}
	s, err := mesh.Relief(ctx, f, o, backTolMM)
	if err != nil {
		return nil, fmt.Errorf("master: hollow underside of %s: %w", name, err)
	}
	return &underside{rim: s.Rings, down: []*mesh.Sheet{s}, openZ: s.Volume()}, nil
}

// hollowTile is hollowUnder of a tray's tile.
func (m *maker) hollowTile(ctx context.Context, name string, t *Tray, tile Tile, o geom.Outline, base float64, at func(Placed) (float64, float64), text geom.Outline) (*underside, error) {
	var pieces []placedSheet
	for _, k := range tile.Placed {
		pl := t.Placed[k]
		x, y := at(pl)
		s, err := m.sheets[pl.Item].Placed(pl.TurnDeg, x, y, 0)
		if err != nil {
			return nil, err
		}
		own := m.items[pl.Item].Outline.Transform(geom.Scale(m.grow, m.grow)).Transform(turn(pl.TurnDeg)).Transform(geom.Move(x, y))
		pieces = append(pieces, placedSheet{s, own})
	}
	return m.hollowUnder(ctx, name, o, base, pieces, text)
}

// placedSheet is a piece's surface where it stands on a tile.
type placedSheet struct {
	sheet   *mesh.Sheet
	outline geom.Outline
}

// vaultField is the height of the vaults over the build plate, 0 where there is none.
type vaultField struct{ *field.Field }

func (f vaultField) clear(box geom.Rect) {
	for j := range f.H {
		for i := range f.Row(j) {
			if p := f.XY(i, j); p.X >= box.Min.X && p.X <= box.Max.X && p.Y >= box.Min.Y && p.Y <= box.Max.Y {
				f.Row(j)[i] = 0
			}
		}
	}
}

// vaults gives the height of every vault: below the surface moved inwards by the wall,
// and no steeper than the lean over the distance from ribs and rim. A collar (nil: none) stays
// solid, and where it carries the roof there are no ribs.
func (m *maker) vaults(ctx context.Context, o geom.Outline, base float64, pieces []placedSheet, collar *collarAt) (vaultField, []vault, error) {
	wall := m.c.HollowMM * m.grow
	grid := field.Around(o.Bounds().Grow(wall+2*hollowPitchMM), hollowPitchMM)
	inside, err := field.SignedDistance(ctx, grid, o, 2*hollowPitchMM)
	if err != nil {
		return vaultField{}, nil, err
	}
	top := field.New(grid)
	for k, d := range inside.Z {
		if d > 0 {
			top.Z[k] = float32(base)
		}
	}
	for _, p := range pieces {
		raise(top, p.sheet, float32(base))
	}
	// A sample may lie half a diagonal off the place that is nearest to the surface.
	inner, err := field.ErodeBall(ctx, top, wall+hollowPitchMM*math.Sqrt2/2)
	if err != nil {
		return vaultField{}, nil, err
	}
	off := field.NewMask(grid) // solid at the build plate
	for k := range off.On {
		off.On[k] = true
	}
	var vaults []vault
	for _, p := range pieces {
		own, err := field.SignedDistance(ctx, field.Around(p.outline.Bounds(), hollowPitchMM), p.outline, 2*hollowPitchMM)
		if err != nil {
			return vaultField{}, nil, err
		}
		box := geom.EmptyRect()
		each := func(do func(k int, at geom.Vec)) {
			for j := range grid.H {
				for i := range grid.W {
					at := grid.XY(i, j)
					if k := j*grid.W + i; float64(inner.Z[k]) >= vaultLeastMM && own.Sample(at) > 0 {
						do(k, at)
					}
				}
			}
		}
		b := p.outline.Bounds()
		within := func(at geom.Vec) bool { return at.X > b.Min.X && at.X < b.Max.X && at.Y > b.Min.Y && at.Y < b.Max.Y }
		each(func(_ int, at geom.Vec) {
			if within(at) {
				box.Add(at)
			}
		})
		if box.Empty() || box.W() < cellMM/3 || box.H() < cellMM/3 {
			continue
		}
		cells := func(mm float64) int { return int(math.Max(1, math.Round(mm/cellMM))) }
		v := vault{box, cells(box.W()), cells(box.H())}
		if collar.bears(box) {
			v.nx, v.ny = 1, 1
		}
		rib := func(x, lo, size float64, n int) bool {
			for k := 1; k < n; k++ {
				if math.Abs(x-(lo+size*float64(k)/float64(n))) < ribMM*m.grow/2 {
					return true
				}
			}
			return false
		}
		each(func(k int, at geom.Vec) {
			if within(at) && !collar.holds(at) && !rib(at.X, box.Min.X, box.W(), v.nx) && !rib(at.Y, box.Min.Y, box.H(), v.ny) {
				off.On[k] = false
			}
		})
		vaults = append(vaults, v)
	}
	if len(vaults) == 0 {
		return vaultField{}, nil, nil
	}
	d, err := field.Distance(ctx, off)
	if err != nil {
		return vaultField{}, nil, err
	}
	rise := float32(1 / math.Tan(vaultLean*math.Pi/180))
	for k := range d.Z {
		d.Z[k] = max(0, min(inner.Z[k], rise*(d.Z[k]-hollowPitchMM)))
	}
	return vaultField{d}, vaults, nil
}

// raise lifts a field to a sheet that stands on it.
func raise(f *field.Field, s *mesh.Sheet, base float32) {
	for _, t := range s.T {
		a, b, c := s.V[t[0]], s.V[t[1]], s.V[t[2]]
		box := geom.EmptyRect()
		for _, v := range [...][3]float32{a, b, c} {
			box.Add(geom.Vec{X: float64(v[0]), Y: float64(v[1])})
		}
		ux, uy, vx, vy := float64(b[0]-a[0]), float64(b[1]-a[1]), float64(c[0]-a[0]), float64(c[1]-a[1])
		area := ux*vy - uy*vx
		i0, i1 := int(math.Ceil((box.Min.X-f.X0)/f.PitchMM)), int(math.Floor((box.Max.X-f.X0)/f.PitchMM))
		j0, j1 := int(math.Ceil((box.Min.Y-f.Y0)/f.PitchMM)), int(math.Floor((box.Max.Y-f.Y0)/f.PitchMM))
		for j := max(j0, 0); j <= min(j1, f.H-1); j++ {
			for i := max(i0, 0); i <= min(i1, f.W-1); i++ {
				p := f.XY(i, j)
				px, py := p.X-float64(a[0]), p.Y-float64(a[1])
				l, k := (px*vy-py*vx)/area, (ux*py-uy*px)/area
				if l >= -1e-9 && k >= -1e-9 && l+k <= 1+1e-9 {
					f.Row(j)[i] = base + a[2] + float32(l)*(b[2]-a[2]) + float32(k)*(c[2]-a[2])
				}
			}
		}
	}
}

// drains are the channels of a vault: through all its ribs, and the shortest way out at
// the tile's edge that leaves the engraving whole. ok is false when there is none.
func (m *maker) drains(v vault, tile, keep geom.Rect) (out []channel, ok bool) {
	width := m.c.DrainMM * m.grow
	best, found := channel{}, false
	for _, upright := range [...]bool{false, true} {
		n, last := v.ny, v.nx-1
		if upright {
			n, last = v.nx, v.ny-1
		}
		point := func(along, across float64) geom.Vec {
			if upright {
				return geom.Vec{X: across, Y: along}
			}
			return geom.Vec{X: along, Y: across}
		}
		lo, hi := tile.Min.X, tile.Max.X
		if upright {
			lo, hi = tile.Min.Y, tile.Max.Y
		}
		for k := range n {
			across := v.mid(upright, k)
			first, end := v.mid(!upright, 0), v.mid(!upright, last)
			out = append(out, channel{point(first, across), point(end, across)})
			for _, way := range [...]channel{{point(lo-1, across), point(first, across)}, {point(end, across), point(hi+1, across)}} {
				if !keep.Empty() && touches(way.box(width), keep) {
					continue
				}
				if !found || way.length() < best.length()-fitMM {
					best, found = way, true
				}
			}
		}
	}
	// What runs through the ribs lies under the piece; the engraving may lie there too.
	out = slices.DeleteFunc(out, func(c channel) bool { return c.length() < fitMM })
	for _, c := range out {
		if !keep.Empty() && touches(c.box(width), keep) {
			return nil, false
		}
	}
	return append(out, best), found
}

func (c channel) length() float64 { return c.b.Sub(c.a).Len() }

func touches(a, b geom.Rect) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

// back is the whole underside: first layers drawn in, vaults, channels drainMM high, engraving.
func (m *maker) back(ctx context.Context, o geom.Outline, base, drainMM float64, vaults *field.Field, drains []channel, text geom.Outline) (*field.Field, error) {
	pitch := backPitchMM
	if m.letters == nil {
		pitch = roughBackMM
	}
	grid := field.Around(o.Bounds().Grow(2*pitch), pitch)
	f, err := field.Resample(ctx, vaults, grid)
	if err != nil {
		return nil, err
	}
	foot, footHeight := m.print.FootMM, math.Min(m.print.FootHeightMM, base/2)
	if foot >= leastFootMM && footHeight >= leastFootMM {
		edge, err := field.SignedDistance(ctx, grid, o, foot+2*pitch)
		if err != nil {
			return nil, err
		}
		for k, d := range edge.Z {
			f.Z[k] = max(f.Z[k], float32(footHeight*math.Min(1, math.Max(0, 1-float64(d)/foot))))
		}
	}
	if text != nil {
		depth, lean := m.onLayer(m.c.EngraveMM), math.Tan(engraveLeanDeg*math.Pi/180)
		letters, err := field.SignedDistance(ctx, grid, text, depth*lean+2*pitch)
		if err != nil {
			return nil, err
		}
		for k, d := range letters.Z {
			if d > 0 {
				f.Z[k] = max(f.Z[k], float32(math.Min(float64(d)/lean, depth)))
			}
		}
	}
	half, rise := m.c.DrainMM*m.grow/2, 1/math.Tan(vaultLean*math.Pi/180)
	high := m.onLayer(drainMM)
	for _, c := range drains {
		box := c.box(2 * half)
		for j := max(0, int((box.Min.Y-grid.Y0)/pitch)); j < min(grid.H, int((box.Max.Y-grid.Y0)/pitch)+2); j++ {
			for i := max(0, int((box.Min.X-grid.X0)/pitch)); i < min(grid.W, int((box.Max.X-grid.X0)/pitch)+2); i++ {
				d := distanceTo(grid.XY(i, j), c)
				f.Row(j)[i] = max(f.Row(j)[i], float32(math.Min(high, math.Max(0, (half-d)*rise))))
			}
		}
	}
	return f, ctx.Err()
}

func distanceTo(p geom.Vec, c channel) float64 {
	along := c.b.Sub(c.a)
	t := math.Max(0, math.Min(1, p.Sub(c.a).Dot(along)/along.Dot(along)))
	return p.Sub(c.a.Lerp(c.b, t)).Len()
}
