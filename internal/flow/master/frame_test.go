package master

import (
	"context"
	"math"
	"strings"
	"testing"

	"mouldwright/internal/base/geom"
)

func frameMaker(print Print) *maker {
	return &maker{c: choices(), print: print, grow: 1 / (1 - print.ResinShrink), panels: map[panelShape][]panelPart{}}
}

// Where front and left panel cross, seen along the corner: what is left of the front
// panel stands above its slot, what is left of the side panel below its own, and
// neither reaches into the other.
func TestPanelsInterlock(t *testing.T) {
	m := frameMaker(Print{PlateWidthMM: 300, PlateDepthMM: 200, PlateHeightMM: 150})
	tray := Tray{Number: 1, WidthMM: 180, DepthMM: 120, FrameMM: 29, RubberMM: 21}
	get := func(inside float64, fromAbove bool) geom.Outline {
		p, err := m.panel(tray, panelShape{inside, tray.FrameMM, tray.RubberMM, fromAbove})
		if err != nil || len(p) != 1 {
			t.Fatal(len(p), err)
		}
		return p[0].outline
	}
	front, left := get(tray.WidthMM, false), get(tray.DepthMM, true)
	// The other panel's thickness, with half its clearance: a column in this panel's plane.
	column := geom.Outline{{{X: earMM, Y: -1}, {X: earMM + m.c.PanelMM, Y: -1}, {X: earMM + m.c.PanelMM, Y: 40}, {X: earMM, Y: 40}}}
	in := func(o geom.Outline) geom.Rect {
		x, err := geom.Intersect(o, column)
		if err != nil {
			t.Fatal(err)
		}
		return x.Bounds()
	}
	f, l := in(front), in(left)
	if gap := f.Min.Y - l.Max.Y; math.Abs(gap-2*halfGapMM) > 1e-3 {
		t.Errorf("front panel's bridge begins at %g mm, side panel's ends at %g mm", f.Min.Y, l.Max.Y)
	}
	// The slots leave the clearance on both sides of the other panel.
	for name, at := range map[string][2]geom.Vec{"front": {{X: earMM - m.c.ClearMM - 1e-3, Y: 5}, {X: earMM - m.c.ClearMM + 1e-3, Y: 5}}} {
		if !front.Contains(at[0]) || front.Contains(at[1]) {
			t.Errorf("%s: the slot does not begin %g mm before the other panel", name, m.c.ClearMM)
		}
	}
	// Both ends alike.
	b := front.Bounds()
	if want := tray.WidthMM + 2*(m.c.PanelMM+earMM); math.Abs(b.W()-want) > 1e-3 || math.Abs(b.H()-tray.FrameMM) > 1e-3 {
		t.Errorf("front panel is %g x %g mm, want %g x %g mm", b.W(), b.H(), want, tray.FrameMM)
	}
}

// Lengths of a long panel lie side by side without overlap and make up the panel but
// for the clearance in their keys; all fit the plate.
func TestPanelLengths(t *testing.T) {
	m := frameMaker(smallPlate)
	m.grow = 1 // compare in the tray's measure
	s := panelShape{330, 30, 22, false}
	parts, err := m.panel(Tray{Number: 1}, s)
	if err != nil || len(parts) < 3 {
		t.Fatal(len(parts), err)
	}
	area := 0.0
	for i, p := range parts {
		if b := p.outline.Bounds(); b.W() > smallPlate.PlateWidthMM {
			t.Errorf("length %d is %g mm long", i+1, b.W())
		}
		area += p.outline.Area()
		for k, q := range parts[:i] {
			both, err := geom.Intersect(p.outline, q.outline)
			if err != nil || both.Area() > 1e-3 { // the plan grid, 0.1 µm, along 30 mm
				t.Errorf("lengths %d and %d overlap by %g mm2, %v", k+1, i+1, both.Area(), err)
			}
		}
	}
	l := s.insideMM + 2*(m.c.PanelMM+earMM)
	slot := (m.c.PanelMM + 2*m.c.ClearMM) * (s.heightMM/2 + halfGapMM)
	j := joint{depth: tabMM}
	keys := float64(2*(len(parts)-1)) * (j.outline(0, m.c.ClearMM).Area() - j.outline(0, 0).Area())
	if want := l*s.heightMM - 2*slot - keys; math.Abs(area-want) > 0.01 {
		t.Errorf("lengths cover %g mm2, want %g mm2", area, want)
	}
}

// The volume of a panel in one length by its section: plate, minus slots, groove and
// the line, plus the lip, whose section is its square minus a quarter disc.
func TestPanelVolume(t *testing.T) {
	m := frameMaker(Print{PlateWidthMM: 300, PlateDepthMM: 200, PlateHeightMM: 150})
	s := panelShape{180, 29, 21, false}
	parts, err := m.panel(Tray{Number: 1}, s)
	if err != nil {
		t.Fatal(err)
	}
	got := 0.0
	for _, u := range parts[0].up {
		got += u.Volume()
	}
	c := m.c
	l := s.insideMM + 2*(c.PanelMM+earMM)
	inside := s.insideMM - 2*c.ClearMM
	want := (l*s.heightMM - 2*(c.PanelMM+2*c.ClearMM)*(s.heightMM/2+halfGapMM)) * c.PanelMM
	want -= inside * grooveMM * (c.BaseMM + c.ClearMM + wallMM/2)
	want += inside * (1 - math.Pi/4) * c.SealMM * c.SealMM
	want -= inside * markMM * markMM
	// The lip's trimmed edge, its mitres and wall: 0.1 % of the panel.
	if math.Abs(got/want-1) > 1e-3 {
		t.Errorf("%g mm3, by its section %g mm3 (%+.3f %%)", got, want, 100*(got/want-1))
	} else {
		t.Logf("panel: %+.4f %% of the closed form", 100*(got/want-1))
	}
}

func TestFrameTooHigh(t *testing.T) {
	c := choices()
	c.FreeMM = 30
	c.OverMM = 50
	pr := smallPlate
	pr.PlateWidthMM, pr.PlateDepthMM = 80, 60
	items := []Item{surface(t, frustum(t, "bee", geom.Circle(12), 8, 10), c, 0, 4)}
	m, found, err := Make(context.Background(), items, c, pr, "4T7QK2M", letters(t))
	if err != nil || m != nil || len(found) == 0 || !strings.Contains(found[0].What, "panels 91.5 mm high and") {
		t.Errorf("%v %v", found, err)
	}
}
