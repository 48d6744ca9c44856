package master

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
)

// labelRimMM keeps a tile's label clear of notches in its edges (our choice: by a wall
// that prints whole).
const labelRimMM = tabMM + 1.2

// maker holds what all parts need.
type maker struct {
	items   []Item
	c       Choices
	print   Print
	code    string
	letters Letters
	grow    float64       // for the resin
	bleed   float64       // of light, on each side, as the mask has it
	sheets  []*mesh.Sheet // of the items, grown
	pegs    []peg         // of the items, when loose
	panels  map[panelShape][]panelPart
	found   []finding.Finding
}

// Make lays the items out and prepares every part. code is the revision's short code,
// engraved where it never shows. When a finding asks to stop, the master is nil.
func Make(ctx context.Context, items []Item, c Choices, print Print, code string, letters Letters) (*Master, []finding.Finding, error) {
	if !(print.ResinShrink >= 0 && print.ResinShrink < 0.5) {
		return nil, nil, &finding.Error{Key: "resin.shrinkage", Found: fmt.Sprintf("%g", print.ResinShrink), Allowed: "0 to less than 0.5", Do: "write a share: 0.005 is half a per cent"}
	}
	checked := check(items, c)
	if finding.Worst(checked) == finding.Stop {
		return nil, checked, nil
	}
	trays, found, err := plan(ctx, items, c, print)
	if err != nil || finding.Worst(found) == finding.Stop {
		return nil, found, err
	}
	found = append(checked, found...)
	m := &maker{items: items, c: c, print: print, code: code, letters: letters, grow: 1 / (1 - print.ResinShrink), panels: map[panelShape][]panelPart{}, found: found}
	// A gap between two printed faces loses the bleed on both of them. Panels fit over
	// faces that lie in the plate's plane, which do not bleed: one share is theirs, the
	// other is added where two printed outlines meet (bleed).
	m.bleed = print.BleedMM
	m.c.ClearMM = math.Max(0, c.ClearMM+m.bleed)
	for i := range items {
		s, err := items[i].Sheet.Scaled(m.grow, m.grow)
		if err != nil {
			return nil, nil, fmt.Errorf("master: %q grown for the resin: %w", items[i].Name, err)
		}
		m.sheets = append(m.sheets, s)
	}
	if c.Build == "loose" {
		if err := m.makePegs(ctx); err != nil || finding.Worst(m.found) == finding.Stop {
			return nil, m.found, err
		}
	}
	out := &Master{Trays: trays}
	shape := newShaper(m, c)
	for i := range trays {
		parts, err := m.tray(ctx, &trays[i])
		if err != nil {
			return nil, nil, err
		}
		for k := range parts {
			parts[k].Shape = shape.part(&trays[i], &parts[k])
		}
		out.Parts = append(out.Parts, parts...)
	}
	if finding.Worst(m.found) == finding.Stop {
		return nil, m.found, nil
	}
	return out, m.found, nil
}

// level is a height grown for the resin and put on the edge of a layer, so that a
// level face prints where it is: off an edge a print moves it by up to half a layer,
// which took 0.5 % of a panel 4 mm thick.
func (m *maker) level(mm float64) float64 { return m.onLayer(mm * m.grow) }

func (m *maker) onLayer(mm float64) float64 {
	l := m.print.LayerMM
	if !(l > 0) {
		return mm
	}
	return math.Max(1, math.Round(mm/l)) * l
}

// check compares choices that are fine alone but not together.
func check(items []Item, c Choices) (found []finding.Finding) {
	stop := func(key string, is, most float64, do string) {
		if is > most+fitMM {
			found = append(found, finding.Finding{Severity: finding.Stop, Where: "master." + key, What: fmt.Sprintf("%g mm, allowed %.4g mm", is, most), Do: do})
		}
	}
	under := c.BaseMM
	if c.Build == "loose" {
		under -= deepest(c)
		for _, it := range items {
			n := 0
			for _, r := range it.Outline {
				if r.Area() > 0 {
					n++
				}
			}
			if n > 1 {
				found = append(found, finding.Finding{Severity: finding.Stop, Where: it.Name, What: fmt.Sprintf("its footprint has %d parts, a loose piece has 1", n), Do: "a larger margin_mm that joins them, or build = \"tiles\""})
			}
		}
	}
	if c.HollowMM > 0 {
		if c.HollowMM < leastHollowMM {
			found = append(found, finding.Finding{Severity: finding.Stop, Where: "master.hollow_mm", What: fmt.Sprintf("%g mm, allowed 0 or at least %g mm", c.HollowMM, leastHollowMM), Do: "a thicker wall, or 0 for solid bodies"})
		}
		if c.BaseMM < drainRoofMM+leastDrainMM {
			found = append(found, finding.Finding{Severity: finding.Stop, Where: "master.base_mm", What: fmt.Sprintf("%g mm, allowed %g mm over drains", c.BaseMM, drainRoofMM+leastDrainMM), Do: "a thicker base, or master.hollow_mm = 0"})
		}
	}
	stop("engrave_mm", c.EngraveMM, under-solidMM, "shallower engraving or a thicker base (master.base_mm)")
	if c.Frame == "printed" {
		stop("engrave_mm", c.EngraveMM, c.PanelMM-solidMM, "shallower engraving or thicker panels (master.panel_mm)")
		stop("frame_fillet_mm", c.SealMM, c.MarginMM-1, "a smaller fillet or a larger master.margin_mm, since the fillet lies on the base")
	}
	return found
}

// leastHollowMM is the thinnest wall of a hollow body: thinner ones bend in the wash
// (common practice, no source). leastDrainMM is the lowest channel that drains.
const (
	leastHollowMM = 1.5
	leastDrainMM  = 0.8
)

// solidMM is left over an engraving, in the base and in panels (our choice: a dozen layers
// keep light and liquid out).
const solidMM = 0.6

// tray makes the parts of one tray and its measures.
func (m *maker) tray(ctx context.Context, t *Tray) ([]Part, error) {
	for _, p := range t.Placed {
		t.PiecesMM3 += m.items[p.Item].VolumeMM3
		t.HighestMM = max(t.HighestMM, m.items[p.Item].HeightMM)
	}
	t.RubberMM = t.HighestMM + m.c.OverMM
	t.FrameMM = m.c.BaseMM + t.RubberMM + m.c.FreeMM
	t.RubberMM3 = t.WidthMM*t.DepthMM*t.RubberMM - t.PiecesMM3
	var parts []Part
	for _, tile := range t.Tiles {
		p, err := m.tile(ctx, t, tile)
		if err != nil {
			return nil, err
		}
		parts = append(parts, p)
	}
	if m.c.Build == "loose" {
		for _, p := range t.Placed {
			part, err := m.loose(ctx, *t, p)
			if err != nil {
				return nil, err
			}
			parts = append(parts, part)
			t.HollowMM3 += m.pegs[p.Item].savedMM3 / (m.grow * m.grow * m.grow)
		}
	}
	for _, p := range parts {
		t.SolidMM3 += (p.VolumeMM3 + p.bledMM3) / (m.grow * m.grow * m.grow)
	}
	if m.c.Frame != "printed" {
		t.Boards = []Board{{"front and back", 2, t.WidthMM, t.FrameMM}, {"left and right", 2, t.DepthMM, t.FrameMM}}
		return parts, nil
	}
	panels, err := m.frame(ctx, *t)
	return append(parts, panels...), err
}

// tile makes one tile: the base inside its outline, with the pieces that stand on it,
// or with their pockets and pegs.
func (m *maker) tile(ctx context.Context, t *Tray, tile Tile) (Part, error) {
	box := tile.Outline.Bounds()
	at := func(p Placed) (float64, float64) { return (p.XMM - box.Min.X) * m.grow, (p.YMM - box.Min.Y) * m.grow }
	o := tile.Outline.Transform(geom.Move(-box.Min.X, -box.Min.Y).Then(geom.Scale(m.grow, m.grow)))
	base := m.level(m.c.BaseMM)
	whole := o.Area()
	if math.Abs(m.bleed) >= leastBleedMM {
		in, err := geom.Offset(o, -m.bleed)
		if err != nil {
			return Part{}, fmt.Errorf("master: tray %d tile %d: %w", t.Number, tile.Number, err)
		}
		o = in.Transform(geom.Move(-m.bleed, -m.bleed))
		at0 := at
		at = func(p Placed) (float64, float64) { x, y := at0(p); return x - m.bleed, y - m.bleed }
	}
	p := Part{Name: fmt.Sprintf("tray %d tile %d", t.Number, tile.Number), Kind: "tile", Tray: t.Number, Number: tile.Number, Copies: 1,
		WidthMM: o.Bounds().W(), DepthMM: o.Bounds().H(), HeightMM: base, Outline: o, bledMM3: (whole - o.Area()) * base}

	var holes []*mesh.Sheet
	text, err := label(m.letters, []string{fmt.Sprintf("%d.%d", t.Number, tile.Number), m.code}, true, box.W()-2*labelRimMM, box.H()-2*labelRimMM)
	if err != nil {
		return p, err
	}
	if text != nil {
		mid := o.Bounds().Center()
		text = text.Transform(mirror.Then(geom.Move(mid.X, mid.Y)))
		s, err := engrave(ctx, text, m.onLayer(m.c.EngraveMM), true)
		if err != nil {
			return p, err
		}
		holes = append(holes, s)
	} else if m.letters != nil {
		m.found = append(m.found, finding.Finding{Severity: finding.Note, Where: p.Name, What: "too small for its number and code", Do: "write them on by hand"})
	}
	rings := mesh.Level(o, float32(base))
	u, err := m.under(o, rings, math.Min(m.print.FootHeightMM, base/2), holes)
	if err != nil {
		return p, err
	}
	if m.c.HollowMM > 0 && m.c.Build != "loose" {
		solid := u.openZ
		h, err := m.hollowTile(ctx, p.Name, t, tile, o, base, at, text)
		if err != nil {
			return p, err
		}
		if h != nil {
			u = *h
			t.HollowMM3 += (u.openZ - solid) / (m.grow * m.grow * m.grow)
		}
	}
	p.VolumeMM3 = o.Area()*base - u.openZ
	numbers := make([]*mesh.Sheet, len(tile.Placed))
	for i, k := range tile.Placed {
		pl := t.Placed[k]
		if m.c.Build == "loose" {
			g := m.pegs[pl.Item]
			if numbers[i], err = g.number(ctx, m, pl.Number, false); err != nil {
				return p, err
			}
			p.VolumeMM3 += g.volume + numbers[i].Volume()
			p.HeightMM = max(p.HeightMM, base+g.top)
			continue
		}
		v := m.sheets[pl.Item].Volume()
		p.VolumeMM3 += v
		p.bledMM3 += m.items[pl.Item].VolumeMM3*m.grow*m.grow*m.grow - v
		p.HeightMM = max(p.HeightMM, base+m.items[pl.Item].HeightMM*m.grow)
	}
	p.build = func(ctx context.Context) (*mesh.Mesh, error) {
		var b mesh.Builder
		top := append([]mesh.Ring3(nil), rings...)
		for i, k := range tile.Placed {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			pl := t.Placed[k]
			x, y := at(pl)
			sheets := []*mesh.Sheet{m.sheets[pl.Item]}
			edge := m.sheets[pl.Item].Rings
			if m.c.Build == "loose" {
				var err error
				if sheets, edge, err = m.pegs[pl.Item].sheets(numbers[i]); err != nil {
					return nil, err
				}
			}
			for _, s := range sheets {
				s, err := s.Placed(pl.TurnDeg, x, y, base)
				if err != nil {
					return nil, fmt.Errorf("master: %s: %w", p.Name, err)
				}
				b.Up(s)
			}
			top = append(top, reversed(placed(edge, pl.TurnDeg, x, y, base))...)
		}
		plane, err := mesh.Plane(top)
		if err != nil {
			return nil, fmt.Errorf("master: top of %s: %w", p.Name, err)
		}
		b.Up(plane)
		b.Wall(rings, u.rim)
		for _, s := range u.down {
			b.Down(s)
		}
		out, err := b.Mesh()
		if err != nil {
			return nil, fmt.Errorf("master: %s: %w", p.Name, err)
		}
		return out, nil
	}
	return p, nil
}
