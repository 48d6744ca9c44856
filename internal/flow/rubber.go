package flow

import (
	"context"
	"errors"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow/mould"
	"mouldwright/internal/flow/pour"
)

func (b *build) pour(ctx context.Context) error {
	home, _ := b.stock()
	w := pour.Work{Trays: b.r.Master.Trays, Items: b.r.Items, Silicone: b.c.Silicone, Resin: b.c.Resin.Called(), Kits: b.c.Kits, Tests: b.in.Past.CureTests,
		Copies: b.c.Kitchen.Copies, Home: home, Needed: b.c.Needed}
	p, list, err := pour.Make(ctx, w, b.c.Pour, b.c.CureTest, b.c.Bench)
	if err != nil {
		return b.refused(err)
	}
	b.found(list)
	b.learnCure(p)
	s := &b.r.Plan.Silicone
	s.VolumeMM3, s.MassG, s.PartAG, s.PartBG = p.Total.VolumeMM3, p.Total.MassG, p.Total.PartAG, p.Total.PartBG
	for _, m := range p.Trays {
		s.Trays = append(s.Trays, PlanPour{Tray: m.Tray, MassG: m.MassG, PartAG: m.PartAG, PartBG: m.PartBG})
	}
	b.r.Pour = p
	b.r.Plan.Pour = b.planRubber(p)
	return nil
}

func (b *build) planRubber(p *pour.Pour) PlanRubber {
	s, w := b.c.Silicone, p.Times
	out := emptyRubber()
	out.Released, out.Why = p.Released, p.Why
	out.PadsMassG, out.PadsPartAG, out.PadsPartBG, out.PadsLookH, out.PadsLookWhy = p.Pads.MassG, p.Pads.PartAG, p.Pads.PartBG, p.Pads.LookH, p.Pads.LookWhy
	out.FoodDeclared, out.FoodCheck = p.Food.Declared, p.Food.Words
	out.FoodContact, out.PostCureH, out.PostCureC, out.RoomC = s.FoodContact, s.PostCureH, s.PostCureC, b.c.Bench.RoomC
	out.WorkingMin, out.WorkingBy, out.CureH, out.CureBy = w.WorkingTimeMin, w.WorkingBy, w.CureH, w.CureBy
	out.DemouldH, out.FirstFoodH, out.Thickening, out.Rise = w.DemouldH, w.FoodH, w.Thickening, p.Rise
	out.SmallestG, out.LargestG, out.LargestBy = p.Batch.SmallestG, p.Batch.LargestG, p.Batch.LargestBy
	out.Stages, out.FirmFromH, out.BondUntilH = p.Stages.Count, p.Stages.FirmFromH, p.Stages.BondUntilH
	out.BubbleMM, out.FrameMM = p.Bubbles.BothMM, p.Bubbles.FrameMM
	out.HomeG, out.SpoiltG, out.ShortG = p.HomeG, p.SpoiltG, p.ShortG
	for _, h := range p.Home {
		out.Home = append(out.Home, planHome(h))
	}
	out.BuyG, out.KitsPrice, out.LeftoverG, out.OpenedMonths = p.BuyG, p.KitsPrice, p.LeftoverG, p.OpenedMonths
	for _, t := range p.Pads.Tests {
		c := PlanCureTest{Code: t.Code(), Resin: t.Resin, Treatment: t.Treatment, Coating: t.Coating, Silicone: t.Silicone, Outcome: string(t.Outcome)}
		if t.Outcome != "" {
			c.Date = t.Date.String()
		}
		out.CureTest = append(out.CureTest, c)
	}
	for _, r := range p.Bubbles.Sizes {
		out.Bubbles = append(out.Bubbles, PlanRises(r))
	}
	for i, t := range b.r.Master.Trays {
		for _, s := range b.r.BrushFirst(i) {
			if s.Liquid == "rubber" {
				out.BrushFirst = append(out.BrushFirst, PlanSpot{t.Number, s.Place, s.Piece, s.XMM, s.YMM, s.DiameterMM, s.DepthMM})
			}
		}
	}
	for _, i := range pour.Inhibitors {
		out.Inhibitors = append(out.Inhibitors, PlanInhibitor(i))
	}
	for _, k := range p.Cups {
		c := PlanCup{Number: k.Number, MassG: k.MassG, PartAG: k.PartAG, PartBG: k.PartBG, TotalAG: k.TotalAG, TotalBG: k.TotalBG, RatioOff: k.RatioOffShare,
			RoomML: k.RoomML, CupML: k.CupML, Stage: k.Stage, BeginMin: k.BeginMin, LevelMM: k.LevelMM, Fills: []PlanFill{}, ReadyMin: k.ReadyMin, PourMin: k.PourMin, LastPourMin: k.LastPourMin, WetUntilMin: k.WetUntilMin}
		if s.RatioBy == "volume" {
			c.PartAML, c.PartBML = k.PartAG/s.DensityAGML, k.PartBG/s.DensityBGML
		}
		for _, f := range k.Fills {
			c.Fills = append(c.Fills, PlanFill(f))
		}
		out.Cups = append(out.Cups, c)
	}
	for _, k := range p.Kits {
		kit := b.c.Kits[k.Kit]
		out.Kits = append(out.Kits, PlanKit{Name: kit.Name, Count: k.Count, MassG: kit.MassG, Price: kit.Price})
	}
	return out
}

// emptyRubber is the pour of a plan that ended before it.
func emptyRubber() PlanRubber {
	return PlanRubber{CureTest: []PlanCureTest{}, Inhibitors: []PlanInhibitor{}, FoodCheck: []string{}, Bubbles: []PlanRises{}, BrushFirst: []PlanSpot{}, Cups: []PlanCup{}, Kits: []PlanKit{}, Home: []PlanHome{}}
}

func (b *build) mould(context.Context) error {
	half := math.Inf(1)
	for _, it := range b.r.Items {
		box := it.Outline.Bounds()
		half = min(half, box.W()/2, box.H()/2)
	}
	m, list, err := mould.Make(b.r.Master.Trays, b.c.Master, b.c.Silicone, b.c.Mould, half, b.in.Past.RetiredAfter)
	if err != nil {
		return b.refused(err)
	}
	b.found(list)
	out := &b.r.Plan.Mould
	out.Stretch, out.StretchAllowed, out.Casts = m.Stretch, m.StretchAllowed, m.Casts
	for _, n := range b.in.Past.RetiredAfter {
		if n >= 1 {
			out.CastsFrom++
		}
	}
	for _, t := range m.Trays {
		out.Trays = append(out.Trays, PlanMouldTray{Tray: t.Number, MassG: t.MassG, FloorMM: t.FloorMM, ModulusMPa: t.FloorMPa, SpanMM: t.SpanMM, NeedsBoard: t.NeedsBoard,
			PressurePa: t.PressurePa, SideN: t.SideN, LeakG: t.LeakG, BulgeMM: t.BulgeMM, Stretch: t.Stretch, StretchWhy: t.StretchWhy})
	}
	return nil
}

// refused turns a refusal of the job's own numbers into a finding that stops, so that
// pieces, master and plates are there all the same; other errors stay errors.
func (b *build) refused(err error) error {
	var e *finding.Error
	if !errors.As(err, &e) {
		return err
	}
	f := finding.Finding{Severity: finding.Stop, Where: e.Key, What: e.Found, Do: e.Do}
	if e.Allowed != "" {
		f.What += "; allowed: " + e.Allowed
	}
	b.found([]finding.Finding{f})
	return nil
}
