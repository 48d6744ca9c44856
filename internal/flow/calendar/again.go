package calendar

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/calendar/network"
)

// past is what has happened, in minutes from the midnight of the day needed.
type past struct {
	now    *int
	at     map[string]event
	failed map[string]bool // kinds of which one failed: print, pour
	spent  map[string]bool // margins that are used up
}

type event struct {
	from, to int // to is when it will be done where it is not
	done     bool
}

// maxHappened bounds what the record may tell (our choice: years of evenings).
const maxHappened = 20000

// readPast takes over what has happened. The last word about a task counts; a failed
// one is still to do, and takes up a margin of its kind.
func (m *maker) readPast(p Past) error {
	m.past = past{at: map[string]event{}, failed: map[string]bool{}, spent: map[string]bool{}}
	if p.Now.IsZero() {
		return nil
	}
	if len(p.Happened) > maxHappened {
		return &finding.Error{Key: "calendar", Found: fmt.Sprintf("%d things that happened", len(p.Happened)), Allowed: fmt.Sprintf("at most %d", maxHappened), Do: "strike out what is no longer of use"}
	}
	// All moments by the same clock: the zone's, or that of Now.
	min := func(t time.Time) int { return int(m.week.wall(t.In(p.Now.Location())).Sub(m.zero) / time.Minute) }
	now := min(p.Now)
	now = max(-reach*dayMin+dayMin, now)
	m.past.now = &now
	for _, h := range p.Happened {
		i, known := m.l.at[h.Task]
		if !known || h.From.IsZero() {
			continue // of an earlier version of the job
		}
		e := event{from: min(h.From), done: !h.To.IsZero()}
		if e.from > now || h.Failed {
			if h.Failed {
				m.spend(kind(m.l.jobs[i].name))
				delete(m.past.at, h.Task)
			}
			continue
		}
		if e.done {
			e.to = max(e.from, min(h.To))
			e.done = e.to <= now
		}
		if j := &m.l.jobs[i]; !e.done {
			e.to = max(now, e.from+minutes(j.hands.Likely)+minutes(j.alone.High))
		}
		m.past.at[h.Task] = e
	}
	return nil
}

// earliest is when a task may begin: from now on, and when what occupies the only one
// of its machines is done.
func (p *past) earliest(l *list, j *job, capacity []int) int {
	if p.now == nil {
		return -never
	}
	t := *p.now
	for i := range l.jobs {
		e, ok := p.at[l.jobs[i].name]
		if !ok || e.done {
			continue
		}
		for _, a := range l.jobs[i].uses {
			for _, b := range j.uses {
				if a.Resource == b.Resource && a.Part == network.Whole && capacity[a.Resource] == 1 {
					t = max(t, e.to)
				}
			}
		}
	}
	return t
}

// kind is what a failed task would use up a margin of.
func kind(name string) string {
	switch {
	case strings.HasPrefix(name, "print plate"):
		return "print"
	case strings.HasPrefix(name, "pour the rubber"):
		return "pour"
	}
	return ""
}

// spend uses up the next margin of a kind: the two tasks of it.
func (m *maker) spend(kind string) {
	left := 2
	for _, j := range m.l.jobs {
		if j.margin && j.of == kind && !m.past.spent[j.name] && left > 0 {
			m.past.failed[kind], m.past.spent[j.name] = true, true
			left--
		}
	}
}

// done are the tasks that are done or being done.
func (m *maker) done() []Planned {
	var start []int
	var jobs []*job
	for i := range m.l.jobs {
		if e, ok := m.past.at[m.l.jobs[i].name]; ok {
			start, jobs = append(start, e.from), append(jobs, &m.l.jobs[i])
		}
	}
	var out []Planned
	for _, k := range byStart(start) {
		e := m.past.at[jobs[k].name]
		one := Planned{Name: jobs[k].name, From: m.at(e.from), To: m.at(e.to), HandsUntil: m.at(min(e.to, e.from+minutes(jobs[k].hands.Likely))), After: jobs[k].after, Needs: []string{}, State: "done"}
		if !e.done {
			one.State = "doing"
		}
		out = append(out, one)
	}
	return out
}

// seeGains stands in a remark until it is known what gains most.
const seeGains = "see in the calendar what gains time"

// again plans from now: with the margins if it can be, else without them, else as soon
// as it can be, and says by how much that is late.
func (m *maker) again(ctx context.Context, p *plan, s *network.Schedule) (*Calendar, []finding.Finding, error) {
	finish := func(p *plan, s *network.Schedule) *Calendar {
		cal := m.calendar(p, s)
		cal.FromNow = true
		return cal
	}
	if !p.early(s) {
		return finish(p, s), nil, nil
	}
	// Counting back places each task as late as can be; what fits between now and then
	// may still be found from the front.
	if front, err := p.problem.Begin(ctx, *m.past.now); err != nil {
		return nil, nil, err
	} else if *m.past.now+front.SpanMin <= m.due {
		return finish(p, front), nil, nil
	}
	bare := m.plan(m.l, m.c, setup{})
	back, err := bare.problem.Count(ctx, m.due)
	if err != nil {
		return nil, nil, err
	}
	note := finding.Finding{Severity: finding.Care, Where: "calendar", What: "no margin is left for a print or a cure that fails", Do: "more free hours in the next days, or " + seeGains}
	if !bare.early(back) {
		cal := finish(bare, back)
		cal.NoMargin = true
		return cal, []finding.Finding{note}, nil
	}
	front, err := bare.problem.Begin(ctx, *m.past.now)
	if err != nil {
		return nil, nil, err
	}
	cal := finish(bare, front)
	cal.NoMargin = true
	late := *m.past.now + front.SpanMin - m.due
	if late <= 0 {
		return cal, []finding.Finding{note}, nil
	}
	cal.LateH = float64(late) / 60
	f := finding.Finding{Severity: finding.Care, Where: "needed", What: fmt.Sprintf("%s cannot be met: ready %s too late, on %s, without any margin", day(cal.Needed), unit.Duration(math.Round(float64(late)/60)*60), day(cal.ReadyBy)), Do: "a later day, or " + seeGains}
	if *m.past.now > m.due {
		f.What, f.Do = fmt.Sprintf("the day needed, %s, is past", m.w.Needed), "set needed to a day to come"
	}
	return cal, []finding.Finding{f}, nil
}
