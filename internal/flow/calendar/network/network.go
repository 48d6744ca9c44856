// Package network schedules tasks that wait for each other and share what there is
// little of: machines, and the hours in which a person is free.
//
//	Problem (tasks, links, capacities, free hours) --Count--> Schedule, as late as a deadline allows
//	Problem --Begin--> Schedule, as early as a start allows
//	Problem + Schedule --Slacks--> how much sooner each task could begin
//	Problem --Critical--> earliest and latest starts without limits (critical path method)
//
// Counting back is scheduling forward in a mirror: time runs the other way, links turn
// round, and a task's hands come at its end. So one placing of tasks serves both.
// Minutes are whole numbers on one line; where 0 lies is the caller's choice.
package network

import (
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
)

// Task is one thing to do: first Head minutes of a person's own work, then Body
// minutes that need no hands.
type Task struct {
	Head, Body int    // minutes, >= 0
	Present    bool   // somebody must be at home in Body too, though with free hands
	Earliest   int    // when scheduled forward it begins no sooner
	After      []Link // what it waits for
	Uses       []Use
}

// Link says that a task waits for another's end, and LagMin minutes more (>= 0).
type Link struct{ Task, LagMin int }

// Part is the part of a task in which it uses something.
type Part int

// The parts of a task.
const (
	Whole Part = iota
	InHead
	InBody
)

// Use is so many units of a resource.
type Use struct {
	Resource int // index into Problem.Capacity
	Units    int // >= 0
	Part     Part
}

// Span is from From to To, in minutes.
type Span struct{ From, To int }

// Problem is what is to be scheduled. A head takes one person, and lies whole within
// one free span.
type Problem struct {
	Tasks    []Task
	Capacity []int
	People   int    // pairs of hands; 0 counts as 1
	Free     []Span // sorted, apart from each other; nil: always free
	Placings int    // bounds the improving: tasks placed in all; 0: MaxPlacings
}

func (p *Problem) hands() int { return max(1, p.People) }

// Schedule is when each task begins and ends.
type Schedule struct {
	Start, End []int
	SpanMin    int // from the first beginning to the deadline, or from the start to the last end
	BoundMin   int // proved: no schedule spans less
}

// GapShare is how much longer the schedule is than the bound, as a share of the bound.
func (s *Schedule) GapShare() float64 {
	if s.BoundMin <= 0 {
		return 0
	}
	return float64(s.SpanMin-s.BoundMin) / float64(s.BoundMin)
}

// MaxTasks bounds a problem (our choice: ten times a large job).
const MaxTasks = 3000

// never is the place of what fits nowhere (our choice: a few of them still add up within
// an int).
const never = math.MaxInt / 4

// Cycle is the error that tasks wait for each other: each for the one before it, the
// first for the last.
type Cycle struct{ Tasks []int }

func (c *Cycle) Error() string { return fmt.Sprintf("tasks %v wait for each other", c.Tasks) }

// NoRoom is the error that a task fits into no free span.
type NoRoom struct{ Task int }

func (n *NoRoom) Error() string { return fmt.Sprintf("task %d fits into no free hours", n.Task) }

func (t *Task) length() int { return t.Head + t.Body }

// check refuses what no schedule can hold, and gives the tasks in an order in which
// each stands behind all that it waits for.
func (p *Problem) check() ([]int, error) {
	if len(p.Tasks) > MaxTasks {
		return nil, &finding.Error{Key: "calendar", Found: fmt.Sprintf("%d tasks", len(p.Tasks)), Allowed: fmt.Sprintf("at most %d", MaxTasks), Do: "make the job in parts"}
	}
	for i := range p.Tasks {
		t := &p.Tasks[i]
		if t.Head < 0 || t.Body < 0 || t.length() > never/MaxTasks/2 {
			return nil, &finding.Error{Key: "calendar", Found: fmt.Sprintf("task %d takes %d and %d min", i, t.Head, t.Body), Allowed: "0 or more"}
		}
		for _, u := range t.Uses {
			if u.Resource < 0 || u.Resource >= len(p.Capacity) || u.Units < 0 || u.Units > p.Capacity[u.Resource] {
				return nil, &finding.Error{Key: "calendar", Found: fmt.Sprintf("task %d wants %d units of resource %d", i, u.Units, u.Resource), Allowed: "no more than there are"}
			}
		}
		for _, l := range t.After {
			if l.Task < 0 || l.Task >= len(p.Tasks) || l.LagMin < 0 {
				return nil, &finding.Error{Key: "calendar", Found: fmt.Sprintf("task %d waits for task %d", i, l.Task), Allowed: "a task of the list, a wait of 0 or more"}
			}
		}
	}
	return p.order()
}

// order is a topological one (A. B. Kahn 1962), or the error Cycle.
func (p *Problem) order() ([]int, error) {
	waits, next := make([]int, len(p.Tasks)), p.successors()
	var ready, out []int
	for i := range p.Tasks {
		waits[i] = len(p.Tasks[i].After)
		if waits[i] == 0 {
			ready = append(ready, i)
		}
	}
	for len(ready) > 0 {
		i := ready[0]
		ready, out = ready[1:], append(out, i)
		for _, l := range next[i] {
			if waits[l.Task]--; waits[l.Task] == 0 {
				ready = append(ready, l.Task)
			}
		}
	}
	if len(out) == len(p.Tasks) {
		return out, nil
	}
	// Who still waits has someone before it who waits too: going back must come round.
	at := slices.IndexFunc(waits, func(n int) bool { return n > 0 })
	seen := map[int]int{}
	var path []int
	for {
		if k, again := seen[at]; again {
			path = path[k:]
			slices.Reverse(path)
			return nil, &Cycle{path}
		}
		seen[at], path = len(path), append(path, at)
		for _, l := range p.Tasks[at].After {
			if waits[l.Task] > 0 {
				at = l.Task
				break
			}
		}
	}
}

// successors are the links the other way round.
func (p *Problem) successors() [][]Link {
	out := make([][]Link, len(p.Tasks))
	for i := range p.Tasks {
		for _, l := range p.Tasks[i].After {
			out[l.Task] = append(out[l.Task], Link{i, l.LagMin})
		}
	}
	return out
}
