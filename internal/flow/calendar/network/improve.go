package network

import (
	"context"
	"math"
	"slices"
)

// Count schedules as late as the deadline allows: the first beginning is as late as it
// could be found.
func (p *Problem) Count(ctx context.Context, deadline int) (*Schedule, error) {
	return p.solve(ctx, deadline, true)
}

// Begin schedules as early as the start allows.
func (p *Problem) Begin(ctx context.Context, start int) (*Schedule, error) {
	return p.solve(ctx, start, false)
}

// MaxPlacings bounds the work of improving: so often is it looked where a task fits (our choice: it
// keeps 300 tasks under a second on one core).
const MaxPlacings = 200_000

// search is the best schedule found so far on the axis wanted.
type search struct {
	there, back *axis
	from, bound int
	start       []int
	last        int
}

// solve places whoever can begin soonest, then by several rules, then improves: each schedule
// is pushed to its end and back again, which closes gaps (forward-backward improvement:
// K. Y. Li, R. J. Willis, EJOR 56 (1992) 370), and ranks around the best are shaken by a fixed
// sequence that fills the interval evenly (H. Weyl 1916), so that the result is always the same.
func (p *Problem) solve(ctx context.Context, at int, mirrored bool) (*Schedule, error) {
	order, err := p.check()
	if err != nil {
		return nil, err
	}
	s := &search{there: p.axis(order, mirrored), back: p.axis(order, !mirrored), from: at, last: never}
	most := MaxPlacings
	if p.Placings > 0 {
		most = min(p.Placings, MaxPlacings)
	}
	s.there.most = most
	if mirrored {
		s.from = -at
	}
	bound, stuck := s.there.bound(s.from)
	if stuck >= 0 {
		return nil, &NoRoom{stuck}
	}
	s.bound = bound
	tails := s.there.tails()
	if i := s.try(make([]float64, len(p.Tasks)), true); i >= 0 {
		return nil, &NoRoom{i}
	}
	for _, rank := range s.rules(tails) {
		if i := s.try(rank, false); i >= 0 {
			return nil, &NoRoom{i}
		}
	}
	n := len(p.Tasks)
	for k := 1; s.there.asked+s.back.asked < most && s.last > s.bound && n > 1; k++ {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		s.try(s.shaken(tails, k))
	}
	return s.schedule(), nil
}

// rules are the ranks to begin with: the longest chain behind first; that chain and
// what it uses; the most successors.
func (s *search) rules(tails []int) [][]float64 {
	p := s.there.p
	n := len(p.Tasks)
	chain, heavy, many := make([]float64, n), make([]float64, n), make([]float64, n)
	follow := make([]float64, n)
	for k := len(s.there.order) - 1; k >= 0; k-- {
		i := s.there.order[k]
		for _, l := range s.there.after[i] {
			follow[i] += 1 + follow[l.Task]
		}
		chain[i] = -float64(tails[i])
		share := 0.0
		for _, u := range p.Tasks[i].Uses {
			share += float64(u.Units) / float64(max(1, p.Capacity[u.Resource]))
		}
		heavy[i] = chain[i] - share*float64(p.Tasks[i].length())
		many[i] = -follow[i]
	}
	return [][]float64{chain, heavy, many}
}

// try places by rank, pushes to the end and back, and keeps the best. It gives the task
// that fits nowhere, or -1.
func (s *search) try(rank []float64, soonest bool) int {
	start, last, stuck := s.there.serial(s.from, rank, soonest)
	if stuck >= 0 {
		return stuck
	}
	s.keep(start, last)
	for range 3 {
		pushed, _, stuck := s.back.serial(-last, s.by(start, true), false)
		if stuck >= 0 {
			return -1
		}
		again, end, stuck := s.there.serial(s.from, s.by(pushed, true), false)
		if stuck >= 0 || end >= last {
			return -1
		}
		start, last = again, end
		s.keep(start, last)
	}
	return -1
}

// by ranks tasks by their place: for the other axis the last end first.
func (s *search) by(start []int, turned bool) []float64 {
	out := make([]float64, len(start))
	for i, t := range start {
		out[i] = float64(t)
		if turned {
			out[i] = -float64(t + s.there.p.Tasks[i].length())
		}
	}
	return out
}

func (s *search) keep(start []int, last int) {
	if last < s.last {
		s.start, s.last = start, last
	}
}

// shaken are in turn ranks around the longest chains, ranks around the best schedule, and
// handicaps for who can begin soonest.
func (s *search) shaken(tails []int, k int) (rank []float64, soonest bool) {
	const golden, silver = 0.6180339887498949, 0.4142135623730951
	rank = make([]float64, len(tails))
	span := float64(max(1, s.last-s.from))
	turn := k / 3
	width := [...]float64{0.1, 0.2, 0.35, 0.6}[turn%4] * span
	handicap := [...]float64{15, 30, 60, 120, 240, 480}[turn%6] // min; our choice: up to a day's hours
	for i := range rank {
		_, u := math.Modf(float64(k)*golden + float64(i+1)*silver*(1+float64(k%97)))
		switch k % 3 {
		case 0:
			rank[i] = -float64(tails[i]) + (u-0.5)*width
		case 1:
			rank[i] = float64(s.start[i]-s.from) + (u-0.5)*width
		case 2:
			rank[i] = (u - 0.5) * handicap
		}
	}
	return rank, k%3 == 2
}

// schedule turns the best back into minutes as they are.
func (s *search) schedule() *Schedule {
	p := s.there.p
	out := &Schedule{Start: slices.Clone(s.start), End: make([]int, len(s.start)), SpanMin: s.last - s.from, BoundMin: s.bound - s.from}
	for i := range out.Start {
		n := p.Tasks[i].length()
		if s.there.mirrored {
			out.Start[i] = -s.start[i] - n
		}
		out.End[i] = out.Start[i] + n
	}
	return out
}
