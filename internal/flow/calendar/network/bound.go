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
	gate := func(row []uint64, t int) int {
		var list []int
		for k, w := range row {
			for ; w != 0; w &= w - 1 {
				list = append(list, k*64+bits.TrailingZeros64(w))
			}
		}
		sort.Slice(list, func(i, j int) bool { return start[list[i]] > start[list[j]] })
		clear(busy)
		for _, i := range list { // the latest first
			task := &p.Tasks[i]
			for _, u := range task.Uses {
				at, to := a.part(task, u.Part)
				if busy[u.Resource] += u.Units * (to - at); u.Units > 0 && to > at {
					t = max(t, start[i]+(busy[u.Resource]+p.Capacity[u.Resource]-1)/p.Capacity[u.Resource])
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
