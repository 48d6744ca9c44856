package network

import "sort"

// Slack is the play of a task in a schedule whose order is kept.
type Slack struct {
	Earliest int // it could begin so early
	Minutes  int // from then to its place in the schedule
}

// arc says that to begins at least gap minutes after from begins.
type arc struct{ from, to, gap int }

// Slacks tells for a schedule as late as can be how much earlier each task could begin,
// when nothing begins before from, and the order at each resource stays as it is. A
// task without play is critical; the first one of a plan that begins at from always is.
func (p *Problem) Slacks(s *Schedule, from int) []Slack {
	n := len(p.Tasks)
	by := make([]int, n)
	for i := range by {
		by[i] = i
	}
	sort.SliceStable(by, func(a, b int) bool { return s.Start[by[a]] < s.Start[by[b]] })
	arcs := p.arcs(s)
	into := make([][]arc, n)
	for _, a := range arcs {
		into[a.to] = append(into[a.to], a)
	}
	a := &axis{p: p, free: hours{p.Free, p.Free == nil}}
	slack := make([]Slack, n)
	for _, i := range by {
		t := min(from, s.Start[i])
		for _, e := range into[i] {
			t = max(t, slack[e.from].Earliest+e.gap)
		}
		t = min(a.alone(&p.Tasks[i], t), s.Start[i])
		slack[i] = Slack{t, s.Start[i] - t}
	}
	return slack
}

// arcs are the links, and the order in which tasks use the same things.
func (p *Problem) arcs(s *Schedule) []arc {
	var out []arc
	for i := range p.Tasks {
		for _, l := range p.Tasks[i].After {
			out = append(out, arc{l.Task, i, p.Tasks[l.Task].length() + l.LagMin})
		}
	}
	a := &axis{p: p}
	type use struct{ task, from, to int }
	order := func(list []use) {
		for _, x := range list {
			for _, y := range list {
				if x.task != y.task && s.Start[x.task]+x.to <= s.Start[y.task]+y.from {
					out = append(out, arc{x.task, y.task, x.to - y.from})
				}
			}
		}
	}
	uses := make([][]use, len(p.Capacity)+1)
	for i := range p.Tasks {
		t := &p.Tasks[i]
		add := func(r int, part Part) {
			if from, to := a.part(t, part); from < to {
				uses[r] = append(uses[r], use{i, from, to})
			}
		}
		for _, u := range t.Uses {
			if u.Units > 0 {
				add(u.Resource, u.Part)
			}
		}
		if p.hands() == 1 {
			add(len(p.Capacity), InHead)
		}
	}
	for _, list := range uses {
		order(list)
	}
	return out
}
