package network

import "sort"

// profile is how much of a resource is taken: used[k] from at[k] until at[k+1].
type profile struct{ at, used []int }

// fits is the earliest moment from t on at which units are free for length minutes.
func (f *profile) fits(t, length, units, capacity int) int {
	if length == 0 || units == 0 {
		return t
	}
	for k := sort.SearchInts(f.at, t+1) - 1; ; k++ {
		if k < 0 {
			k = 0
		}
		if k >= len(f.at) || f.at[k] >= t+length {
			return t
		}
		if f.used[k]+units > capacity {
			if k+1 == len(f.at) {
				return never
			}
			t = max(t, f.at[k+1])
		}
	}
}

// take books units from a to b.
func (f *profile) take(a, b, units int) {
	if a >= b || units == 0 {
		return
	}
	i, j := f.cut(a), f.cut(b)
	for ; i < j; i++ {
		f.used[i] += units
	}
}

// cut makes t a moment of the profile and gives its index.
func (f *profile) cut(t int) int {
	k := sort.SearchInts(f.at, t)
	if k < len(f.at) && f.at[k] == t {
		return k
	}
	before := 0
	if k > 0 {
		before = f.used[k-1]
	}
	f.at = append(f.at, 0)
	f.used = append(f.used, 0)
	copy(f.at[k+1:], f.at[k:])
	copy(f.used[k+1:], f.used[k:])
	f.at[k], f.used[k] = t, before
	return k
}

// hours are the spans in which something may lie; always when there is no limit.
type hours struct {
	spans  []Span
	always bool
}

// fits is the earliest moment from t on at which length minutes lie within one span.
func (h *hours) fits(t, length int) int {
	if h.always || length == 0 {
		return t
	}
	for k := sort.Search(len(h.spans), func(k int) bool { return h.spans[k].To > t }); k < len(h.spans); k++ {
		s := h.spans[k]
		if from := max(s.From, t); from+length <= s.To {
			return from
		}
	}
	return never
}

// axis is one direction of time: forward as it is, or mirrored.
type axis struct {
	p        *Problem
	mirrored bool
	free     hours
	before   [][]Link // what must be placed before, on this axis
	after    [][]Link
	order    []int // topological, on this axis
	asked    int   // how often it was looked where a task fits
	most     int   // from so often on nothing is looked at twice
}

func (p *Problem) axis(order []int, mirrored bool) *axis {
	a := &axis{p: p, mirrored: mirrored, before: make([][]Link, len(p.Tasks)), after: p.successors(), order: order}
	for i := range p.Tasks {
		a.before[i] = p.Tasks[i].After
	}
	a.free = hours{p.Free, p.Free == nil}
	if !mirrored {
		return a
	}
	a.before, a.after = a.after, a.before
	a.order = make([]int, len(order))
	for k, i := range order {
		a.order[len(order)-1-k] = i
	}
	a.free.spans = make([]Span, len(p.Free))
	for k, s := range p.Free {
		a.free.spans[len(p.Free)-1-k] = Span{-s.To, -s.From}
	}
	return a
}

// part is when a part of task t lies, from the task's beginning on this axis.
func (a *axis) part(t *Task, part Part) (from, to int) {
	n := t.length()
	switch {
	case part == Whole:
		return 0, n
	case (part == InHead) != a.mirrored:
		// The head of a task as it is, or the body of a mirrored one: it comes first.
		if part == InHead {
			return 0, t.Head
		}
		return 0, t.Body
	case part == InHead:
		return t.Body, n
	}
	return t.Head, n
}

// bench is what is taken while tasks are placed.
type bench struct {
	a         *axis
	resources []profile
	person    profile
}

// earliest is where task i fits, from t on; never when it fits nowhere.
func (b *bench) earliest(i, t int) int {
	task := &b.a.p.Tasks[i]
	for {
		was := t
		t = b.a.alone(task, t)
		if t >= never {
			return never
		}
		if task.Head > 0 {
			off, _ := b.a.part(task, InHead)
			t = b.person.fits(t+off, task.Head, 1, b.a.p.hands()) - off
		}
		for _, u := range task.Uses {
			from, to := b.a.part(task, u.Part)
			t = b.resources[u.Resource].fits(t+from, to-from, u.Units, b.a.p.Capacity[u.Resource]) - from
		}
		if t == was {
			return t
		}
	}
}

// alone is where a task fits with nothing else to be done: its hands in free hours.
func (a *axis) alone(task *Task, t int) int {
	if !a.mirrored {
		t = max(t, task.Earliest)
	}
	for {
		was := t
		if task.Head > 0 {
			off, _ := a.part(task, InHead)
			if t = a.free.fits(t+off, task.Head) - off; t >= never-off {
				return never
			}
		}
		if task.Present && task.Body > 0 {
			off, _ := a.part(task, InBody)
			if t = a.free.fits(t+off, task.Body) - off; t >= never-off {
				return never
			}
		}
		if t == was {
			return t
		}
	}
}

func (b *bench) take(i, t int) {
	task := &b.a.p.Tasks[i]
	if task.Head > 0 {
		from, to := b.a.part(task, InHead)
		b.person.take(t+from, t+to, 1)
	}
	for _, u := range task.Uses {
		from, to := b.a.part(task, u.Part)
		b.resources[u.Resource].take(t+from, t+to, u.Units)
	}
}
