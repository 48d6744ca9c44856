// Package mould knows the cured mould as a thing: what it weighs, whether it needs a
// board, how hard the rubber pressed on the frame while it was liquid, and how far it
// is stretched when it is peeled off.
//
//	trays + rubber + frame --Make--> Mould (per tray), findings
package mould

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/master"
)

// Choices is how the mould is handled: the job file's [mould].
type Choices struct {
	PeelMM     float64    `toml:"peel_radius_mm" default:"80" min:"5" max:"500" doc:"radius to which the mould is bent back when it is peeled off (common practice, no source)"`
	Safety     float64    `toml:"stretch_safety" default:"8" min:"1" max:"50" doc:"by what factor the stretch stays below the elongation at break (common practice, no source: 10-15 % of it, a factor of 7-10)"`
	SagMM      float64    `toml:"sag_mm" default:"1" min:"0.1" max:"20" doc:"how far a filled mould may sag between two supports before a shell cracks or a filling runs (common practice, no source)"`
	BoardMM    float64    `toml:"board_mm" default:"16" min:"1" max:"100" doc:"thickness of the boards of a frame of your own"`
	BoardMPa   unit.Range `toml:"board_mpa" default:"[1600, 2500, 4000]" min:"100" max:"250000" doc:"bending modulus of those boards: chipboard at least 1600 (EN 312 type P2, from memory), plywood up to 4000 and more (from memory)"`
	BoardGapMM unit.Range `toml:"board_gap_mm" default:"[0.05, 0.15, 0.4]" min:"0" max:"5" doc:"gap under those boards before it is sealed (from memory, no source at hand)"`
	UndercutMM float64    `toml:"undercut_mm" default:"0" min:"0" max:"20" doc:"deepest undercut that you added to the master by hand; the program's own pieces have none"`
}

const (
	// Rubber keeps its volume: Poisson's ratio 0.5 (L. R. G. Treloar, The Physics of
	// Rubber Elasticity, from memory).
	rubberPoisson = 0.5
	// A cavity's edge stretches more than the sheet around it: three times at a round
	// hole (G. Kirsch 1898), once where the sheet is even.
	holeFactor = 3.0
	// chocolateGML is the filled chocolate's density, for the load on the mould (source:
	// as material.Chocolates; most fillings are lighter, which is the safe side).
	chocolateGML = 1.3
)

// Cured acrylate resin: modulus and Poisson's ratio (from memory, no source at hand).
var (
	resinMPa     = unit.Between(1200, 2000, 2800)
	resinPoisson = 0.35
)

// woodPoisson is Poisson's ratio of a board (chipboard and plywood 0.2-0.3, from memory).
const woodPoisson = 0.3

// panel is one side of the frame.
type panel struct {
	thickMM, poisson float64
	mpa              unit.Range
}

func panelOf(frame master.Choices, c Choices) panel {
	if frame.Frame == "own boards" {
		return panel{c.BoardMM, woodPoisson, c.BoardMPa}
	}
	return panel{frame.PanelMM, resinPoisson, resinMPa}
}

// Tray is the mould of one tray.
type Tray struct {
	Number         int
	MassG          unit.Range // of the cured mould, without what stayed in cups
	FloorMM        float64    // rubber under the deepest cavity
	FloorMPa       unit.Range // its modulus
	SpanMM         unit.Range // that the filled mould bridges without sagging more than allowed
	NeedsBoard     bool       // the tray is longer than that
	PressurePa     float64    // of the liquid rubber at the frame's foot
	SideN          float64    // its push on the longest panel
	LeakG          unit.Range // that an unsealed frame lets out
	BulgeMM        unit.Range // of the longest panel; an upper bound
	Stretch        unit.Range // when it is peeled off, as a share of length
	StretchAllowed float64    // share of length
	StretchWhy     string
}

// Mould is every tray's.
type Mould struct {
	Trays          []Tray
	Stretch        unit.Range // the largest, as a share of length
	StretchAllowed float64    // share of length
	Casts          unit.Range // how many times it is filled before it is put away
}

// Make weighs and bends each tray's mould. halfWidthMM is half the width of the
// narrowest piece, over which an undercut is stretched; retiredAfter are the casts
// after which the person's earlier moulds were put away.
func Make(trays []master.Tray, frame master.Choices, s material.Silicone, c Choices, halfWidthMM float64, retiredAfter []int) (*Mould, []finding.Finding, error) {
	if !(s.ShoreA.Ordered() && s.ShoreA.Low > 0 && s.ShoreA.High <= 90) {
		return nil, nil, &finding.Error{Key: "silicone.shore_a", Found: s.ShoreA.String(), Allowed: "above 0, up to 90", Do: "copy the hardness from the data sheet"}
	}
	if !(s.ElongationPct.Ordered() && s.ElongationPct.Low > 0) {
		return nil, nil, &finding.Error{Key: "silicone.elongation_pct", Found: s.ElongationPct.String() + " %", Allowed: "above 0", Do: "copy the elongation at break from the data sheet"}
	}
	if frame.Frame == "own boards" && !(c.BoardMM > 0 && c.BoardMPa.Ordered() && c.BoardMPa.Low > 0 && c.BoardGapMM.Ordered() && c.BoardGapMM.Low >= 0) {
		return nil, nil, &finding.Error{Key: "mould", Found: fmt.Sprintf("board_mm %g, board_mpa %v, board_gap_mm %v", c.BoardMM, c.BoardMPa, c.BoardGapMM), Allowed: "a thickness and a modulus above 0, a gap of 0 or more", Do: "take them out: the usual boards are then taken"}
	}
	if !(c.PeelMM > 0 && c.Safety >= 1 && c.SagMM > 0 && c.UndercutMM >= 0) {
		return nil, nil, &finding.Error{Key: "mould", Found: fmt.Sprintf("peel_radius_mm %g, stretch_safety %g, sag_mm %g, undercut_mm %g", c.PeelMM, c.Safety, c.SagMM, c.UndercutMM), Allowed: "a radius and a sag above 0, a safety of 1 or more, an undercut of 0 or more", Do: "take them out: the usual values are then used"}
	}
	m := &Mould{StretchAllowed: s.ElongationPct.Low / 100 / c.Safety, Casts: ExpectedCasts(retiredAfter)}
	var found []finding.Finding
	for _, t := range trays {
		out := Tray{Number: t.Number, MassG: s.DensityGML.Scale(t.RubberMM3 / 1000), FloorMM: t.RubberMM - t.HighestMM, FloorMPa: modulus(s.ShoreA), StretchAllowed: m.StretchAllowed}
		out.SpanMM = span(out, t, s, c)
		out.NeedsBoard = max(t.WidthMM, t.DepthMM) > out.SpanMM.Low
		if err := out.push(t, panelOf(frame, c), s.DensityGML.High); err != nil {
			return nil, nil, err
		}
		out.LeakG = seep(t, slitOf(frame, c), s)
		out.Stretch, out.StretchWhy = stretch(t.RubberMM, c, halfWidthMM)
		if out.Stretch.High > m.Stretch.High {
			m.Stretch = out.Stretch
		}
		m.Trays = append(m.Trays, out)
		found = append(found, out.remarks(c)...)
	}
	return m, found, nil
}

// span is the distance between two supports over which a mould full of chocolate sags
// by the allowed amount: a strip under an even load, w = 5 q L⁴ / (384 D), solved for
// L. The strip is as stiff as its floor alone (low) or as a solid slab of the mean
// thickness (high): walls between cavities lie in between.
func span(o Tray, t master.Tray, s material.Silicone, c Choices) unit.Range {
	area := t.WidthMM * t.DepthMM
	if area <= 0 || o.FloorMM <= 0 {
		return unit.Range{}
	}
	mean := t.RubberMM3 / area
	// N/mm²: g/ml times mm is kg/m².
	q := (s.DensityGML.Likely*mean + chocolateGML*t.PiecesMM3/area) * unit.GravityMS2 * 1e-6
	at := func(mpa, thick float64) float64 {
		return math.Pow(384*stiffness(mpa, thick, rubberPoisson)*c.SagMM/(5*q), 0.25)
	}
	e := o.FloorMPa
	return unit.Range{Low: at(e.Low, o.FloorMM), Likely: at(e.Likely, math.Sqrt(o.FloorMM*mean)), High: at(e.High, mean)}
}

// push is what the liquid rubber does to the frame's longest panel: pressure rho g h
// at its foot, half of it on average, and the bulge of a panel that is as high as the
// rubber and held at foot and ends by hinges. A real panel stands higher and its
// joints hold more, so that it bulges less.
func (o *Tray) push(t master.Tray, p panel, densityGML float64) error {
	o.PressurePa = densityGML * unit.GravityMS2 * t.RubberMM
	long := max(t.WidthMM, t.DepthMM)
	o.SideN = o.PressurePa * 1e-6 / 2 * t.RubberMM * long
	if long <= 0 || t.RubberMM <= 0 {
		return nil
	}
	k, err := bulge(t.RubberMM/long, 0, p.poisson, freeTop)
	if err != nil {
		return err
	}
	o.BulgeMM = p.mpa.Map(func(mpa float64) float64 {
		return k * o.PressurePa * 1e-6 * math.Pow(long, 4) / stiffness(mpa, p.thickMM, p.poisson)
	})
	return nil
}

// stretch is that of the skin when the mould is bent back to a radius, T/2 over the
// radius of its middle, up to three times of it at the edge of a cavity; and that of
// an undercut, its depth over half the piece's width.
func stretch(thickMM float64, c Choices, halfWidthMM float64) (unit.Range, string) {
	bend := thickMM / 2 / (c.PeelMM + thickMM/2)
	out := unit.Range{Low: bend, Likely: bend * (1 + holeFactor) / 2, High: bend * holeFactor}
	why := fmt.Sprintf("bent back to a radius of %g mm; up to %g times that at the edge of a cavity", c.PeelMM, holeFactor)
	if u := UndercutStretch(c.UndercutMM, halfWidthMM); u > out.High {
		return unit.Sure(u), fmt.Sprintf("an undercut of %g mm over half a piece's width, %.3g mm", c.UndercutMM, halfWidthMM)
	}
	return out, why
}

// UndercutStretch is the stretch at an undercut: its depth over half the width of the piece
// (common practice, no source).
func UndercutStretch(depthMM, halfWidthMM float64) float64 {
	if depthMM == 0 || halfWidthMM <= 0 {
		return 0
	}
	return depthMM / halfWidthMM
}

// bulgeAllowedMM is how far a panel may bulge before its joints open and leak (common
// practice, no source).
const bulgeAllowedMM = 0.3

func (o Tray) remarks(c Choices) (found []finding.Finding) {
	where := fmt.Sprintf("mould of tray %d", o.Number)
	if o.NeedsBoard {
		found = append(found, finding.Finding{Severity: finding.Note, Where: where, What: fmt.Sprintf("filled, it bridges %.0f to %.0f mm before it sags %g mm (rule of thumb mould.sag_mm: common practice)", o.SpanMM.Low, o.SpanMM.High, c.SagMM), Do: "keep a board under it from filling to release"})
	}
	if o.BulgeMM.High > bulgeAllowedMM {
		found = append(found, finding.Finding{Severity: finding.Care, Where: where, What: fmt.Sprintf("the frame's longest panel may bulge %.2g mm, allowed %g mm", o.BulgeMM.High, bulgeAllowedMM), Do: "thicker panels (master.panel_mm; mould.board_mm for boards of your own), a strap around the frame, or pour in stages"})
	}
	if o.LeakG.High > leakShare*o.MassG.Likely {
		found = append(found, finding.Finding{Severity: finding.Care, Where: where, What: fmt.Sprintf("an unsealed frame may let out %.2g g", o.LeakG.High), Do: "seal the foot and the corners from outside with tape or clay free of sulphur, or less master.key_clearance_mm; boards of your own: screw them down"})
	}
	if o.Stretch.High > o.StretchAllowed {
		found = append(found, finding.Finding{Severity: finding.Care, Where: where, What: fmt.Sprintf("stretched by up to %.0f %%, allowed %.0f %% (rule of thumb mould.stretch_safety, %g: common practice): %s", 100*o.Stretch.High, 100*o.StretchAllowed, c.Safety, o.StretchWhy), Do: "peel it off in a wider curve (mould.peel_radius_mm), or take a rubber that stretches further"})
	}
	return found
}
