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

// A loose piece sits in a shallow pocket of the base on a peg. The peg is round with
// one flat side, so that the piece fits in one way only, and tapers upwards.
const (
	seatMM      = 0.8 // depth of the pocket: as thick as the piece's rim must be to print
	pocketLean  = 5.0 // degrees, of the pocket's wall
	pegLean     = 4.0 // degrees, of the peg's wall
	pegMinMM    = 2.0 // radius
	pegMaxMM    = 6.0
	pegWallMM   = 2.0 // of the piece around its socket
	pegRoofMM   = 1.0 // of the piece over its socket
	pegFlat     = 0.5 // the flat side's distance, in units of the radius, from the middle
	pegTopGapMM = 0.2 // over the peg, so that the piece rests on the pocket's floor
)

// peg is an item's pocket, peg and socket, in the item's own place, grown. Heights of
// pocket and peg count from the base's top, heights of the socket from the piece's
// underside.
type peg struct {
	centre geom.Vec
	radius float64       // of the peg's top
	root   float64       // of its foot
	pocket []*mesh.Sheet // wall, floor and the peg's side, seen from above
	edge   []mesh.Ring3  // the pocket's rim, at z = 0
	tip    []mesh.Ring3  // the peg's upper edge
	top    float64       // of the peg
	volume float64       // peg minus pocket, without the number
	socket []*mesh.Sheet // mouth and side, seen from below; the first one's first ring is the mouth
	roof   []mesh.Ring3  // the socket's upper edge
	roofZ  float64       // height of the socket
	seat   float64       // grown

	under    *underside // of a hollow piece, without its socket
	savedMM3 float64    // that it leaves out, grown
}

// dee is the peg's section: a circle of radius r with a flat side to the front.
func dee(at geom.Vec, r float64) geom.Outline {
	const n = 48
	a0 := math.Asin(-pegFlat)
	span := math.Pi - 2*a0
	var ring geom.Ring
	for i := range n + 1 {
		s, c := math.Sincos(a0 + span*float64(i)/n)
		ring = append(ring, geom.Vec{X: at.X + r*c, Y: at.Y + r*s})
	}
	return geom.Outline{ring}
}

// makePegs finds a place for every item's socket. An item without room for one gives
// a Stop finding.
func (m *maker) makePegs(ctx context.Context) error {
	for i := range m.items {
		p, err := m.makePeg(ctx, i)
		if err != nil {
			return fmt.Errorf("master: socket of %q: %w", m.items[i].Name, err)
		}
		m.pegs = append(m.pegs, p)
	}
	return nil
}

// makePeg makes an item's peg; with hollow_mm it tries a deeper seat first, through whose
// rim a hollow can drain.
func (m *maker) makePeg(ctx context.Context, i int) (peg, error) {
	if m.c.HollowMM > 0 {
		if p, ok, err := m.hollowPeg(ctx, i); ok || err != nil {
			return p, err
		}
	}
	return m.pegAt(ctx, i, seatMM, pegMaxMM)
}

// pegAt makes a peg of at most so large a radius in a pocket of this depth.
func (m *maker) pegAt(ctx context.Context, i int, seatMM, mostMM float64) (peg, error) {
	g := m.grow
	it, sheet := m.items[i], m.sheets[i]
	o := it.Outline.Transform(geom.Scale(g, g))
	p := peg{seat: m.level(seatMM)}
	at, room, err := widest(ctx, o)
	if err != nil {
		return p, err
	}
	r := math.Min(mostMM, room-pegWallMM)
	height := m.onLayer(m.c.PegMM*g + pegTopGapMM)
	if r < pegMinMM {
		m.stop(it.Name, fmt.Sprintf("%.1f mm from its middle to its edge, allowed %.1f mm for a peg", room, pegMinMM+pegWallMM), "a larger piece, or build = \"tiles\"")
		return p, nil
	}
	if low := lowest(sheet, at, r) + p.seat; low < height+m.c.EngraveMM+pegRoofMM {
		m.stop(it.Name, fmt.Sprintf("%.1f mm high over its socket, allowed %.1f mm", low, height+m.c.EngraveMM+pegRoofMM), "a lower master.peg_mm, a higher piece, or build = \"tiles\"")
		return p, nil
	}
	p.centre, p.root = at, r
	clear, lean := math.Max(0, m.c.ClearMM+m.bleed), math.Tan(pegLean*math.Pi/180)
	section := func(z, grow float64) (geom.Outline, error) { return geom.Offset(dee(at, r), grow-z*lean) }

	rim, err := geom.Offset(o, clear+p.seat*math.Tan(pocketLean*math.Pi/180))
	if err != nil {
		return p, err
	}
	floor, err := geom.Offset(o, clear)
	if err != nil {
		return p, err
	}
	tip, err := section(m.level(m.c.PegMM), 0)
	if err != nil {
		return p, err
	}
	p.top = m.level(m.c.PegMM) - p.seat
	p.radius = r - m.c.PegMM*g*lean
	root := mesh.Level(dee(at, r), float32(-p.seat))
	floorRings := mesh.Level(floor, float32(-p.seat))
	p.edge, p.tip = mesh.Level(rim, 0), mesh.Level(tip, float32(p.top))
	for _, rings := range [...][]mesh.Ring3{
		append(append([]mesh.Ring3(nil), p.edge...), reversed(floorRings)...),
		append(floorRings, reversed(root)...),
		append(root, reversed(p.tip)...),
	} {
		s, err := mesh.Plane(rings)
		if err != nil {
			return p, err
		}
		p.pocket = append(p.pocket, s)
		p.volume += s.Volume()
	}
	p.volume += tip.Area() * p.top

	// The socket: its mouth is wider by the first layers' bulge.
	p.roofZ = height
	foot, footHeight := m.print.FootMM, math.Min(m.print.FootHeightMM, p.seat-0.2)
	var rings [][]mesh.Ring3
	levels := [][2]float64{{0, clear}, {height, clear}}
	if foot >= leastFootMM && footHeight >= leastFootMM {
		levels = [][2]float64{{0, clear + foot}, {footHeight, clear}, {height, clear}}
	}
	for _, l := range levels {
		s, err := section(l[0], l[1])
		if err != nil {
			return p, err
		}
		rings = append(rings, mesh.Level(s, float32(l[0])))
	}
	for k := range rings[1:] {
		s, err := mesh.Plane(append(append([]mesh.Ring3(nil), rings[k]...), reversed(rings[k+1])...))
		if err != nil {
			return p, err
		}
		p.socket = append(p.socket, s)
	}
	p.roof = rings[len(rings)-1]
	return p, nil
}

func (m *maker) stop(where, what, do string) {
	m.found = append(m.found, finding.Finding{Severity: finding.Stop, Where: where, What: what, Do: do})
}

// widest is the place farthest from the outline's edge, to a quarter of a millimetre,
// and that distance.
func widest(ctx context.Context, o geom.Outline) (geom.Vec, float64, error) {
	b := o.Bounds()
	f, err := field.SignedDistance(ctx, field.Around(b, 0.25), o, math.Max(b.W(), b.H()))
	if err != nil {
		return geom.Vec{}, 0, err
	}
	mid := b.Center()
	best, room := geom.Vec{}, -math.MaxFloat64
	for j := range f.H {
		for i, d := range f.Row(j) {
			at := f.XY(i, j)
			// Of places with the same room the one nearest to the middle.
			if v := float64(d) - 0.01*at.Sub(mid).Len(); v > room {
				best, room = at, v
			}
		}
	}
	_, d := o.Nearest(best)
	return best, d, nil
}

// lowest is the least height of the sheet over the disc around at, by samples.
func lowest(s *mesh.Sheet, at geom.Vec, r float64) float64 {
	points := []geom.Vec{at}
	for _, q := range [...]float64{0.5, 1} {
		for i := range 16 {
			sin, cos := math.Sincos(float64(i) * math.Pi / 8)
			points = append(points, geom.Vec{X: at.X + q*r*cos, Y: at.Y + q*r*sin})
		}
	}
	low := math.Inf(1)
	for _, t := range s.T {
		a, b, c := s.V[t[0]], s.V[t[1]], s.V[t[2]]
		ax, ay := float64(a[0]), float64(a[1])
		ux, uy, vx, vy := float64(b[0])-ax, float64(b[1])-ay, float64(c[0])-ax, float64(c[1])-ay
		area := ux*vy - uy*vx
		for _, p := range points {
			px, py := p.X-ax, p.Y-ay
			l, k := (px*vy-py*vx)/area, (ux*py-uy*px)/area
			if l >= 0 && k >= 0 && l+k <= 1 {
				low = math.Min(low, float64(a[2])+l*float64(b[2]-a[2])+k*float64(c[2]-a[2]))
			}
		}
	}
	return low
}

// number is the cavity's number: cut into the peg's top, or (mirrored) upwards into
// the socket's roof; a whole top or roof around it, in the item's place, at z = 0.
func (p peg) number(ctx context.Context, m *maker, n int, roof bool) (*mesh.Sheet, error) {
	text, err := label(m.letters, []string{fmt.Sprint(n)}, false, 1.25*p.radius, 0.95*p.radius)
	if err != nil || text == nil {
		if err == nil {
			err = &finding.Error{Key: "master.peg_mm", Found: fmt.Sprintf("a peg too small for its number %d", n), Do: "a lower peg, or build = \"tiles\""}
		}
		return nil, err
	}
	if roof {
		text = text.Transform(mirror)
	}
	return engrave(ctx, text.Transform(geom.Move(p.centre.X, p.centre.Y+0.1*p.radius)), m.onLayer(m.c.EngraveMM), roof)
}

// sheets is the pocket with the peg and its number, and the pocket's rim.
func (p peg) sheets(number *mesh.Sheet) ([]*mesh.Sheet, []mesh.Ring3, error) {
	top, n, err := lid(p.tip, number, p.top)
	if err != nil {
		return nil, nil, err
	}
	return append(append([]*mesh.Sheet(nil), p.pocket...), top, n), p.edge, nil
}

// lid closes the rings at height z with a number let in.
func lid(rings []mesh.Ring3, number *mesh.Sheet, z float64) (plane, n *mesh.Sheet, err error) {
	if n, err = number.Placed(0, 0, 0, z); err != nil {
		return nil, nil, err
	}
	plane, err = mesh.Plane(append(append([]mesh.Ring3(nil), rings...), n.Rings[0].Reversed()))
	return plane, n, err
}

// loose makes the part of one loose piece.
func (m *maker) loose(ctx context.Context, t Tray, pl Placed) (Part, error) {
	g, sheet := m.pegs[pl.Item], m.sheets[pl.Item]
	o := m.items[pl.Item].Outline.Transform(geom.Scale(m.grow, m.grow))
	box := o.Bounds()
	p := Part{Name: fmt.Sprintf("tray %d piece %d", t.Number, pl.Number), Kind: "piece", Tray: t.Number, Number: pl.Number, Copies: 1,
		WidthMM: box.W(), DepthMM: box.H(), HeightMM: g.seat + m.items[pl.Item].HeightMM*m.grow, Outline: o.Transform(geom.Move(-box.Min.X, -box.Min.Y))}
	number, err := g.number(ctx, m, pl.Number, true)
	if err != nil {
		return p, err
	}
	roof, n, err := lid(g.roof, number, g.roofZ)
	if err != nil {
		return p, err
	}
	u := underside{}
	if g.under != nil {
		u = underside{rim: g.under.rim, down: append(slices.Clone(g.under.down), g.socket[0])}
	} else if u, err = m.under(o, sheet.Rings, math.Min(m.print.FootHeightMM, g.seat-0.2), g.socket[:1]); err != nil {
		return p, err
	}
	u.down = append(u.down, append([]*mesh.Sheet{roof, n}, g.socket[1:]...)...)
	p.VolumeMM3 = sheet.Volume() + o.Area()*g.seat
	for _, s := range u.down {
		p.VolumeMM3 -= s.Volume()
	}
	p.build = func(context.Context) (*mesh.Mesh, error) {
		top, err := sheet.Placed(0, 0, 0, g.seat)
		if err != nil {
			return nil, err
		}
		var b mesh.Builder
		b.Up(top)
		b.Wall(top.Rings, u.rim)
		for _, s := range u.down {
			b.Down(s)
		}
		out, err := b.Mesh()
		if err != nil {
			return nil, fmt.Errorf("master: %s: %w", p.Name, err)
		}
		// Whole steps of the plan grid keep every coordinate exact.
		out.Move(-onGrid(box.Min.X), -onGrid(box.Min.Y), 0)
		return out, nil
	}
	return p, nil
}

// onGrid rounds to a multiple of 1/1024 mm, which every coordinate of a mesh can be
// moved by without rounding.
func onGrid(mm float64) float64 { return math.Round(mm*1024) / 1024 }
