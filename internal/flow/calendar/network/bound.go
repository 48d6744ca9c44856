package network

import "sort"

// bound is an end before which no schedule ends: the longest chain in free hours, or
// the work on one resource, or the work of the person's hands, whichever is latest.
// The last two count what must come before the first use and after the last one.
// stuck is a task that fits nowhere, or -1.
func (a *axis) bound(from int) (end, stuck int) {
	start, end, stuck := a.heads(from)
	if stuck >= 0 {
		return 0, stuck
	}
	tails := a.tails()
	for r, capacity := range a.p.Capacity {
		first, tail, work := never, never, 0
		for i := range a.p.Tasks {
			t := &a.p.Tasks[i]
			for _, u := range t.Uses {
				at, to := a.part(t, u.Part)
				if u.Resource != r || u.Units == 0 || at == to {
					continue
				}
				work += u.Units * (to - at)
				first = min(first, start[i]+at)
				tail = min(tail, tails[i]-to)
			}
		}
		if work > 0 {
			end = max(end, first+(work+capacity-1)/capacity+tail)
		}
	}
	first, tail, work := never, never, 0
	for i := range a.p.Tasks {
		t := &a.p.Tasks[i]
		if t.Head == 0 {
			continue
		}
		at, to := a.part(t, InHead)
		work += t.Head
		first = min(first, start[i]+at)
		tail = min(tail, tails[i]-to)
	}
	if work > 0 {
		end = max(end, a.free.worked(first, (work+a.p.hands()-1)/a.p.hands())+tail)
	}
	return end, -1
}

// worked is when so many minutes of free time have passed from t on.
func (h *hours) worked(t, minutes int) int {
	if h.always {
		return t + minutes
	}
	for k := sort.Search(len(h.spans), func(k int) bool { return h.spans[k].To > t }); k < len(h.spans); k++ {
		from := max(h.spans[k].From, t)
		if n := h.spans[k].To - from; n < minutes {
			minutes -= n
			continue
		}
		return from + minutes
	}
	return never
}

// Critical is the critical path method (J. E. Kelley, M. R. Walker 1959): the earliest
// and latest beginnings of tasks that wait for each other and for nothing else, from 0
// on, and the whole length. A task is critical when both are the same.
func (p *Problem) Critical() (earliest, latest []int, length int, err error) {
	order, err := p.check()
	if err != nil {
		return nil, nil, 0, err
	}
	free := &Problem{Tasks: p.Tasks, Capacity: p.Capacity}
	a := free.axis(order, false)
	earliest, length, _ = a.heads(0)
	latest = a.tails()
	for i := range latest {
		latest[i] = length - latest[i]
	}
	return earliest, latest, length, nil
}
