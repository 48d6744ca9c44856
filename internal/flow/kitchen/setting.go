package kitchen

import (
	"context"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/kitchen/chill"
	"mouldwright/internal/flow/kitchen/coat"
	"mouldwright/internal/flow/kitchen/temper"
)

// Body is one design as chilling and coating see it: small, for reliefs are not kept.
type Body struct {
	Shape    *chill.Shape
	WallDeg  float64 // lean of the walls from level
	HeightMM float64
	RadiusMM float64 // half its shorter side: how far its walls are curved
	Solid    bool
}

// NewBody takes what is needed from a relief and the room for filling (nil: solid).
func NewBody(ctx context.Context, relief, room *field.Field, heightMM, capMM, gapMM float64) (*Body, error) {
	s, err := chill.NewShape(ctx, relief, room, capMM, gapMM)
	if err != nil {
		return nil, err
	}
	return &Body{s, coat.WallDeg(relief, wallStepMM), heightMM, s.ShorterMM() / 2, room == nil}, nil
}

// wallStepMM is the step at which walls are looked at (our choice: finer than any wall,
// coarser than printed pixels).
const wallStepMM = 0.2

// Surroundings is what a design stands in.
type Surroundings struct {
	Chocolate material.Chocolate
	Filling   material.Filling
	SiliconeG unit.Range // density, g/ml
	RubberMM  float64    // under the deepest point
	ShellMM   float64    // wanted
}

// Cells is how finely heat is computed, in mm: the likely run, the ends of the band (of
// which only ratios are taken), and what changes do.
type Cells struct{ LikelyMM, BandMM, ChangesMM float64 }

// PlanCells, in mm, is what a plan uses; PageCells is fast enough while a number is dragged
// (our choice: half a millimetre is half a thin shell).
var (
	PlanCells = Cells{0.5, 2, 1}
	PageCells = Cells{1, 2, 2}
)

// Setting is what the kitchen needs to know of one design.
type Setting struct {
	WallDeg  float64
	StaysMM  unit.Range   // shell that stays on the steepest walls after draining
	DrainS   unit.Range   // how long the mould hangs for it
	Coats    int          // likely number of coats; 0 for a solid piece
	Shell    *chill.Times // of the whole piece when it is solid
	Cap      *chill.Times // nil for a solid piece
	LeastMM  unit.Range   // what would stay without a yield value until the shell sets
	WarmestC float64      // highest temperature of the filling; 0 for a solid piece
	Changes  []chill.Change
}

// setup is a Choices as chill sees it.
func (c *Choices) setup(s Surroundings) chill.Setup {
	fill := s.Filling.DensityGML
	if fill.Likely == 0 {
		fill = unit.Sure(1.2) // a solid piece has none; the value is not used
	}
	return chill.Setup{
		FridgeC: c.FridgeC, Fan: c.Air == "fan", RoomC: c.RoomC, MouldC: c.mouldC(), FillingC: c.FillingC,
		ChocolateC: temper.Curves[s.Chocolate.Kind].WorkC.Likely, UnderMM: s.RubberMM, BoardMM: c.BoardMM,
		ChocolateG: s.Chocolate.DensityGML, FatPct: s.Chocolate.FatPct, FillingGML: fill, SiliconeGML: s.SiliconeG,
	}
}

// Coat works out what stays on the walls: instantly.
func (b *Body) Coat(s Surroundings) Setting {
	r := Setting{WallDeg: b.WallDeg}
	if b.Solid {
		return r
	}
	film := func(pa float64) float64 { return coat.FilmMM(pa, s.Chocolate.LiquidGML.Likely, b.WallDeg, b.HeightMM) }
	r.StaysMM = s.Chocolate.YieldPa.Map(film)
	drain := func(v, f float64) float64 {
		return math.Min(mostDrainS, coat.DrainS(v, s.Chocolate.LiquidGML.Likely, b.HeightMM, f))
	}
	v := s.Chocolate.ViscosityPaS
	r.DrainS = unit.Between(drain(v.Low, r.StaysMM.High), drain(v.Likely, r.StaysMM.Likely), drain(v.High, r.StaysMM.Low))
	r.Coats = max(1, int(math.Ceil(s.ShellMM*enoughShare/r.StaysMM.Likely-1e-9)))
	return r
}

// A shell of nine tenths of the wanted thickness is taken as enough; nobody lets a mould
// hang for more than five minutes, since the chocolate sets by then (common practice, no
// source).
const (
	enoughShare = 0.9
	mostDrainS  = 300
)

// Chill works out everything about one design: its coat, the times to set, the warmest
// filling, and with changes what a warmer fridge, more rubber or a cold mould do.
func Chill(ctx context.Context, name string, b *Body, s Surroundings, c Choices, cells Cells, changes bool) (Setting, []finding.Finding, error) {
	r := b.Coat(s)
	setup := c.setup(s)
	stages := []chill.Stage{chill.Shell, chill.Cap}
	if b.Solid {
		stages = []chill.Stage{chill.Solid}
	}
	var work []func() error
	for i, stage := range stages {
		into := []**chill.Times{&r.Shell, &r.Cap}[i]
		work = append(work, func() (err error) {
			*into, err = chill.Set(ctx, b.Shape, setup, stage, cells.LikelyMM, cells.BandMM)
			return err
		})
	}
	slices.Reverse(work) // caps take longest
	if !b.Solid {
		work = append(work, func() (err error) {
			r.WarmestC, err = chill.WarmestC(ctx, b.Shape, setup, max(1, cells.LikelyMM))
			r.WarmestC = math.Floor(2*r.WarmestC) / 2
			return err
		})
	}
	if changes {
		work = append(work, func() (err error) {
			r.Changes, err = chill.Changes(ctx, b.Shape, setup, stages, cells.ChangesMM)
			return err
		})
	}
	if err := chill.Together(ctx, work...); err != nil {
		return r, nil, err
	}
	if !b.Solid {
		r.LeastMM = s.Chocolate.ViscosityPaS.Map(func(v float64) float64 {
			return coat.SettingMM(v, s.Chocolate.LiquidGML.Likely, b.RadiusMM, 60*r.Shell.SetMin.Likely)
		})
	}
	return r, r.judge(name, s, c), nil
}

func (r *Setting) judge(name string, s Surroundings, c Choices) (list []finding.Finding) {
	if r.Coats > 1 {
		list = append(list, finding.Finding{Severity: finding.Note, Where: name + ": shell.thickness_mm",
			What: fmt.Sprintf("walls at %.0f° keep %.1f-%.1f mm of this chocolate, likely %.1f; wanted are %.1f mm", r.WallDeg, r.StaysMM.Low, r.StaysMM.High, r.StaysMM.Likely, s.ShellMM),
			Do:   fmt.Sprintf("coat %d times, letting each set, or draw the chocolate up the walls with a spatula; a cooler or more viscous chocolate keeps more", r.Coats)})
	}
	if r.WarmestC > 0 && c.FillingC > r.WarmestC {
		list = append(list, finding.Finding{Severity: finding.Care, Where: name + ": kitchen.filling_c",
			What: fmt.Sprintf("a filling at %g °C melts the shell's inside", c.FillingC), Do: fmt.Sprintf("let it cool to %g °C or less", r.WarmestC)})
	}
	for _, t := range []*chill.Times{r.Shell, r.Cap} {
		if t != nil && !t.Likely.Done {
			list = append(list, finding.Finding{Severity: finding.Care, Where: name + ": kitchen.fridge_c",
				What: fmt.Sprintf("not set after %d hours", chill.LongestMin/60), Do: "use a colder fridge"})
		}
	}
	return list
}
