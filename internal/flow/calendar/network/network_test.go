package network

import (
	"context"
	"errors"
	"math"
	"reflect"
	"testing"
)

// named builds a problem from names, durations and what each waits for.
func named(rows []row) (*Problem, map[string]int) {
	p, at := &Problem{}, map[string]int{}
	for i, r := range rows {
		at[r.name] = i
	}
	for _, r := range rows {
		t := Task{Body: r.days}
		for _, a := range r.after {
			t.After = append(t.After, Link{Task: at[a]})
		}
		p.Tasks = append(p.Tasks, t)
	}
	return p, at
}

type row struct {
	name  string
	days  int
	after []string
}

// F. Hillier, G. Lieberman, Introduction to Operations Research, the project "Reliable
// Construction": 44 weeks, critical A-B-C-E-F-J-L-N, slack D, G, H, M 4, I 2, K 1 (the
// network from memory, its answers computed anew).
func TestCriticalPathOfReliableConstruction(t *testing.T) {
	p, at := named([]row{{"A", 2, nil}, {"B", 4, []string{"A"}}, {"C", 10, []string{"B"}}, {"D", 6, []string{"C"}}, {"E", 4, []string{"C"}}, {"F", 5, []string{"E"}},
		{"G", 7, []string{"D"}}, {"H", 9, []string{"E", "G"}}, {"I", 7, []string{"C"}}, {"J", 8, []string{"F", "I"}}, {"K", 4, []string{"J"}}, {"L", 5, []string{"J"}},
		{"M", 2, []string{"H"}}, {"N", 6, []string{"K", "L"}}})
	early, late, length, err := p.Critical()
	if err != nil || length != 44 {
		t.Fatalf("%d weeks, %v; the book has 44", length, err)
	}
	want := map[string]int{"A": 0, "B": 0, "C": 0, "E": 0, "F": 0, "J": 0, "L": 0, "N": 0, "D": 4, "G": 4, "H": 4, "M": 4, "I": 2, "K": 1}
	for name, i := range at {
		if late[i]-early[i] != want[name] {
			t.Errorf("slack of %s is %d, want %d", name, late[i]-early[i], want[name])
		}
	}
	// Counted back without limits the same comes out, through the scheduler.
	s, err := p.Count(context.Background(), 100)
	if err != nil || s.SpanMin != 44 || s.BoundMin != 44 || s.Start[0] != 56 {
		t.Fatalf("%+v, %v", s, err)
	}
	for name, i := range at {
		if sl := p.Slacks(s, 56)[i]; sl.Minutes != want[name] {
			t.Errorf("%s: %+v, want slack %d", name, sl, want[name])
		}
	}
}

// B. W. Taylor, Introduction to Management Science, chapter 8, problem 1: length 20,
// critical 1-3-4-5-6, slack of 1-2: 2, 2-4: 2, 3-5: 4.
func TestCriticalPathOfTaylor(t *testing.T) {
	p, at := named([]row{{"1-2", 7, nil}, {"1-3", 10, nil}, {"2-4", 6, []string{"1-2"}}, {"3-4", 5, []string{"1-3"}}, {"3-5", 4, []string{"1-3"}},
		{"4-5", 3, []string{"2-4", "3-4"}}, {"5-6", 2, []string{"3-5", "4-5"}}})
	early, late, length, err := p.Critical()
	if err != nil || length != 20 {
		t.Fatalf("%d, %v; the book has 20", length, err)
	}
	want := map[string]int{"1-2": 2, "2-4": 2, "3-5": 4}
	for name, i := range at {
		if late[i]-early[i] != want[name] {
			t.Errorf("slack of %s is %d, want %d", name, late[i]-early[i], want[name])
		}
	}
}

func TestTasksThatWaitForEachOther(t *testing.T) {
	p, at := named([]row{{"a", 1, nil}, {"b", 1, []string{"a", "d"}}, {"c", 1, []string{"b"}}, {"d", 1, []string{"c"}}, {"e", 1, []string{"d"}}})
	_, err := p.Count(context.Background(), 10)
	var c *Cycle
	if !errors.As(err, &c) || len(c.Tasks) != 3 {
		t.Fatalf("%v, want a cycle of b, c, d", err)
	}
	for k, i := range c.Tasks { // each waits for the one before it
		before, found := c.Tasks[(k+2)%3], false
		for _, l := range p.Tasks[i].After {
			found = found || l.Task == before
		}
		if !found {
			t.Errorf("in %v task %d does not wait for %d", c.Tasks, i, before)
		}
	}
	_ = at
}

// Hands lie in free hours and never do two things; bodies run on through the night; a
// body that needs someone at home lies in free hours too.
func TestHandsInFreeHours(t *testing.T) {
	day := func(d int) Span { return Span{d*1440 + 1080, d*1440 + 1320} } // 18:00-22:00
	p := &Problem{Capacity: []int{1}, Free: []Span{day(0), day(1), day(2), day(3), day(4), day(5)}}
	print := Task{Head: 15, Body: 600, Uses: []Use{{0, 1, Whole}}}
	p.Tasks = []Task{print, print, {Head: 30, After: []Link{{0, 0}, {1, 0}}}, {Head: 15, Body: 180, Present: true, After: []Link{{2, 60}}}}
	s, err := p.Count(context.Background(), 6*1440)
	if err != nil {
		t.Fatal(err)
	}
	verify(t, p, s)
	// The oven's 195 min fit an evening only alone: it begins at 18:45 of the last one,
	// the assembly lies the evening before, and each print the evening before that.
	want := []int{2*1440 + 1320 - 15, 3*1440 + 1320 - 15, 4*1440 + 1320 - 30, 5*1440 + 1320 - 195}
	got := append([]int{}, s.Start...)
	if got[0] > got[1] {
		got[0], got[1] = got[1], got[0]
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("begins %v, want %v", got, want)
	}
	// The first print has no play; the second could begin with its evening.
	sl := p.Slacks(s, got[0])
	if a, b := min(sl[0].Minutes, sl[1].Minutes), max(sl[0].Minutes, sl[1].Minutes); a != 0 || b != 225 {
		t.Errorf("slack %d and %d, want 0 and 225", a, b)
	}
	p.Tasks[3].Body = 300
	var none *NoRoom
	if _, err := p.Count(context.Background(), 6*1440); !errors.As(err, &none) || none.Task != 3 {
		t.Errorf("%v, want that task 3 fits nowhere", err)
	}
}

// verify holds a schedule to the rules, minute by minute where spans meet.
func verify(t *testing.T, p *Problem, s *Schedule) {
	t.Helper()
	a := &axis{p: p}
	moments := map[int]bool{}
	for i := range p.Tasks {
		task := &p.Tasks[i]
		for _, l := range task.After {
			if s.Start[i] < s.End[l.Task]+l.LagMin {
				t.Errorf("task %d begins at %d, before task %d ends at %d and %d more", i, s.Start[i], l.Task, s.End[l.Task], l.LagMin)
			}
		}
		for _, m := range []int{s.Start[i], s.Start[i] + task.Head} {
			moments[m] = true
		}
		within := func(from, to int) {
			for _, f := range p.Free {
				if f.From <= from && to <= f.To {
					return
				}
			}
			t.Errorf("task %d from %d to %d lies outside of free hours", i, from, to)
		}
		if p.Free != nil && task.Head > 0 {
			within(s.Start[i], s.Start[i]+task.Head)
		}
		if p.Free != nil && task.Present {
			within(s.Start[i]+task.Head, s.End[i])
		}
	}
	for m := range moments {
		used, hands := make([]int, len(p.Capacity)), 0
		for i := range p.Tasks {
			task := &p.Tasks[i]
			if task.Head > 0 && s.Start[i] <= m && m < s.Start[i]+task.Head {
				hands++
			}
			for _, u := range task.Uses {
				if from, to := a.part(task, u.Part); s.Start[i]+from <= m && m < s.Start[i]+to {
					used[u.Resource] += u.Units
				}
			}
		}
		if hands > 1 {
			t.Errorf("%d things in hand at %d", hands, m)
		}
		for r, n := range used {
			if n > p.Capacity[r] {
				t.Errorf("%d units of resource %d taken at %d, there are %d", n, r, m, p.Capacity[r])
			}
		}
	}
}

// Against every order of small problems tried out: the serial scheme over all orders
// holds an optimum (R. Kolisch 1996), so the best of all is the answer.
func TestAgainstEveryOrder(t *testing.T) {
	for seed := range 24 {
		p := made(6, seed)
		if seed >= 12 { // each holds the one machine all the time, and begins with hands
			p.Capacity[0] = 1
			for i := range p.Tasks {
				p.Tasks[i].Head = max(10, p.Tasks[i].Head)
				p.Tasks[i].Uses = []Use{{0, 1, Whole}}
			}
		}
		order, err := p.check()
		if err != nil {
			t.Fatal(err)
		}
		best := never
		a := p.axis(order, true)
		var permute func(rank []float64, k int)
		permute = func(rank []float64, k int) {
			if k == len(rank) {
				if _, last, _ := a.serial(-10000, rank, false); last < best {
					best = last
				}
				return
			}
			for i := k; i < len(rank); i++ {
				rank[k], rank[i] = rank[i], rank[k]
				permute(rank, k+1)
				rank[k], rank[i] = rank[i], rank[k]
			}
		}
		permute([]float64{0, 1, 2, 3, 4, 5}, 0)
		s, err := p.Count(context.Background(), 10000)
		if err != nil {
			t.Fatal(err)
		}
		verify(t, p, s)
		if s.SpanMin != best+10000 || s.BoundMin > s.SpanMin {
			t.Errorf("problem %d: spans %d, the best of all orders %d, bound %d", seed, s.SpanMin, best+10000, s.BoundMin)
		}
	}
}

// made is a problem of n tasks, each with two of those before it to wait for, on two
// resources, with free hours from 18:00 to 22:00.
func made(n, seed int) *Problem {
	p := &Problem{Capacity: []int{2, 3}}
	for d := -200; d < 200; d++ {
		p.Free = append(p.Free, Span{d*1440 + 1080, d*1440 + 1320})
	}
	roll := uint32(seed*7919 + 17)
	next := func(n int) int {
		roll = roll*1664525 + 1013904223
		return int(roll>>16) % n
	}
	for i := range n {
		t := Task{Head: 10 * next(6), Body: 30 * next(20), Uses: []Use{{0, 1 + next(2), Part(next(3))}, {1, 1 + next(2), Whole}}}
		for range 2 {
			if i > 0 && next(3) > 0 {
				t.After = append(t.After, Link{next(i), 15 * next(3)})
			}
		}
		p.Tasks = append(p.Tasks, t)
	}
	return p
}

func TestTheSameEveryTime(t *testing.T) {
	p := made(60, 3)
	a, err := p.Count(context.Background(), 0)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := p.Count(context.Background(), 0)
	if !reflect.DeepEqual(a, b) {
		t.Error("two runs differ")
	}
	verify(t, p, a)
	if math.IsNaN(a.GapShare()) || a.GapShare() < 0 {
		t.Errorf("gap %g", a.GapShare())
	}
}

func TestGivenUpWhenAsked(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := made(60, 3).Count(ctx, 0); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}
