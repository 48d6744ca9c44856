package record

import (
	"context"
	"slices"

	"mouldwright/internal/flow"
	"mouldwright/internal/flow/calendar"
	"mouldwright/internal/flow/pour"
	"mouldwright/internal/flow/shopping"
)

// PastOf is what a build needs to know of what happened, read from the record beside
// the job file; without a record it is empty. The instant is given once a task of the
// calendar was begun: before that, the same job gives the same bytes on any day.
func PastOf(ctx context.Context, job string, opt Options) (flow.Past, error) {
	r, err := OpenExisting(ctx, job, opt)
	if err == ErrNone {
		return flow.Past{}, nil
	} else if err != nil {
		return flow.Past{}, err
	}
	defer r.Close()
	return r.Past(ctx)
}

// Past is what a build needs to know of what happened.
func (r *Record) Past(ctx context.Context) (flow.Past, error) {
	e, err := r.Standing(ctx)
	if err != nil {
		return flow.Past{}, err
	}
	p := e.Past()
	if len(p.Happened) > 0 {
		p.Now = r.now()
	}
	return p, nil
}

// Past is what a build needs to know of standing entries, but for the instant.
func (e *Entries) Past() flow.Past {
	var p flow.Past
	for _, t := range e.CureTests {
		p.CureTests = append(p.CureTests, pour.CureTest{Resin: t.Resin, Treatment: t.Treatment, Coating: t.Coating, Silicone: t.Silicone, Outcome: pour.Outcome(t.Outcome), Date: t.Day})
	}
	for _, m := range e.MouldStates() {
		if m.PutAway {
			p.RetiredAfter = append(p.RetiredAfter, m.Casts)
		}
	}
	p.Learned = e.Learned()
	for _, t := range e.lastTasks() {
		p.Happened = append(p.Happened, calendar.Happened{Task: t.Name, From: t.FromAt, To: t.ToAt, Failed: t.Failed})
	}
	for _, s := range e.AtHome() {
		if s.Unit == "piece" && s.Made { // chocolates are nothing that one buys
			continue
		}
		p.Stock = append(p.Stock, shopping.Stock{What: s.What, Amount: s.Left, Unit: s.Unit, Opened: s.Opened, KeepsUntil: s.KeepsUntil, Lot: s.Lot})
	}
	p.Stock = append(p.Stock, e.usedUp()...)
	return p
}

// lastTasks is each task as it was last told, by the instant at which it was begun: a
// task that is begun and later done is two entries.
func (e *Entries) lastTasks() (out []Task) {
	for _, t := range e.Tasks {
		same := func(o Task) bool { return o.Name == t.Name && o.FromAt.Equal(t.FromAt) }
		if i := slices.IndexFunc(out, same); i >= 0 {
			out[i] = t
		} else {
			out = append(out, t)
		}
	}
	return out
}

// MouldState is a mould with what it has been through.
type MouldState struct {
	Mould
	Casts   int  `json:"casts" doc:"how often it was filled"`
	PutAway bool `json:"put_away"`
}

// MouldStates is each mould with what it has been through.
func (e *Entries) MouldStates() []MouldState {
	out := []MouldState{}
	for _, m := range e.Moulds {
		s := MouldState{Mould: m}
		for _, u := range e.MouldUses {
			if u.Mould == m.ID {
				s.Casts += u.Casts
				s.PutAway = s.PutAway || u.What == "put away"
			}
		}
		out = append(out, s)
	}
	return out
}
