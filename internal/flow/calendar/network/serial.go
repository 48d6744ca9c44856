package network

import "container/heap"

// serial places the tasks one by one, each as early on its axis as all before it and
// what is taken allow: the serial schedule generation scheme (J. E. Kelley 1963). Of
// the tasks whose predecessors are placed, the one with the smallest rank is next.
// When soonest is asked for, it is the task that can begin first, its rank being a handicap
// in minutes: a long print that may run on into the night then goes before a short one that
// would have to wait for the next evening.
// It returns the starts on the axis and the last end, or the task that fits nowhere.
func (a *axis) serial(from int, rank []float64, soonest bool) (start []int, last int, stuck int) {
	n := len(a.p.Tasks)
	b := &bench{a: a, resources: make([]profile, len(a.p.Capacity))}
	start = make([]int, n)
	waits := make([]int, n)
	ready := &queue{rank: rank}
	if soonest {
		ready.rank = make([]float64, n)
		for i := range ready.rank {
			ready.rank[i] = float64(from) + rank[i]
		}
	}
	for i := range n {
		if waits[i] = len(a.before[i]); waits[i] == 0 {
			ready.items = append(ready.items, i)
		}
	}
	heap.Init(ready)
	last = from
	for len(ready.items) > 0 {
		i := heap.Pop(ready).(int)
		t := from
		for _, l := range a.before[i] {
			t = max(t, start[l.Task]+a.p.Tasks[l.Task].length()+l.LagMin)
		}
		if t = b.earliest(i, t); t >= never {
			return nil, 0, i
		}
		a.asked++
		if key := float64(t) + rank[i]; soonest && key > ready.rank[i] && a.asked < a.most {
			ready.rank[i] = key // what was taken since then lets it begin only later
			heap.Push(ready, i)
			continue
		}
		b.take(i, t)
		start[i] = t
		last = max(last, t+a.p.Tasks[i].length())
		for _, l := range a.after[i] {
			if waits[l.Task]--; waits[l.Task] == 0 {
				heap.Push(ready, l.Task)
			}
		}
	}
	return start, last, -1
}

// queue is a heap of tasks by rank, then by number.
type queue struct {
	items []int
	rank  []float64
}

func (q *queue) Len() int { return len(q.items) }
func (q *queue) Less(i, j int) bool {
	a, b := q.items[i], q.items[j]
	if q.rank[a] != q.rank[b] {
		return q.rank[a] < q.rank[b]
	}
	return a < b
}
func (q *queue) Swap(i, j int) { q.items[i], q.items[j] = q.items[j], q.items[i] }
func (q *queue) Push(x any)    { q.items = append(q.items, x.(int)) }
func (q *queue) Pop() any {
	x := q.items[len(q.items)-1]
	q.items = q.items[:len(q.items)-1]
	return x
}

// tails are the minutes from a task's beginning to the end of the longest chain behind
// it, without any limit.
func (a *axis) tails() []int {
	out := make([]int, len(a.p.Tasks))
	for k := len(a.order) - 1; k >= 0; k-- {
		i := a.order[k]
		for _, l := range a.after[i] {
			out[i] = max(out[i], l.LagMin+out[l.Task])
		}
		out[i] += a.p.Tasks[i].length()
	}
	return out
}

// heads are the earliest beginnings from t on when only hours limit each task, and the
// last end of all: no schedule ends earlier. stuck is a task that fits nowhere, or -1.
func (a *axis) heads(from int) (start []int, last, stuck int) {
	start = make([]int, len(a.p.Tasks))
	last = from
	for _, i := range a.order {
		t := from
		for _, l := range a.before[i] {
			t = max(t, start[l.Task]+a.p.Tasks[l.Task].length()+l.LagMin)
		}
		if t = a.alone(&a.p.Tasks[i], t); t >= never {
			return nil, 0, i
		}
		start[i] = t
		last = max(last, t+a.p.Tasks[i].length())
	}
	return start, last, -1
}
