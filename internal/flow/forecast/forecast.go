// Package forecast says before anything is printed what will print, fill and let go
// of one piece.
//
//	piece.Piece + Means + Choices --Make-->    Forecast (marks, widths, pockets, draft, finish), findings
//	                              --Predict--> the relief that the chocolate will really have
//
// Predict follows the piece through its copies: the printer's pixels with the spread
// of light (light.go), its layers (layers.go), the sealer's coat (coat.go), and the
// chocolate that must enter the rubber's grooves (entry.go). What shrinks is made up
// for in the master, so that only its spread is left: Forecast.SizeShare.
//
// Signs: raised art stands up from the chocolate and from the printed master, and is a
// groove in the rubber. Sunk art is a groove in the chocolate and a fin of rubber.
package forecast

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/piece"
)

// Choices is the rules by which a piece is judged: the job file's [forecast]. All
// rules of thumb here are common practice without a source.
type Choices struct {
	LightMM        float64 `toml:"light_spread_mm" default:"0.02" min:"0" max:"0.1" doc:"how far light spreads in the resin beyond its pixel, as the standard deviation of a blur (common practice, no source)"`
	LightShare     float64 `toml:"light_share" default:"0.5" min:"0.1" max:"0.9" doc:"share of a full exposure from which resin cures; below a half strokes come out wider (common practice, no source)"`
	CoatMM         float64 `toml:"coat_mm" default:"0" min:"0" max:"0.5" doc:"thickness of a sealer on the print; 0 without one"`
	Fill           string  `toml:"fill" default:"brush" enum:"pour,tap,brush" doc:"how chocolate is brought into the art: only poured, poured and tapped, or a first coat brushed in"`
	TapShare       float64 `toml:"tap_yield_share" default:"0.3" min:"0.01" max:"1" doc:"what tapping leaves of the chocolate's yield value (common practice, no source)"`
	BrushPa        float64 `toml:"brush_pa" default:"500" min:"0" max:"20000" doc:"pressure of a brush (common practice, no source)"`
	ChocolateMM    float64 `toml:"least_chocolate_mm" default:"0.5" min:"0" max:"5" doc:"narrowest raised stroke that leaves the mould whole (common practice: 0.5-0.8 mm)"`
	ChocolateRatio float64 `toml:"chocolate_depth_ratio" default:"1.5" min:"0.1" max:"20" doc:"how many times as high as wide a raised stroke may be (common practice: 1, at most 1.5)"`
	RubberMM       float64 `toml:"least_rubber_mm" default:"0.3" min:"0" max:"5" doc:"narrowest fin of rubber, a groove of the chocolate (common practice, no source)"`
	RubberRatio    float64 `toml:"rubber_depth_ratio" default:"3" min:"0.1" max:"20" doc:"how many times as high as wide a fin of rubber may be (common practice, no source)"`
	LetterMM       float64 `toml:"least_letter_mm" default:"0" min:"0" max:"50" doc:"lowest text of which the tallest letter is still read; 0: its strokes alone decide, until a coupon has told"`
	ResinMM        float64 `toml:"least_resin_mm" default:"0.15" min:"0" max:"5" doc:"narrowest wall of printed resin that survives washing (common practice, no source)"`
	ResinRatio     float64 `toml:"resin_depth_ratio" default:"6" min:"0.1" max:"50" doc:"how many times as high as wide a wall of resin may be (common practice, no source)"`
	DraftDeg       float64 `toml:"least_draft_deg" default:"3" min:"0" max:"45" doc:"lean of walls from vertical below which the piece holds on to its mould (common practice: 5-10, at least 3; rubber can be peeled off less)"`
	FloorMM        float64 `toml:"least_floor_mm" default:"2" min:"0" max:"20" doc:"chocolate that must stay under sunk art (common practice: a shell's thickness, no source)"`
	EyeMM          float64 `toml:"visible_step_mm" default:"0.1" min:"0.01" max:"2" doc:"width of a terrace that an eye sees as a step (one minute of arc at 30 cm is 0.09 mm)"`
	PocketMM       float64 `toml:"pocket_mm" default:"3" min:"0" max:"20" doc:"width of a hollow below which a poured liquid may shut air in (common practice, no source)"`
}

// Means is what a piece is made with.
type Means struct {
	Printer   material.Printer
	Resin     material.Resin
	Silicone  material.Silicone
	Chocolate material.Chocolate
	Design    piece.Choices          // where keys in findings and remedies are looked up
	HasFont   func(name string) bool // says which fonts are built in; nil: none is known
}

// Forecast is what will become of one piece.
type Forecast struct {
	Marks  []Mark // in reading order, each followed by its holes; at most maxMarks
	More   int    // marks beyond those
	Widths []Width

	NarrowestRidgeMM  float64 // raised in the chocolate, at mid-depth of the art; 0 without art
	NarrowestGrooveMM float64 // between raised strokes, inside them, or sunk
	SmallestTextMM    float64 // height of the tallest letter (of a mark, without text) with which all would survive; 0 without

	RubberPockets    []Pocket // where the poured rubber may shut air in on the master
	ChocolatePockets []Pocket // where the poured chocolate may, in the mould

	BelowDraftShare float64  // share of wall area (steeper than 45 degrees) that leans less than the rule
	SteepAt         geom.Vec // the steepest wall; 0, 0 without one
	Finish          Finish
	StepsAt         geom.Vec   // in the middle of the largest place where layer steps show; 0, 0 without one
	SizeShare       unit.Range // size of the chocolate against the drawn one, from the spread of both shrinkages
}

// windowMM is how far around the art its surroundings are looked at (our choice: wider
// than light, sealer or a bead of chocolate reach).
const windowMM = 0.8

// Make judges a piece.
func Make(ctx context.Context, p *piece.Piece, m Means, c Choices) (*Forecast, []finding.Finding, error) {
	if err := check(p, m, c); err != nil {
		return nil, nil, err
	}
	f := &Forecast{SizeShare: sizeShare(m)}
	s, err := surveySlopes(ctx, p.Relief)
	if err != nil {
		return nil, nil, err
	}
	f.BelowDraftShare = s.belowShare(c.DraftDeg)
	f.Finish = s.finish(m.Printer.LayerMM, c)
	if f.BelowDraftShare >= wallShare {
		f.SteepAt = steepest(p.Relief)
	}
	if f.Finish.SteppedShare >= steppedShare {
		if f.StepsAt, err = steppedAt(ctx, p.Relief, m.Printer.LayerMM, c); err != nil {
			return nil, nil, err
		}
	}
	art := drawnArt(p)
	if art != nil {
		made, err := copied(ctx, art, p.BodyMM, m, c)
		if err != nil {
			return nil, nil, err
		}
		if err := f.judgeArt(ctx, art, made, p, m, c); err != nil {
			return nil, nil, err
		}
	}
	if err := f.findPockets(ctx, p, art, c); err != nil {
		return nil, nil, err
	}
	return f, f.findings(p, m, c), nil
}

// sizeShare is the spread that both shrinkages leave, the likely ones being made up for.
func sizeShare(m Means) unit.Range {
	a, b := m.Resin.Shrinkage, m.Silicone.Shrinkage
	share := func(x, y float64) float64 { return (1 - x) / (1 - a.Likely) * (1 - y) / (1 - b.Likely) }
	return unit.Range{Low: share(a.High, b.High), Likely: 1, High: share(a.Low, b.Low)}
}

// check refuses rules that no job file may hold.
func check(p *piece.Piece, m Means, c Choices) error {
	if p == nil || p.Relief == nil || p.Body == nil || p.Relief.Grid != p.Body.Grid {
		return &finding.Error{Key: "forecast", Found: "a piece without its relief and body on one grid", Do: "make it with piece.Make"}
	}
	if err := p.Relief.Check(); err != nil {
		return err
	}
	for _, b := range []struct {
		key                string
		value, least, most float64
	}{
		{"printer.pixel_mm", m.Printer.PixelMM, 0.001, 2}, {"printer.layer_mm", m.Printer.LayerMM, 0.001, 2},
		{"chocolate yield_pa", m.Chocolate.YieldPa.Likely, 0, 1000}, {"chocolate liquid_density_g_ml", m.Chocolate.LiquidGML.Likely, 0.1, 5},
		{"resin.shrinkage", m.Resin.Shrinkage.High, 0, 0.5}, {"silicone.shrinkage", m.Silicone.Shrinkage.High, 0, 0.5},
		{"forecast.light_spread_mm", c.LightMM, 0, 0.1}, {"forecast.light_share", c.LightShare, 0.1, 0.9},
		{"forecast.coat_mm", c.CoatMM, 0, 0.5}, {"forecast.tap_yield_share", c.TapShare, 0.01, 1}, {"forecast.brush_pa", c.BrushPa, 0, 20000},
		{"forecast.least_chocolate_mm", c.ChocolateMM, 0, 5}, {"forecast.chocolate_depth_ratio", c.ChocolateRatio, 0.1, 20},
		{"forecast.least_rubber_mm", c.RubberMM, 0, 5}, {"forecast.rubber_depth_ratio", c.RubberRatio, 0.1, 20},
		{"forecast.least_letter_mm", c.LetterMM, 0, 50}, {"forecast.least_resin_mm", c.ResinMM, 0, 5}, {"forecast.resin_depth_ratio", c.ResinRatio, 0.1, 50},
		{"forecast.least_draft_deg", c.DraftDeg, 0, 45}, {"forecast.visible_step_mm", c.EyeMM, 0.01, 2}, {"forecast.pocket_mm", c.PocketMM, 0, 20}, {"forecast.least_floor_mm", c.FloorMM, 0, 20},
	} {
		if !(b.value >= b.least && b.value <= b.most) { // also no number
			return &finding.Error{Key: b.key, Found: fmt.Sprintf("%g", b.value), Allowed: fmt.Sprintf("%g to %g", b.least, b.most), Do: "change the value"}
		}
	}
	if c.Fill != "pour" && c.Fill != "tap" && c.Fill != "brush" {
		return &finding.Error{Key: "forecast.fill", Found: fmt.Sprintf("%q", c.Fill), Allowed: "pour, tap or brush", Do: "use one of these"}
	}
	return nil
}

// drawnArt is what stands above (positive) and below the body, on the part of its grid
// around the art; nil without art. A tenth of a µm is the rounding of heights.
func drawnArt(p *piece.Piece) *field.Field {
	g := p.Relief.Grid
	i0, j0, i1, j1 := g.W, g.H, -1, -1
	for j := range g.H {
		z, b := p.Relief.Row(j), p.Body.Row(j)
		for i, v := range z {
			if d := v - b[i]; d > 1e-4 || d < -1e-4 {
				i0, i1, j0, j1 = min(i0, i), max(i1, i), min(j0, j), j
			}
		}
	}
	if i1 < 0 {
		return nil
	}
	n := int(math.Ceil(windowMM / g.PitchMM))
	i0, j0, i1, j1 = max(0, i0-n), max(0, j0-n), min(g.W-1, i1+n), min(g.H-1, j1+n)
	o := g.XY(i0, j0)
	art := field.New(field.Grid{W: i1 - i0 + 1, H: j1 - j0 + 1, PitchMM: g.PitchMM, X0: o.X, Y0: o.Y})
	for j := range art.H {
		z, b := p.Relief.Row(j0 + j)[i0:i1+1], p.Body.Row(j0 + j)[i0:i1+1]
		for i := range z {
			if d := z[i] - b[i]; d > 1e-4 || d < -1e-4 {
				art.Z[j*art.W+i] = d
			}
		}
	}
	return art
}
