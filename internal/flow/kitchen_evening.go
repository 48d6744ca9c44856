package flow

import (
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/kitchen"
	"mouldwright/internal/flow/kitchen/chill"
	"mouldwright/internal/flow/kitchen/evening"
)

// evening plans the bench: each tray is a mould, filled as often as the piece of it
// that is wanted most, chilled as long as the piece of it that takes longest.
func (b *build) evening(settings map[int]kitchen.Setting, bowls []kitchen.Bowl) error {
	pl := &b.r.Plan.Kitchen
	var trays []kitchen.Tray
	shells, caps, solid := b.learnChill(StepShells, "chilling the shells"), b.learnChill(StepCaps, "chilling the caps"), b.learnChill(StepSolid, "chilling solid pieces")
	b.slower(shells, caps, solid)
	for _, t := range b.r.Master.Trays {
		tray := kitchen.Tray{Name: fmt.Sprintf("tray %d", t.Number), WidthMM: t.WidthMM, DepthMM: t.DepthMM, Cavities: len(t.Placed)}
		for _, p := range t.Placed {
			m := b.made[p.Item]
			c := b.c.Pieces[m.design]
			tray.Rounds = max(tray.Rounds, m.plan.Rounds)
			s := settings[m.design]
			chill := solid
			if s.Cap != nil {
				tray.Filled, tray.CapMin, chill = true, max(tray.CapMin, s.Cap.SetMin.Likely*caps), shells
			}
			tray.ShellMin = max(tray.ShellMin, s.Shell.SetMin.Likely*chill)
			tray.Coats = max(tray.Coats, s.Coats)
			if k := slices.IndexFunc(bowls, func(x kitchen.Bowl) bool { return x.Name == c.Chocolate }); k >= 0 && !slices.Contains(tray.Bowls, k) {
				tray.Bowls = append(tray.Bowls, k)
			}
		}
		for _, p := range b.r.Plan.Silicone.Trays {
			if p.Tray == t.Number {
				tray.RubberG = p.MassG.Likely
			}
		}
		slices.Sort(tray.Bowls)
		trays = append(trays, tray)
	}
	e, list, err := kitchen.Work(trays, bowls, b.secondRubber(), b.c.Kitchen, b.learnBench)
	if err != nil {
		return err
	}
	b.found(list)
	if e == nil {
		return nil
	}
	pl.Rounds, pl.EveningMin, pl.Second = e.Rounds, e.Plan.EndMin, PlanSecond(e.Second)
	for _, m := range e.Moulds {
		pl.Moulds = append(pl.Moulds, m.Name)
	}
	for _, s := range e.Plan.Steps {
		p := PlanStep{Round: s.Round, What: s.What, Hands: s.Hands, StartMin: s.Start, EndMin: s.End}
		if s.Mould >= 0 {
			p.Mould = e.Moulds[s.Mould].Name
		} else {
			p.Bowl = e.Bowls[s.Bowl].Name
		}
		pl.Evening = append(pl.Evening, p)
	}
	return nil
}

// slower corrects the times of chilling that the plan tells; the courses that are drawn
// stay as they were computed.
func (b *build) slower(shells, caps, solid float64) {
	for i := range b.r.Plan.Kitchen.Pieces {
		p := &b.r.Plan.Kitchen.Pieces[i]
		for _, t := range []struct {
			min    **unit.Range
			factor float64
		}{{&p.ShellMin, shells}, {&p.CapMin, caps}, {&p.SolidMin, solid}} {
			if *t.min != nil && t.factor != 1 {
				r := (*t.min).Scale(t.factor)
				*t.min = &r
			}
		}
	}
}

// secondRubber is what the pour knows of one more mould.
func (b *build) secondRubber() kitchen.Rubber {
	p := &b.r.Plan.Pour
	r := kitchen.Rubber{DemouldH: p.DemouldH, FoodH: p.FirstFoodH}
	for _, k := range b.c.Kits {
		if each := k.Price / float64(k.MassG); k.MassG > 0 && (r.PricePerG == 0 || each < r.PricePerG) {
			r.PricePerG = each
		}
	}
	return r
}

// mostMoments bounds a course in the plan (our choice: as many as a small drawing shows).
const mostMoments = 60

// planCourses thins the histories of a setting.
func planCourses(s *kitchen.Setting) (list []PlanCourse) {
	names := []string{"shell", "cap"}
	if s.Cap == nil {
		names = []string{"solid"}
	}
	for i, name := range names {
		t := s.Shell
		if i == 1 {
			t = s.Cap
		}
		h := t.Likely.History
		if len(h) == 0 {
			continue
		}
		c := PlanCourse{Stage: name, SetMin: t.Likely.SetMin}
		every := (len(h) + mostMoments - 3) / (mostMoments - 2)
		hundredth := func(v float64) float64 { return math.Round(100*v) / 100 }
		for n, m := range h {
			if n%every != 0 && n != len(h)-1 {
				continue
			}
			c.Min, c.WarmestC, c.MeanC = append(c.Min, hundredth(m.Min)), append(c.WarmestC, hundredth(m.WarmestC)), append(c.MeanC, hundredth(m.ChocolateC))
			c.CoolestC, c.RubberC, c.FillingC = append(c.CoolestC, hundredth(m.CoolestC)), append(c.RubberC, hundredth(m.RubberC)), append(c.FillingC, hundredth(m.FillingC))
			c.LeastSet = append(c.LeastSet, math.Round(1000*m.LeastShare)/1000)
		}
		list = append(list, c)
	}
	return list
}

// stageWords is how the plan calls the stages of chilling.
var stageWords = [...]string{chill.Shell: "shell", chill.Cap: "cap", chill.Solid: "solid"}

// atWorkMin is the evening without the first tempering of each bowl, which the calendar
// counts for every session by itself.
func (k *PlanKitchen) atWorkMin() float64 {
	min := k.EveningMin
	for _, s := range k.Evening {
		if s.What == evening.Temper {
			min -= s.EndMin - s.StartMin
		}
	}
	return math.Max(0, min)
}
