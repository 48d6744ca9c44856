package flow

import (
	"context"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/kitchen"
	"mouldwright/internal/flow/kitchen/chill"
)

// settled is a design's setting with what was found about it.
type settled struct {
	setting kitchen.Setting
	list    []finding.Finding
}

func (b *build) kitchen(ctx context.Context) error {
	k, list, err := kitchen.Make(b.items, b.c.Kitchen)
	if err != nil {
		return err
	}
	b.found(list)
	pl := &b.r.Plan
	var bowls []kitchen.Bowl
	for _, ch := range k.Chocolates {
		pl.Chocolates = append(pl.Chocolates, PlanKind{ch.Name, ch.ShellMassG, ch.CapMassG, ch.MeltMassG})
		pl.Chocolate.ShellMassG += ch.ShellMassG.Likely
		pl.Chocolate.CapMassG += ch.CapMassG.Likely
		pl.Chocolate.MeltMassG += ch.MeltMassG.Likely
		bowl, list, err := kitchen.NewBowl(ch, b.c.Chocolate[ch.Name], b.c.Kitchen)
		if err != nil {
			return err
		}
		b.found(list)
		bowls = append(bowls, bowl)
		pl.Kitchen.Chocolate = append(pl.Kitchen.Chocolate, PlanBowl{
			Name: ch.Name, MeltG: bowl.MeltG, SeedG: bowl.SeedG, BuyG: bowl.BuyG, ReturnG: bowl.ReturnG, RoundG: bowl.RoundG,
			MeltC: bowl.Curve.MeltC, SeedC: bowl.Curve.SeedC, WorkC: bowl.Curve.WorkC, WorkMin: bowl.WorkMin, ThickMin: bowl.ThickMin})
	}
	for _, f := range k.Fillings {
		pl.Fillings = append(pl.Fillings, PlanFilling{f.Name, f.MassG})
		pl.FillingMassG += f.MassG.Likely
	}
	settings, err := b.settings(ctx)
	if err != nil {
		return err
	}
	if err := b.keeping(k.Fillings, settings); err != nil {
		return err
	}
	return b.evening(settings, bowls)
}

// surroundings is what a design stands in.
func (b *build) surroundings(design int) kitchen.Surroundings {
	c := b.c.Pieces[design]
	return kitchen.Surroundings{
		Chocolate: b.c.Chocolate[c.Chocolate], Filling: b.c.Filling[c.Filling],
		SiliconeG: b.c.Silicone.DensityGML, RubberMM: b.c.Master.OverMM, ShellMM: b.c.Shell.ShellMM,
	}
}

// body is a piece as the kitchen sees it.
func (b *build) body(ctx context.Context, s *shape) (*kitchen.Body, error) {
	return kitchen.NewBody(ctx, s.piece.Relief, s.cavity.Filling, s.piece.HeightMM, b.c.Shell.CapMM, b.c.Master.GapMM)
}

// settings chills each design once: of a design with names, the first.
func (b *build) settings(ctx context.Context) (map[int]kitchen.Setting, error) {
	all := map[int]kitchen.Setting{}
	for _, m := range b.made {
		if m.body == nil {
			continue
		}
		b.opt.Progress("kitchen", m.design, len(b.c.Pieces))
		s, err := b.settle(ctx, m)
		if err != nil {
			return nil, inDesign(m.design, err)
		}
		b.found(s.list)
		all[m.design] = s.setting
		b.r.Settings = append(b.r.Settings, s.setting)
		b.r.Plan.Kitchen.Pieces = append(b.r.Plan.Kitchen.Pieces, planSetting(b.c.Pieces[m.design].Name, &s.setting))
	}
	b.opt.Progress("kitchen", len(b.c.Pieces), len(b.c.Pieces))
	return all, nil
}

// chill is settle for a build.
func (b *build) chill(ctx context.Context, m made) (settled, error) {
	s, list, err := kitchen.Chill(ctx, b.c.Pieces[m.design].Name, m.body, b.surroundings(m.design), b.c.Kitchen, kitchen.PlanCells, true)
	return settled{s, list}, err
}

func planSetting(name string, s *kitchen.Setting) PlanSetting {
	p := PlanSetting{Name: name, Course: planCourses(s), WallDeg: s.WallDeg, Coats: s.Coats, FillingMax: s.WarmestC}
	last := s.Shell.Likely.LastMM
	if s.Cap != nil {
		p.LeastMM = &s.LeastMM
		p.StaysMM, p.DrainS, p.ShellMin, p.CapMin = &s.StaysMM, &s.DrainS, &s.Shell.SetMin, &s.Cap.SetMin
		last = s.Cap.Likely.LastMM
	} else {
		p.SolidMin = &s.Shell.SetMin
	}
	p.LastMM = last[:]
	for _, c := range s.Changes {
		p.Changes = append(p.Changes, PlanChange{c.What, stageWords[c.Stage], c.SetMin, c.WasMin})
	}
	return p
}

func emptyKitchen() PlanKitchen {
	return PlanKitchen{Chocolate: []PlanBowl{}, Pieces: []PlanSetting{}, Fillings: []PlanKeeping{}, Moulds: []string{}, Evening: []PlanStep{}}
}

// Chilled is one design in the fridge, with its histories and maps, and what the plan
// says of it.
type Chilled struct {
	Setting  kitchen.Setting
	Plan     PlanSetting
	Findings []finding.Finding
}

// Chill computes one design in cubes of 1 mm, fast enough while a number is dragged,
// with what a warmer fridge, thicker rubber and a cold mould would do. design counts
// from 0; row is -1 for a piece without names. Nil when the piece has a finding that
// says stop.
func (s *Sketcher) Chill(ctx context.Context, in *Input, design, row int) (*Chilled, error) {
	h, err := s.Piece(ctx, in, design, row, false)
	if err != nil || h.Piece == nil {
		return nil, err
	}
	b, err := s.begin(in, true)
	if err != nil {
		return nil, err
	}
	body, err := b.body(ctx, &shape{piece: h.Piece, cavity: h.Cavity})
	if err != nil {
		return nil, err
	}
	set, list, err := kitchen.Chill(ctx, b.c.Pieces[design].Name, body, b.surroundings(design), b.c.Kitchen, kitchen.PageCells, true)
	if err != nil {
		return nil, inDesign(design, err)
	}
	return &Chilled{set, planSetting(b.c.Pieces[design].Name, &set), list}, nil
}

// sketchCells are so coarse, in mm, that a sketch stays quick; its times are within a tenth
// of fine ones (our choice: quick goes first here).
var sketchCells = kitchen.Cells{LikelyMM: 2, BandMM: 2, ChangesMM: 2}

// chillSketch is settle for a sketch: what an edit leaves alone is kept.
func (s *Sketcher) chillSketch(b *build) func(context.Context, made) (settled, error) {
	return func(ctx context.Context, m made) (settled, error) {
		around := b.surroundings(m.design)
		around.Filling.DensityGML, around.Chocolate.Allergens = orSure(around.Filling.DensityGML), nil
		name := b.c.Pieces[m.design].Name
		key := keyOf(m.bodyKey, name, around.Chocolate, around.Filling.DensityGML, around.SiliconeG, around.RubberMM, around.ShellMM, b.c.Kitchen)
		return s.settings.get(ctx, key, func() (settled, int64, error) {
			set, list, err := kitchen.Chill(ctx, name, m.body, around, b.c.Kitchen, sketchCells, false)
			for _, t := range []*chill.Times{set.Shell, set.Cap} {
				if t != nil { // maps are not for keeping
					t.Likely.Map, t.Likely.History, t.Likely.Section = nil, nil, nil
				}
			}
			return settled{set, list}, 1 << 10, err
		})
	}
}

// orSure is 1 g/ml for a solid piece, which has no filling.
func orSure(r unit.Range) unit.Range {
	if r.Likely == 0 {
		return unit.Sure(1)
	}
	return r
}
