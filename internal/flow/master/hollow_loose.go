package master

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
)

// A loose piece may be hollow too. Its vaults rise around the socket, which keeps a wall of
// its own; its rim sits deeper in the base, so that a channel runs out through the rim
// below the base's top and the surface that moulds the rubber stays whole.
const (
	deepSeatMM    = solidMM + leastDrainMM // of the rim of a hollow piece: a channel and its roof
	hollowPegMM   = 4.0                    // radius of its peg at most: a larger one leaves no room
	leastGain     = 0.05                   // share of its resin; less is not worth the washing
	openChannelMM = 0.4                    // lower a hollow is not open
)

// deepest is the depth of the deepest pocket that loose pieces may sit in.
func deepest(c Choices) float64 {
	if c.HollowMM > 0 {
		return deepSeatMM
	}
	return seatMM
}

// hollowPeg makes the peg and the hollow underside of an item; ok is false, with a remark
// that says why, where the item stays solid.
func (m *maker) hollowPeg(ctx context.Context, i int) (p peg, ok bool, err error) {
	it, before := m.items[i], len(m.found)
	stays := func(why string) {
		m.found = append(m.found[:before], finding.Finding{Severity: finding.Note, Where: it.Name, What: why + ": it stays solid", Do: "nothing, or a thinner wall (master.hollow_mm)"})
	}
	if p, err = m.pegAt(ctx, i, deepSeatMM, hollowPegMM); err != nil {
		return p, false, err
	}
	if len(m.found) > before { // no room for such a peg; the plain one may have it
		stays(fmt.Sprintf("no room for a hollow of %g mm wall around its socket", m.c.HollowMM))
		return p, false, nil
	}
	u, err := m.hollowPiece(ctx, m.sheets[i], p)
	if err != nil {
		return p, false, err
	}
	if u == nil {
		stays(fmt.Sprintf("too thin or too narrow to be hollow: with walls of %g mm no vault of %g mm rises beside its socket", m.c.HollowMM, vaultLeastMM))
		return p, false, nil
	}
	solid, err := m.under(inPlan(m.sheets[i].Rings), m.sheets[i].Rings, math.Min(m.print.FootHeightMM, p.seat-0.2), p.socket[:1])
	if err != nil {
		return p, false, err
	}
	p.under = u
	p.savedMM3 = u.openZ + p.socket[0].Volume() - solid.openZ
	area := inPlan(m.sheets[i].Rings).Area()
	whole := m.sheets[i].Volume() + area*m.level(seatMM) - solid.openZ
	if net := p.savedMM3 - area*(p.seat-m.level(seatMM)); net < leastGain*whole {
		stays(fmt.Sprintf("a hollow with walls of %g mm would save %.0f %% of its resin, its deeper seat taken off", m.c.HollowMM, 100*math.Max(0, net/whole)))
		return p, false, nil
	}
	return p, true, nil
}

// hollowPiece makes the underside of a loose piece around its socket's mouth; nil when
// nothing is thick enough.
func (m *maker) hollowPiece(ctx context.Context, sheet *mesh.Sheet, p peg) (*underside, error) {
	o := inPlan(sheet.Rings)
	collar := p.root + math.Max(0, m.c.ClearMM+m.bleed) + pegWallMM*m.grow
	heights, vaults, err := m.vaults(ctx, o, p.seat, []placedSheet{{sheet, o}}, &collarAt{p.centre, collar})
	if err != nil || len(vaults) == 0 {
		return nil, err
	}
	// The channels' height is what the rim's roof leaves.
	drains := m.drainsAround(vaults[0], o, p.centre, collar)
	f, err := m.back(ctx, o, p.seat, p.seat-solidMM, heights.Field, drains, nil)
	if err != nil {
		return nil, err
	}
	if !drained(f, o) {
		return nil, nil
	}
	mouth := inPlan(p.socket[0].Rings[:1])[0]
	s, err := mesh.Relief(ctx, f, append(o, reverse(mouth)), backTolMM)
	if err != nil {
		return nil, fmt.Errorf("master: hollow underside: %w", err)
	}
	return &underside{rim: s.Rings[:len(o)], down: []*mesh.Sheet{s}, openZ: s.Volume()}, nil
}

// collarAt is the wall around a socket, up to a radius.
type collarAt struct {
	centre   geom.Vec
	radiusMM float64
}

func (c *collarAt) holds(at geom.Vec) bool {
	return c != nil && at.Sub(c.centre).Len() < c.radiusMM
}

// bears says that the wall carries a vault's roof: no wider than a cell lies between it and
// the vault's sides, so that no rib is needed.
func (c *collarAt) bears(box geom.Rect) bool {
	if c == nil {
		return false
	}
	side := math.Max(math.Max(c.centre.X-box.Min.X, box.Max.X-c.centre.X), math.Max(c.centre.Y-box.Min.Y, box.Max.Y-c.centre.Y))
	return side-c.radiusMM <= cellMM
}

// inPlan is rings in plan.
func inPlan(rings []mesh.Ring3) geom.Outline {
	out := make(geom.Outline, len(rings))
	for i, r := range rings {
		for _, v := range r {
			out[i] = append(out[i], geom.Vec{X: float64(v[0]), Y: float64(v[1])})
		}
	}
	return out
}

func reverse(r geom.Ring) geom.Ring {
	out := make(geom.Ring, len(r))
	for i, p := range r {
		out[len(r)-1-i] = p
	}
	return out
}

// drainsAround are the channels of a vault that stands around a socket: along the middle
// of all its cells, as far as the socket's wall, and the shortest way out.
func (m *maker) drainsAround(v vault, o geom.Outline, centre geom.Vec, collar float64) (out []channel) {
	half := m.c.DrainMM * m.grow / 2
	box := o.Bounds()
	best := channel{}
	for _, upright := range [...]bool{false, true} {
		n, last := v.ny, v.nx-1
		lo, hi, mid, off := box.Min.X, box.Max.X, centre.X, centre.Y
		if upright {
			n, last = v.nx, v.ny-1
			lo, hi, mid, off = box.Min.Y, box.Max.Y, centre.Y, centre.X
		}
		add := func(across, from, to float64) channel {
			c := channel{geom.Vec{X: from, Y: across}, geom.Vec{X: to, Y: across}}
			if upright {
				c = channel{geom.Vec{X: across, Y: from}, geom.Vec{X: across, Y: to}}
			}
			return c
		}
		for k := range n {
			across := v.mid(upright, k)
			first, end := v.mid(!upright, 0), v.mid(!upright, last)
			// What the socket's wall leaves of the line: up to a, and from b on.
			a, b := math.Inf(1), math.Inf(1)
			if d := math.Abs(across - off); d < collar+half {
				h := math.Sqrt((collar+half)*(collar+half) - d*d)
				a, b = mid-h, mid+h
			}
			for _, c := range [...]channel{add(across, first, math.Min(end, a)), add(across, math.Max(first, b), end)} {
				if c.a.X < c.b.X-fitMM || c.a.Y < c.b.Y-fitMM {
					out = append(out, c)
				}
			}
			ways := [...]channel{add(across, lo-1, math.Min(first, a)), add(across, end, hi+1)}
			if !math.IsInf(b, 1) {
				ways[1] = add(across, math.Max(end, b), hi+1)
			}
			for _, way := range ways {
				if (way.a.X < way.b.X-fitMM || way.a.Y < way.b.Y-fitMM) && (best == (channel{}) || way.length() < best.length()-fitMM) {
					best = way
				}
			}
		}
	}
	return append(out, best)
}

// drained fills what has no way out of a hollow underside and says whether anything is left:
// from outside the outline it goes wherever the underside is open.
func drained(f *field.Field, o geom.Outline) bool {
	const closed, open, reached = 0, 1, 2
	state := make([]byte, len(f.Z))
	var stack []int
	for j := range f.H {
		for i, z := range f.Row(j) {
			if z > openChannelMM {
				state[j*f.W+i] = open
			}
		}
	}
	// A channel ends beyond the outline: the picture's edge is out of the part.
	push := func(k int) {
		if state[k] == open {
			state[k] = reached
			stack = append(stack, k)
		}
	}
	for j := range f.H {
		push(j * f.W)
		push(j*f.W + f.W - 1)
	}
	for i := range f.W {
		push(i)
		push((f.H-1)*f.W + i)
	}
	any := false
	for len(stack) > 0 {
		k := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		i, j := k%f.W, k/f.W
		any = any || float64(f.Z[k]) >= vaultLeastMM && o.Contains(f.XY(i, j))
		for _, d := range [...][2]int{{-1, 0}, {1, 0}, {0, -1}, {0, 1}} {
			if x, y := i+d[0], j+d[1]; x >= 0 && x < f.W && y >= 0 && y < f.H {
				push(y*f.W + x)
			}
		}
	}
	// What was not reached is filled, down to the foot of its walls.
	for k, s := range state {
		if s == open {
			stack = append(stack, k)
		}
	}
	for len(stack) > 0 {
		k := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		f.Z[k] = 0
		i, j := k%f.W, k/f.W
		for _, d := range [...][2]int{{-1, 0}, {1, 0}, {0, -1}, {0, 1}} {
			if x, y := i+d[0], j+d[1]; x >= 0 && x < f.W && y >= 0 && y < f.H && f.Z[y*f.W+x] > 0 && state[y*f.W+x] == closed {
				stack = append(stack, y*f.W+x)
			}
		}
	}
	return any
}
