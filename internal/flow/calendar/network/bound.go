package network

import (
	"math/bits"
	"sort"
)

// bound is an end before which no schedule ends. Tasks begin no earlier than chains in
// free hours allow; and none begins before all that must come before it has been worked
// off: by each resource, and by the person's hands in free hours, from the moment at
// which the first of it can begin. That is asked of every task, for all that comes
// before it and for each part of that which can only begin late, and of the end.
// stuck is a task that fits nowhere, or -1.
func (a *axis) bound(from int) (end, stuck int) {
	p, n := a.p, len(a.p.Tasks)
	words := (n + 63) / 64
	above := make([]uint64, n*words) // row i: all that must come before task i
	start := make([]int, n)
	busy := make([]int, len(p.Capacity)+1) // of one gate: work of each resource, and of hands
	turns := make([]turn, len(p.Capacity))
	gate := func(row []uint64, t int) int {
		var list []int
		for k, w := range row {
			for ; w != 0; w &= w - 1 {
				list = append(list, k*64+bits.TrailingZeros64(w))
			}
		}
		sort.Slice(list, func(i, j int) bool { return start[list[i]] > start[list[j]] })
		clear(busy)
		for r := range turns {
			turns[r] = turn{least: never}
		}
		for _, i := range list { // the latest first
			task := &p.Tasks[i]
			for _, u := range task.Uses {
				at, to := a.part(task, u.Part)
				if busy[u.Resource] += u.Units * (to - at); u.Units > 0 && to > at {
					each := (busy[u.Resource] + p.Capacity[u.Resource] - 1) / p.Capacity[u.Resource]
					t = max(t, start[i]+each)
					if k := &turns[u.Resource]; k.add(task, u) {
						t = max(t, a.turned(start[i], each, *k))
					}
				}
			}
			if h := len(p.Capacity); task.Head > 0 {
				busy[h] += task.Head
				t = max(t, a.free.worked(start[i], (busy[h]+p.hands()-1)/p.hands()))
			}
		}
		return t
	}
	all := make([]uint64, words)
	end = from
	for _, i := range a.order {
		t := from
		row := above[i*words : (i+1)*words]
		for _, l := range a.before[i] {
			t = max(t, start[l.Task]+p.Tasks[l.Task].length()+l.LagMin)
			for k, w := range above[l.Task*words : (l.Task+1)*words] {
				row[k] |= w
			}
			row[l.Task/64] |= 1 << (l.Task % 64)
		}
		if t = a.alone(&p.Tasks[i], gate(row, t)); t >= never {
			return 0, i
		}
		start[i] = t
		end = max(end, t+p.Tasks[i].length())
		all[i/64] |= 1 << (i % 64)
	}
	return gate(all, end), -1
}

// turn is what is known of tasks that each hold a machine from their first minute to
// their last: the longest, and the least hands.
type turn struct {
	longest, least int
	other          bool // a task that holds it without hands, or not all the time
}

// add takes a task in, and tells whether all so far are of this kind.
func (k *turn) add(t *Task, u Use) bool {
	k.longest, k.least = max(k.longest, t.length()), min(k.least, t.Head)
	k.other = k.other || t.Head == 0 || u.Part != Whole || u.Units != 1
	return !k.other
}

// turned is when a machine can have worked off so many minutes from t on, when each task
// on it begins with hands in free hours (ends with them, in the mirror): of the tasks of
// one stretch of free hours all but one lie within it, so that they take no more than the
// stretch, less the hands of that one, and its own length.
func (a *axis) turned(t, minutes int, k turn) int {
	if a.free.always {
		return t + minutes
	}
	over := k.longest - k.least
	for i := sort.Search(len(a.free.spans), func(i int) bool { return a.free.spans[i].To > t }); i < len(a.free.spans); i++ {
		from := max(a.free.spans[i].From, t)
		if n := a.free.spans[i].To - from + over; n < minutes {
			minutes -= n
			continue
		}
		if a.mirrored {
			minutes = max(0, minutes-over)
		}
		return from + minutes
	}
	return never
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
