package calendar

import (
	"context"
	"errors"
	"math"
	"slices"
	"time"

	"mouldwright/internal/flow/calendar/network"
)

// Change is what one difference would gain.
type Change struct {
	What    string
	GainH   float64   // the latest start is so much later; when the day is missed, one is ready so much sooner
	StartBy time.Time // with it
	ReadyBy time.Time // with it
}

// bounds finds the latest start when everything goes quickly and nothing fails, and
// when everything takes its longest.
func (m *maker) bounds(ctx context.Context, cal *Calendar) error {
	for _, b := range []struct {
		s    setup
		into *time.Time
	}{{setup{pace: quick}, &cal.Quickest}, {setup{pace: slow, margins: true}, &cal.Slowest}} {
		p := m.plan(m.l, m.c, b.s)
		p.problem.Placings = quickPlacings
		s, err := p.problem.Count(ctx, m.due)
		var none *network.NoRoom
		if errors.As(err, &none) { // at its longest something fits into no free hours
			continue
		}
		if err != nil {
			return err
		}
		*b.into = m.calendar(p, s).StartBy
	}
	return nil
}

// changes computes the calendar anew with each change, and lists what gains at least an
// hour, the most first.
func (m *maker) changes(ctx context.Context, cal *Calendar) ([]Change, error) {
	type trial struct {
		what string
		s    setup
		c    func(*Choices)
		w    func(*Work)
	}
	with := setup{margins: !cal.NoMargin}
	set := func(f func(*setup)) setup { s := with; f(&s); return s }
	trials := []trial{
		{what: "an hour more on every stretch of free hours", s: set(func(s *setup) { s.more = 60 })},
		{what: "one more printer", s: with, c: func(c *Choices) { c.Printers++ }},
		{what: "a second pair of hands", s: with, c: func(c *Choices) { c.People++ }},
		{what: "half as many boxes", s: with, w: func(w *Work) { w.Boxes, w.EveningMin, w.Rounds = (w.Boxes+1)/2, w.EveningMin/2, (w.Rounds+1)/2 }},
	}
	if m.c.DeliveryDays.High > m.c.ExpressDays {
		trials = append(trials, trial{what: "express delivery", s: set(func(s *setup) { s.express = true })})
	}
	if m.w.PostCureH > 0 && !m.c.OvenAlone {
		trials = append(trials, trial{what: "an oven that may run while nobody is at home", s: set(func(s *setup) { s.alone = true })})
	}
	if with.margins && m.c.FailPrints+m.c.FailCures > 0 {
		trials = append(trials, trial{what: "no margin for a failed print and a failed cure", s: setup{}})
	}
	var out []Change
	for _, t := range trials {
		w, c := m.w, m.c
		if t.w != nil {
			t.w(&w)
		}
		if t.c != nil {
			t.c(&c)
		}
		l, err := tasks(w, c, m.l.most, m.l.more)
		if err != nil {
			return nil, err
		}
		was := m.l
		m.l = l
		one, err := m.tried(ctx, m.plan(l, c, t.s), cal)
		m.l = was
		if err != nil {
			return nil, err
		}
		if one != nil && one.GainH >= 1 {
			one.What = t.what
			out = append(out, *one)
		}
	}
	slices.SortStableFunc(out, func(a, b Change) int { return int(math.Round(b.GainH*60)) - int(math.Round(a.GainH*60)) })
	return out, nil
}

// tried is what a changed plan gains: nil when something of it fits nowhere.
func (m *maker) tried(ctx context.Context, p *plan, cal *Calendar) (*Change, error) {
	var s *network.Schedule
	var err error
	p.problem.Placings = quickPlacings
	if cal.LateH > 0 {
		s, err = p.problem.Begin(ctx, *m.past.now)
	} else {
		s, err = p.problem.Count(ctx, m.due)
	}
	var none *network.NoRoom
	if errors.As(err, &none) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	other := m.calendar(p, s)
	gain := other.StartBy.Sub(cal.StartBy)
	if cal.LateH > 0 {
		gain = cal.ReadyBy.Sub(other.ReadyBy)
	}
	return &Change{GainH: gain.Hours(), StartBy: other.StartBy, ReadyBy: other.ReadyBy}, nil
}
