package master

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
)

// The frame is four panels that stand on the table around the base, halved into each
// other at the corners: the side panels are slotted from above, then front and back,
// slotted from below, are let down over them. Each is printed lying, its inside up. Sizes are our choice: the
// smallest that a person can put together without breaking them.
const (
	grooveMM  = 1.2 // how deep the base's edge sits in a panel
	earMM     = 6.0 // of a panel beyond the corner joint
	halfGapMM = 0.1 // between the ends of two slots, so that panels stand on the table
)

// panelShape is what a panel depends on: panels of one shape share their surfaces.
type panelShape struct {
	insideMM, heightMM, levelMM float64
	fromAbove                   bool // slots are open at the top
}

// panelPart is one printed length of a panel, grown.
type panelPart struct {
	outline  geom.Outline
	up       []*mesh.Sheet // its inside
	ring     mesh.Ring3    // the edge of that, around the outline
	heightMM float64
}

// frame makes the panels of a tray.
func (m *maker) frame(ctx context.Context, t Tray) ([]Part, error) {
	var parts []Part
	for _, side := range [...]struct {
		name  string
		shape panelShape
	}{
		{"front", panelShape{t.WidthMM, t.FrameMM, t.RubberMM, false}},
		{"back", panelShape{t.WidthMM, t.FrameMM, t.RubberMM, false}},
		{"left", panelShape{t.DepthMM, t.FrameMM, t.RubberMM, true}},
		{"right", panelShape{t.DepthMM, t.FrameMM, t.RubberMM, true}},
	} {
		lengths, err := m.panel(t, side.shape)
		if err != nil {
			return nil, err
		}
		for k, l := range lengths {
			name := side.name
			if len(lengths) > 1 {
				name = fmt.Sprintf("%s %d", side.name, k+1)
			}
			p, err := m.panelPart(ctx, t, name, k+1, l)
			if err != nil {
				return nil, err
			}
			parts = append(parts, p)
		}
	}
	return parts, nil
}

// panel makes the surfaces of a panel, in as few equal lengths as the plate takes,
// joined by keys.
func (m *maker) panel(t Tray, s panelShape) ([]panelPart, error) {
	if known, ok := m.panels[s]; ok {
		return known, nil
	}
	length := s.insideMM + 2*(m.thick()+earMM)
	n := m.lengths(length, s.heightMM)
	if r := m.lip(s.heightMM); r < m.c.SealMM {
		m.found = append(m.found, finding.Finding{Severity: finding.Care, Where: "master.frame_fillet_mm", What: fmt.Sprintf("%g mm, but the frame of tray %d is so low that %.2f mm are made", m.c.SealMM, t.Number, r), Do: "a smaller fillet, or a larger master.freeboard_mm"})
	}
	if n == 0 {
		w, d := m.print.PlateWidthMM, m.print.PlateDepthMM
		m.stop(fmt.Sprintf("tray %d, frame", t.Number), fmt.Sprintf("panels %.1f mm high and %.1f mm long cannot be cut to a build plate of %.1f x %.1f mm", s.heightMM*m.grow, length*m.grow, w, d), "frame = \"own boards\"")
		m.panels[s] = nil
		return nil, nil
	}
	var parts []panelPart
	for k := range n {
		p, err := m.panelLength(s, length, k, n)
		if err != nil {
			return nil, fmt.Errorf("master: frame panel: %w", err)
		}
		parts = append(parts, p)
	}
	m.panels[s] = parts
	return parts, nil
}

// thick is the panels' thickness and groove the depth of their groove, as cured, so that
// both faces print on layers' edges.
func (m *maker) thick() float64  { return m.level(m.c.PanelMM) / m.grow }
func (m *maker) groove() float64 { return m.level(grooveMM) / m.grow }

// lengths is how many equal lengths the plate asks for; 0 when the panel is too high.
func (m *maker) lengths(length, h float64) int {
	shrunk := 1 - m.print.ResinShrink
	w, d := m.print.PlateWidthMM*shrunk, m.print.PlateDepthMM*shrunk
	longest := 0.0
	if h <= d+fitMM {
		longest = w
	}
	if h <= w+fitMM {
		longest = math.Max(longest, d)
	}
	if longest == 0 {
		return 0
	}
	n := pieces(length, longest)
	// The first cut keeps away from the corner joint and the mitre of the lip.
	if n > 1 && length/float64(n) < earMM+m.thick()+m.c.SealMM+2*tabMM {
		return 0
	}
	return n
}

// panelPart is one length of a panel as a part; its name and the code stand on its
// outside, which lies on the build plate.
func (m *maker) panelPart(ctx context.Context, t Tray, name string, number int, l panelPart) (Part, error) {
	box := l.outline.Bounds()
	p := Part{Name: fmt.Sprintf("tray %d frame %s", t.Number, name), Kind: "panel", Tray: t.Number, Number: number, Copies: 1,
		WidthMM: box.W(), DepthMM: box.H(), HeightMM: l.heightMM, Outline: l.outline.Transform(geom.Move(-box.Min.X, -box.Min.Y))}
	text, err := label(m.letters, []string{fmt.Sprintf("%d %s", t.Number, name), m.code}, false, box.W()-2*(labelRimMM+earMM+m.thick()), box.H()-2*labelRimMM)
	if err != nil {
		return p, err
	}
	var holes []*mesh.Sheet
	if text != nil {
		mid := box.Center()
		s, err := engrave(ctx, text.Transform(mirror.Then(geom.Move(mid.X, mid.Y))), m.onLayer(m.c.EngraveMM), true)
		if err != nil {
			return p, err
		}
		holes = append(holes, s)
	}
	u, err := m.under(l.outline, mesh.Level(l.outline, 0), math.Min(m.print.FootHeightMM, (m.thick()-m.groove())*m.grow/2), holes)
	if err != nil {
		return p, err
	}
	p.VolumeMM3 = -u.openZ
	for _, s := range l.up {
		p.VolumeMM3 += s.Volume()
	}
	p.build = func(context.Context) (*mesh.Mesh, error) {
		var b mesh.Builder
		for _, s := range l.up {
			b.Up(s)
		}
		b.Wall([]mesh.Ring3{l.ring}, u.rim)
		for _, s := range u.down {
			b.Down(s)
		}
		out, err := b.Mesh()
		if err != nil {
			return nil, fmt.Errorf("master: %s: %w", p.Name, err)
		}
		out.Move(-onGrid(box.Min.X), 0, 0)
		return out, nil
	}
	return p, nil
}
