// Package calendar counts the work back from the day it is needed.
//
//	Work (times of the stages before) + Choices --Make--> Calendar
//	  free hours by weekday and day                  hours.go
//	  every task, what it waits for and occupies     tasks.go
//	  as late as can be, slack, the deciding chain   calendar.go, network/
//	  from now on, when something was late           again.go
//	  what would gain time                           changes.go
//	Calendar --WriteICS--> calendar.ics               ics.go
//
// Hands take the likely time; what runs by itself takes the longest, since it cannot be
// hurried. Times are those of a clock on the wall; no clock is read here.
package calendar

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/calendar/network"
)

// tight is under how many minutes in hand a task decides the day (our choice: less is
// lost by a telephone call).
const tight = 30

// Planned is one task in its place.
type Planned struct {
	Name       string
	From, To   time.Time // by a clock on the wall
	HandsUntil time.Time // until then it needs hands
	Home       bool      // somebody must be at home all the time
	After      []string
	Needs      []string // what it occupies
	Critical   bool
	SlackH     float64 // how much earlier it could begin: so much is in hand
	Margin     bool    // only if something fails
	State      string  // "", "done", "doing"
	Why        string
}

// Calendar is the work over the days.
type Calendar struct {
	Tasks   []Planned // in order of beginning
	Needed  time.Time // when the boxes must be ready
	StartBy time.Time // the first task begins no later
	ReadyBy time.Time // the last one ends
	// StartBy if everything goes quickly and nothing fails, and if everything takes its
	// longest; zero when that was not asked for.
	Quickest, Slowest time.Time
	SpanH, BoundH     float64 // of the plan; proved: no plan spans less
	Gap               float64 // share by which the plan is above the bound
	HandsH            float64 // of one's own work
	LateH             float64 // by how much the day is missed; 0: it is met
	FromNow           bool    // it was planned anew, since time is short or work has begun
	NoMargin          bool    // the margins had to be given up
	Changes           []Change
	ReadFree          []network.Span // free hours, in minutes from the midnight of Zero
	Zero              time.Time      // midnight of the day needed
	Zone              *time.Location
}

// Past is what has happened. A zero Now judges nothing.
type Past struct {
	Now      time.Time
	Happened []Happened
}

// quickPlacings is the work for what is only compared (our choice: enough to show a gain of
// an hour or more).
const quickPlacings = 12_000

// Options says how thorough Make is.
type Options struct {
	Placings int  // of the scheduler; 0: as many as it allows
	Changes  bool // also what would gain time, and the quickest and slowest start
}

// maker is one run of Make.
type maker struct {
	w    Work
	c    Choices
	week *week
	l    *list
	zero time.Time
	due  int // minutes from zero
	opt  Options
	past past
}

// pace is how long tasks take.
type pace int

const (
	safe  pace = iota // hands likely, what runs by itself at its longest
	quick             // all at their shortest
	slow              // all at their longest
)

// Make plans the calendar. When it cannot be met, or somebody would need hours that do
// not exist, findings say so; an error is for what contradicts itself in the choices.
func Make(ctx context.Context, w Work, c Choices, p Past, opt Options) (*Calendar, []finding.Finding, error) {
	wk, err := c.week()
	if err != nil {
		return nil, nil, err
	}
	if wk.none() {
		return nil, []finding.Finding{{Severity: finding.Care, Where: "calendar", What: "no free hours on any day: nothing that needs hands can be done", Do: "write when you are free, such as calendar.saturday = [\"10:00-18:00\"]"}}, nil
	}
	most := wk.longest()
	if most == 0 {
		for _, d := range wk.except {
			for _, s := range d {
				most = max(most, s.To-s.From)
			}
		}
	}
	if s := int(c.SessionH * 60); s > 0 {
		most = min(most, s)
	}
	m := &maker{w: w, c: c, week: wk, opt: opt}
	m.zero = time.Date(w.Needed.Year, time.Month(w.Needed.Month), w.Needed.Day, 0, 0, 0, 0, time.UTC)
	m.due = wk.needed
	if m.l, err = m.sessions(ctx, most); err != nil {
		return nil, nil, err
	}
	if err := m.readPast(p); err != nil {
		return nil, nil, err
	}
	cal, found, err := m.make(ctx)
	if err == nil {
		return cal, found, nil
	}
	var cycle *network.Cycle
	var none *network.NoRoom
	switch {
	case errors.As(err, &cycle):
		return nil, nil, m.waiting(cycle)
	case errors.As(err, &none):
		f := m.noRoom(none.Task, most)
		return nil, append(found, f), nil
	}
	return nil, nil, err
}

// moreSessions is how many sessions in the kitchen beyond the fewest are tried, since
// short ones fit more evenings (our choice: each one more is another whole search).
const moreSessions = 3

// sessions divides the work in the kitchen so that one may begin as late as can be, and
// of equals so that the kitchen does.
func (m *maker) sessions(ctx context.Context, most int) (*list, error) {
	best, err := tasks(m.w, m.c, most, 0)
	if err != nil {
		return nil, err
	}
	first, kitchen := -never, -never
	for more := range moreSessions + 1 {
		l, err := tasks(m.w, m.c, most, more)
		if err != nil || more > 0 && len(l.jobs) == len(best.jobs) {
			return best, err
		}
		p := m.plan(l, m.c, setup{margins: true})
		p.problem.Placings = quickPlacings
		s, err := p.problem.Count(ctx, m.due)
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err != nil { // worded when the plan is made
			continue
		}
		f, k := never, never
		for i, t := range s.Start {
			f = min(f, t)
			if l.jobs[p.jobs[i]].kitchen {
				k = min(k, t)
			}
		}
		if f > first || f == first && k > kitchen {
			best, first, kitchen = l, f, k
		}
	}
	return best, nil
}

// waiting words a circle of tasks.
func (m *maker) waiting(c *network.Cycle) error {
	var names []string
	for _, i := range c.Tasks {
		names = append(names, fmt.Sprintf("%q", m.l.jobs[i].name))
	}
	found := names[0] + " waits for itself"
	if n := len(names); n > 1 {
		found = fmt.Sprintf("%s wait for each other: each for the one before it, and %s for %s", strings.Join(names, ", "), names[0], names[n-1])
	}
	return &finding.Error{Key: "calendar.task", Found: found, Allowed: "tasks that can be put in an order", Do: "take one name out of after or before"}
}

func (m *maker) noRoom(i, most int) finding.Finding {
	j := &m.l.jobs[i]
	f := finding.Finding{Severity: finding.Care, Where: "calendar"}
	hands := int(math.Ceil(j.hands.Likely))
	if whole := int(j.alone.High); j.present && whole > most {
		f.What = fmt.Sprintf("%q needs somebody at home for %s, the longest free hours are %s", j.name, unit.Duration(float64(whole)), unit.Duration(float64(m.week.longest())))
		f.Do = "free a longer day ([[calendar.day]]), or let the oven run alone where that is safe (calendar.oven_alone)"
		return f
	}
	f.What = fmt.Sprintf("%q needs hands for %s at one go, the longest free hours are %s", j.name, unit.Duration(float64(hands)), unit.Duration(float64(m.week.longest())))
	f.Do = "free a longer day ([[calendar.day]]) or longer hours"
	return f
}

// plan is what is given to the scheduler: the tasks that are still to do.
type plan struct {
	problem network.Problem
	jobs    []int      // index into the list, of each task
	after   [][]string // what each waits for, by name: margins that are left out are not there
}

// setup is how a plan differs from the person's choices.
type setup struct {
	pace    pace
	margins bool
	more    int // minutes more on each stretch of free hours
	express bool
	alone   bool // the oven may run alone
}

// plan makes the scheduler's problem: what is done is left out.
func (m *maker) plan(l *list, c Choices, s setup) *plan {
	p := &plan{problem: network.Problem{
		Capacity: []int{c.Printers, c.Chambers, 1, c.Ovens, 1}, People: c.People,
		Free: m.week.free(m.zero, s.more), Placings: m.opt.Placings,
	}}
	index := map[string]int{}
	for i, j := range l.jobs {
		if _, happened := m.past.at[j.name]; happened || j.margin && (!s.margins || m.past.spent[j.name]) {
			continue
		}
		index[j.name] = len(p.jobs)
		p.jobs = append(p.jobs, i)
	}
	for _, i := range p.jobs {
		j := &l.jobs[i]
		hands, alone := minutes(j.hands.Likely), minutes(j.alone.High)
		switch s.pace {
		case quick:
			hands, alone = minutes(j.hands.Low), minutes(j.alone.Low)
		case slow:
			hands = minutes(j.hands.High)
		}
		if s.express && j.name == orderName {
			alone = minutes(c.ExpressDays * dayMin)
		}
		t := network.Task{Head: hands, Body: alone, Present: j.present && !s.alone, Uses: j.uses, Earliest: m.past.earliest(l, j, p.problem.Capacity)}
		var after []string
		var wait func(name string)
		wait = func(name string) {
			k, planned := index[name]
			e, happened := m.past.at[name]
			if (planned || happened) && !slices.Contains(after, name) {
				after = append(after, name)
			}
			if planned {
				t.After = append(t.After, network.Link{Task: k, LagMin: j.lagMin[name]})
			} else if happened {
				t.Earliest = max(t.Earliest, e.to+j.lagMin[name])
			} else { // a margin that is left out: what it waits for
				for _, before := range l.jobs[l.at[name]].after {
					wait(before)
				}
			}
		}
		for _, name := range j.after {
			wait(name)
		}
		p.problem.Tasks = append(p.problem.Tasks, t)
		p.after = append(p.after, after)
	}
	return p
}

// never is further away, in minutes, than any plan reaches (our choice: four times).
const never = 4 * reach * dayMin

// minutes are whole steps of five: nobody keeps a calendar by the minute.
func minutes(v float64) int { return 5 * int(math.Ceil(v/5-1e-9)) }

// at is minutes from the day needed as a moment.
func (m *maker) at(min int) time.Time { return m.zero.Add(time.Duration(min) * time.Minute) }

// make schedules, and decides whether the plan must begin from now.
func (m *maker) make(ctx context.Context) (*Calendar, []finding.Finding, error) {
	base := setup{margins: true}
	p := m.plan(m.l, m.c, base)
	s, err := p.problem.Count(ctx, m.due)
	if err != nil {
		return nil, nil, err
	}
	cal := m.calendar(p, s)
	var found []finding.Finding
	if m.past.now != nil && (p.early(s) || len(m.past.at) > 0) {
		if cal, found, err = m.again(ctx, p, s); err != nil {
			return nil, found, err
		}
	}
	if m.opt.Changes {
		if err := m.bounds(ctx, cal); err != nil {
			return nil, nil, err
		}
		if cal.Changes, err = m.changes(ctx, cal); err != nil {
			return nil, nil, err
		}
		if len(cal.Changes) > 0 {
			best := cal.Changes[0]
			for i := range found {
				found[i].Do = strings.Replace(found[i].Do, seeGains, fmt.Sprintf("%s, which gains %s and most of all", best.What, unit.Duration(best.GainH*60)), 1)
			}
		}
	}
	return cal, append(found, m.remarks(cal)...), nil
}

// early tells that some task would have to begin before it can.
func (p *plan) early(s *network.Schedule) bool {
	for i, t := range p.problem.Tasks {
		if s.Start[i] < t.Earliest {
			return true
		}
	}
	return false
}

// inOrder lets plates that take as long as each other, and whose parts are waited for by
// the same, be printed in the order of their numbers: who reads the list looks for the
// first one first.
func (m *maker) inOrder(p *plan, s *network.Schedule) {
	type pair struct{ print, wash int } // indices of tasks
	at := map[string]int{}
	for k, i := range p.jobs {
		at[m.l.jobs[i].name] = k
	}
	groups := map[string][]pair{}
	var keys []string
	for i, plate := range m.w.Plates {
		a, ok := at[fmt.Sprintf("print plate %d", i+1)]
		b, also := at[fmt.Sprintf("wash and cure plate %d", i+1)]
		if !ok || !also {
			continue
		}
		key := fmt.Sprint(p.problem.Tasks[a].Body, plate.Trays)
		if _, all := at["print again, if one fails"]; all { // it waits for every plate
			key = fmt.Sprint(p.problem.Tasks[a].Body)
		}
		if groups[key] == nil {
			keys = append(keys, key)
		}
		groups[key] = append(groups[key], pair{a, b})
	}
	for _, key := range keys {
		g := groups[key]
		var places [][4]int
		for _, x := range g {
			places = append(places, [4]int{s.Start[x.print], s.End[x.print], s.Start[x.wash], s.End[x.wash]})
		}
		slices.SortFunc(places, func(a, b [4]int) int { return a[0] - b[0] })
		for k, x := range g {
			s.Start[x.print], s.End[x.print], s.Start[x.wash], s.End[x.wash] = places[k][0], places[k][1], places[k][2], places[k][3]
		}
	}
}

// calendar words a schedule.
func (m *maker) calendar(p *plan, s *network.Schedule) *Calendar {
	m.inOrder(p, s)
	from := math.MaxInt
	for _, t := range s.Start {
		from = min(from, t)
	}
	out := &Calendar{Zero: m.zero, Needed: m.at(m.due), Zone: m.week.zone, ReadFree: p.problem.Free, SpanH: float64(s.SpanMin) / 60, BoundH: float64(s.BoundMin) / 60, Gap: s.GapShare(), Tasks: []Planned{}}
	if len(s.Start) == 0 {
		out.StartBy, out.ReadyBy = out.Needed, out.Needed
	} else {
		out.StartBy, out.ReadyBy = m.at(from), m.at(from)
	}
	begin := from
	if m.past.now != nil && (len(m.past.at) > 0) {
		begin = min(from, *m.past.now)
	}
	slack := p.problem.Slacks(s, begin)
	for _, k := range byStart(s.Start) {
		j, t := &m.l.jobs[p.jobs[k]], &p.problem.Tasks[k]
		one := Planned{Name: j.name, From: m.at(s.Start[k]), To: m.at(s.End[k]), HandsUntil: m.at(s.Start[k] + t.Head), Home: t.Present, After: p.after[k],
			Critical: slack[k].Minutes < tight, SlackH: float64(slack[k].Minutes) / 60, Margin: j.margin, Why: j.why, Needs: []string{}}
		for _, u := range j.uses {
			one.Needs = append(one.Needs, Resources[u.Resource])
		}
		if one.To.After(out.ReadyBy) {
			out.ReadyBy = one.To
		}
		out.HandsH += float64(t.Head) / 60
		out.Tasks = append(out.Tasks, one)
	}
	out.Tasks = append(m.done(), out.Tasks...)
	return out
}

// byStart orders tasks by when they begin, and those of one moment as the work goes.
func byStart(start []int) []int {
	out := make([]int, len(start))
	for i := range out {
		out[i] = i
	}
	for i := 1; i < len(out); i++ { // insertion: stable, and nearly in order already
		for k := i; k > 0 && start[out[k]] < start[out[k-1]]; k-- {
			out[k], out[k-1] = out[k-1], out[k]
		}
	}
	return out
}

// remarks are about fillings that would not keep, and about stages that would not bond.
func (m *maker) remarks(cal *Calendar) []finding.Finding {
	var found []finding.Finding
	eaten := m.zero.AddDate(0, 0, m.c.EatenDays)
	at := map[string]*Planned{}
	for i := range cal.Tasks {
		at[cal.Tasks[i].Name] = &cal.Tasks[i]
	}
	for _, j := range m.l.jobs {
		t := at[j.name]
		if j.keeps == 0 || t == nil {
			continue
		}
		until := t.HandsUntil.AddDate(0, 0, int(j.keeps))
		name := strings.TrimPrefix(j.name, "make ")
		switch {
		case until.Before(cal.Needed):
			found = append(found, finding.Finding{Severity: finding.Care, Where: "filling." + name, What: fmt.Sprintf("made on %s it keeps until %s at the least, before the day needed", day(t.From), day(until)), Do: "a recipe of a longer-keeping class, or more free hours in the last days so that it can be made later"})
		case until.Before(eaten):
			found = append(found, finding.Finding{Severity: finding.Care, Where: "filling." + name, What: fmt.Sprintf("made on %s it keeps until %s at the least, but the last piece is eaten on %s", day(t.From), day(until), day(eaten)), Do: fmt.Sprintf("let it be eaten within %d days of the day needed (calendar.eaten_days), a longer-keeping recipe, or more free hours in the last days", max(0, int(until.Sub(m.zero).Hours()/24)))})
		}
	}
	for s := range max(0, len(m.w.StageMin)-1) {
		a, b := at[fmt.Sprintf("pour the rubber, stage %d of %d", s+1, len(m.w.StageMin))], at[fmt.Sprintf("pour the rubber, stage %d of %d", s+2, len(m.w.StageMin))]
		if a != nil && b != nil && m.w.BondUntilH > 0 && b.HandsUntil.Sub(a.HandsUntil).Hours() > m.w.BondUntilH {
			found = append(found, finding.Finding{Severity: finding.Care, Where: "calendar", What: fmt.Sprintf("%.0f h lie between two stages of the pour, the next one bonds within %.0f h", b.HandsUntil.Sub(a.HandsUntil).Hours(), m.w.BondUntilH), Do: "free some hours on the day between"})
		}
	}
	return found
}

// day words a day as people say it.
func day(t time.Time) string { return t.Format("Mon 2 Jan") }
