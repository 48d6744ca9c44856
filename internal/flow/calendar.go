package flow

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow/calendar"
	"mouldwright/internal/flow/plate"
)

// calendar counts the work back from the day needed.
func (b *build) calendar(ctx context.Context) error {
	opt := calendar.Options{Changes: !b.sketch}
	if b.sketch {
		opt.Placings = 20_000
	}
	cal, list, err := calendar.Make(ctx, b.work(), b.learnHands(), calendar.Past{Now: b.in.Past.Now, Happened: b.in.Past.Happened}, opt)
	if err != nil {
		return b.refused(err)
	}
	b.found(list)
	b.r.Calendar = cal
	if cal != nil {
		b.r.Plan.Calendar = planCalendar(cal)
		b.boxDates(cal)
	}
	return nil
}

// CalendarAt is the calendar of a build or a sketch as it stands at a moment, with what
// would gain time. It tells whether the work is late before anything has happened, which
// the plan, that is the same on every day, cannot.
func CalendarAt(ctx context.Context, in *Input, r *Result, now time.Time) (PlanCalendar, []finding.Finding, error) {
	own := *r // what is learned is in the plan already
	own.Plan.Learned = slices.Clone(r.Plan.Learned)
	b := &build{in: in, c: &in.Choices, r: &own}
	if r.Master == nil || r.Plates == nil {
		return emptyCalendar(), nil, nil
	}
	cal, list, err := calendar.Make(ctx, b.work(), b.learnHands(), calendar.Past{Now: now, Happened: in.Past.Happened}, calendar.Options{Changes: true, Placings: 40_000})
	if err != nil || cal == nil {
		return emptyCalendar(), list, err
	}
	return planCalendar(cal), list, nil
}

// padMM is the height of a test pad (our choice: of a resin print the time goes by height,
// and a pad with its code is no higher).
const padMM = 3

// work is what the stages before say about times.
func (b *build) work() calendar.Work {
	p := &b.r.Plan
	w := calendar.Work{
		Needed: b.c.Needed, Boxes: b.c.Boxes, Released: p.Pour.Released,
		PadsMin:   plate.TimeMin(plate.Layers(padMM, b.c.Printer.LayerMM), b.c.Printer, b.c.Resin),
		PadsLookH: p.Pour.PadsLookH, Coated: !none(b.c.Pour.Coating), Vacuum: b.c.Bench.VacuumHPa > 0,
		FirmH: p.Pour.FirmFromH, BondUntilH: p.Pour.BondUntilH, DemouldH: p.Pour.CureH,
		PostCureH: p.Pour.PostCureH, Copies: b.c.Kitchen.Copies, EveningMin: p.Kitchen.atWorkMin(), Rounds: p.Kitchen.Rounds,
	}
	parts := map[int]int{}
	for k, pl := range p.Plates {
		one := calendar.Plate{PrintMin: pl.PrintTimeMin}
		for _, it := range b.r.Plates.Plates[k].Items {
			name := b.r.Master.Parts[it.Part].Name
			for _, t := range p.Masters {
				if !belongs(name, t.Tray) {
					continue
				}
				parts[t.Tray]++
				if !slices.Contains(one.Trays, t.Tray) {
					one.Trays = append(one.Trays, t.Tray)
				}
			}
		}
		w.Plates = append(w.Plates, one)
	}
	for _, t := range p.Masters {
		w.Trays = append(w.Trays, calendar.Tray{Number: t.Tray, Parts: max(1, parts[t.Tray])})
	}
	for _, c := range p.Pour.Cups {
		for len(w.StageMin) < c.Stage {
			w.StageMin = append(w.StageMin, 0)
		}
		w.StageMin[c.Stage-1] = max(w.StageMin[c.Stage-1], c.BeginMin+c.ReadyMin+c.PourMin)
	}
	b.learnPours(&w)
	for _, f := range p.Kitchen.Fillings {
		w.Fillings = append(w.Fillings, calendar.Filling{Name: f.Name, KeepDays: f.Days})
	}
	return w
}

// belongs tells whether a part is one of a tray by its name, "tray 1 tile 2"; a part
// that names no tray belongs to every one.
func belongs(part string, tray int) bool {
	rest, ok := strings.CutPrefix(part, "tray ")
	if !ok {
		return true
	}
	n, _, _ := strings.Cut(rest, " ")
	return strings.TrimRight(n, ",:") == strconv.Itoa(tray)
}

func none(coating string) bool {
	c := strings.ToLower(strings.TrimSpace(coating))
	return c == "" || c == "none"
}

// wallTime is how moments stand in the plan.
const wallTime = "2006-01-02T15:04"

func planCalendar(c *calendar.Calendar) PlanCalendar {
	word := func(t time.Time) string {
		if t.IsZero() {
			return ""
		}
		return t.Format(wallTime)
	}
	out := emptyCalendar()
	out.StartBy, out.ReadyBy, out.Needed, out.Quickest, out.Slowest = word(c.StartBy), word(c.ReadyBy), word(c.Needed), word(c.Quickest), word(c.Slowest)
	out.SpanH, out.BoundH, out.Gap, out.HandsH, out.LateH, out.FromNow, out.NoMargin = c.SpanH, c.BoundH, c.Gap, c.HandsH, c.LateH, c.FromNow, c.NoMargin
	first := c.StartBy
	for _, t := range c.Tasks {
		out.Tasks = append(out.Tasks, PlanTask{Task: t.Name, From: word(t.From), To: word(t.To), HandsUntil: word(t.HandsUntil), Home: t.Home, After: append([]string{}, t.After...),
			Needs: t.Needs, Critical: t.Critical, SlackH: t.SlackH, Margin: t.Margin, State: t.State})
		if t.From.Before(first) {
			first = t.From
		}
	}
	for _, g := range c.Changes {
		out.Changes = append(out.Changes, PlanGain{g.What, g.GainH, word(g.StartBy), word(g.ReadyBy)})
	}
	from, to := first.AddDate(0, 0, -7), c.Needed.AddDate(0, 0, 7)
	for _, s := range c.ReadFree {
		a, b := c.Zero.Add(time.Duration(s.From)*time.Minute), c.Zero.Add(time.Duration(s.To)*time.Minute)
		if b.After(from) && a.Before(to) {
			out.FreeHours = append(out.FreeHours, PlanFreeSpan{word(a), word(b)})
		}
	}
	return out
}
