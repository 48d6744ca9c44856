package master

import (
	"context"
	"errors"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/pack"
)

// pack lays pieces close, turned by 90 degrees where that saves room. Where the tray
// is larger than the build plate, straight cuts must run between the pieces: then
// they are also packed plate by plate and laid in rows, and of the ways that can be
// cut the one with the fewest trays is taken, then with the fewest tiles.
func (l *layout) pack(ctx context.Context, units []unit) ([][]Placed, error) {
	whole, err := l.packZones(ctx, units, []geom.Rect{l.base(l.c.WidthMM, l.c.DepthMM)})
	if err != nil {
		return nil, err
	}
	best, fewest, ok := whole, 0, false
	if fewest, ok, err = l.tiles(ctx, whole); err != nil || ok && fewest == len(whole) {
		return whole, err
	}
	others := []func(context.Context, []unit) ([][]Placed, error){l.grid}
	if zones := l.zones(); len(zones) > 1 {
		others = append(others, func(ctx context.Context, units []unit) ([][]Placed, error) { return l.packZones(ctx, units, zones) })
	}
	for _, way := range others {
		trays, err := way(ctx, units)
		var refused *finding.Error
		if errors.As(err, &refused) {
			continue // more trays than allowed, or a zone too small for a piece
		} else if err != nil {
			return nil, err
		}
		n, can, err := l.tiles(ctx, trays)
		if err != nil {
			return nil, err
		}
		if can && (!ok || len(trays) < len(best) || len(trays) == len(best) && n < fewest) {
			best, fewest, ok = trays, n, true
		}
	}
	return best, nil // where nothing can be cut, divide says so
}

// tiles counts the tiles of all trays; ok says whether all can be cut.
func (l *layout) tiles(ctx context.Context, trays [][]Placed) (n int, ok bool, err error) {
	for i, on := range trays {
		if len(on) == 0 {
			continue
		}
		t := l.shrink(append([]Placed(nil), on...), len(l.handOn(i)) > 0)
		cuts, err := l.cut(ctx, t)
		if err != nil || cuts == nil {
			return 0, false, err
		}
		n += len(cuts)
	}
	return n, true, nil
}

// packZones packs into the zones of one tray after the other. Pieces keep the margin
// from the frame and half a gap from the line between two zones.
func (l *layout) packZones(ctx context.Context, units []unit, zones []geom.Rect) ([][]Placed, error) {
	gap, m := l.c.GapMM, l.c.MarginMM
	sizes := make([]pack.Size, len(units))
	for i, u := range units {
		b := l.boxes[u.item][0]
		sizes[i] = pack.Size{W: b.W() + gap, H: b.H() + gap}
	}
	corner := func(z geom.Rect) geom.Vec {
		return geom.Vec{X: math.Max(z.Min.X+gap/2, m), Y: math.Max(z.Min.Y+gap/2, m)}
	}
	bin := func(k int) (pack.Bin, bool) {
		t, z := k/len(zones), zones[k%len(zones)]
		if t >= MaxTrays {
			return pack.Bin{}, false
		}
		lo := corner(z)
		hi := geom.Vec{X: math.Min(z.Max.X-gap/2, l.c.WidthMM-m), Y: math.Min(z.Max.Y-gap/2, l.c.DepthMM-m)}
		b := pack.Bin{W: hi.X - lo.X + gap, H: hi.Y - lo.Y + gap}
		for _, p := range l.handOn(t) {
			r := l.box(p)
			// A packed box carries its gap on the right and at the back.
			b.Taken = append(b.Taken, geom.Rect{Min: geom.Vec{X: r.Min.X - lo.X, Y: r.Min.Y - lo.Y},
				Max: geom.Vec{X: r.Max.X + gap - lo.X, Y: r.Max.Y + gap - lo.Y}})
		}
		return b, true
	}
	places, err := pack.Rects(ctx, sizes, bin, true)
	if errors.Is(err, pack.ErrFull) {
		return nil, tooManyTrays()
	} else if err != nil {
		return nil, err
	}
	trays := make([][]Placed, len(l.hand))
	for i := range trays {
		trays[i] = append([]Placed(nil), l.hand[i]...)
	}
	for i, pl := range places {
		t, lo := pl.Bin/len(zones), corner(zones[pl.Bin%len(zones)])
		for len(trays) <= t {
			trays = append(trays, nil)
		}
		deg := 0.0
		if pl.Turned {
			deg = 90
		}
		trays[t] = append(trays[t], l.put(units[i], lo.X+pl.X, lo.Y+pl.Y, deg))
	}
	return trays, nil
}

// zones divides the largest tray evenly into the fewest zones that the build plate
// takes, turned or not.
func (l *layout) zones() []geom.Rect {
	b := l.base(l.c.WidthMM, l.c.DepthMM)
	w, d := l.plate()
	var nx, ny int
	for _, p := range [...][2]float64{{w, d}, {d, w}} {
		x, y := pieces(b.W(), p[0]), pieces(b.H(), p[1])
		if nx == 0 || x*y < nx*ny {
			nx, ny = x, y
		}
	}
	var zones []geom.Rect
	for j := range ny {
		for i := range nx {
			zones = append(zones, geom.Rect{
				Min: geom.Vec{X: b.Min.X + b.W()*float64(i)/float64(nx), Y: b.Min.Y + b.H()*float64(j)/float64(ny)},
				Max: geom.Vec{X: b.Min.X + b.W()*float64(i+1)/float64(nx), Y: b.Min.Y + b.H()*float64(j+1)/float64(ny)}})
		}
	}
	return zones
}

// pieces is how many equal lengths of at most limit make up length; each but the last
// carries a key's tab.
func pieces(length, limit float64) int {
	if length <= limit+fitMM {
		return 1
	}
	return int(math.Ceil(length/math.Max(limit-tabMM, 1) - fitMM))
}
