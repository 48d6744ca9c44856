// Package evening plans the work at the bench: moulds that are filled, chilled, filled
// again, capped, chilled and released, round after round, with overlaps.
//
//	Moulds + Habits + times --Plan--> Evening (steps on a timeline)
package evening

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
)

// Mould is one mould to be filled so often.
type Mould struct {
	Name     string // "tray 1", "tray 1, second"
	Cavities int    // filled in a round
	Filled   bool   // false: solid pieces, chilled once
	Rounds   int
	ShellMin float64 // chilling of the shell; of the whole piece when not Filled
	CapMin   float64
}

// Habits is what limits the work.
type Habits struct {
	Hands       int // people at the bench
	ShelfMoulds int // moulds that fit into the fridge at once
}

// Times at the bench, in minutes: for each mould and for each cavity. A brush reaches
// into the art of a cavity within ten seconds; scraping and tapping are one task for a
// whole mould (common practice, no source; to be measured by the person).
var bench = map[string][2]float64{
	"wipe art":    {0.5, 0.15},
	"fill shells": {1, 0.1},
	"tip, scrape": {2, 0.02},
	"fill":        {1, 0.12},
	"cap, scrape": {2, 0.08},
	"fill solid":  {2, 0.1},
	"release":     {1, 0.06},
}

// Step is one thing on the timeline, in minutes from the start of the evening.
type Step struct {
	Mould int // index of the Moulds given
	Round int // from 1
	What  string
	Hands bool // it needs a pair of hands; otherwise the fridge
	Start float64
	End   float64
}

// Evening is the plan.
type Evening struct {
	Steps  []Step // in the order in which they begin
	EndMin float64
}

// MaxSteps bounds a plan: weeks of evenings.
const MaxSteps = 100000

// sequence is the steps of one round.
func (m *Mould) sequence() []Step {
	hand := func(what string) Step {
		b := bench[what]
		return Step{What: what, Hands: true, End: b[0] + b[1]*float64(m.Cavities)}
	}
	if !m.Filled {
		return []Step{hand("wipe art"), hand("fill solid"), {What: "chill", End: m.ShellMin}, hand("release")}
	}
	return []Step{hand("wipe art"), hand("fill shells"), hand("tip, scrape"), {What: "chill shells", End: m.ShellMin},
		hand("fill"), hand("cap, scrape"), {What: "chill caps", End: m.CapMin}, hand("release")}
}

// Plan puts the steps on a timeline: whatever can start first starts first; of two, the
// mould that is further on (it frees the mould), then the first of the list. Hands and
// shelf are never taken twice. A mould that comes out of the fridge late takes no harm.
func Plan(moulds []Mould, h Habits) (*Evening, error) {
	if h.Hands < 1 || h.ShelfMoulds < 1 {
		return nil, &finding.Error{Key: "kitchen", Found: fmt.Sprintf("%d pairs of hands, room for %d moulds in the fridge", h.Hands, h.ShelfMoulds), Allowed: "at least 1 each",
			Do: "make the shelf larger (kitchen.shelf_width_mm, shelf_depth_mm) or the trays smaller (master.width_mm, depth_mm)"}
	}
	type state struct {
		seq         []Step
		round, next int
		free        float64
	}
	states := make([]state, len(moulds))
	total := 0
	for i := range moulds {
		m := &moulds[i]
		for _, v := range [...]float64{m.ShellMin, m.CapMin} {
			if !(v >= 0) || math.IsInf(v, 0) {
				return nil, &finding.Error{Key: "kitchen", Found: fmt.Sprintf("%g min of chilling", v), Allowed: "0 or more"}
			}
		}
		states[i] = state{seq: m.sequence(), round: 1}
		if total += m.Rounds * len(states[i].seq); m.Rounds < 0 || m.Cavities < 0 || total > MaxSteps {
			return nil, &finding.Error{Key: "kitchen", Found: fmt.Sprintf("%d rounds of %s", m.Rounds, m.Name), Allowed: fmt.Sprintf("at most %d steps in all", MaxSteps)}
		}
	}
	hands, shelf := make([]float64, h.Hands), make([]float64, h.ShelfMoulds)
	e := &Evening{Steps: make([]Step, 0, total)}
	for len(e.Steps) < total {
		best, at, slot := -1, math.Inf(1), 0
		for i := range states {
			s := &states[i]
			if s.round > moulds[i].Rounds {
				continue
			}
			pool := shelf
			if s.seq[s.next].Hands {
				pool = hands
			}
			k := earliest(pool)
			t := math.Max(s.free, pool[k])
			if t < at || t == at && s.next > states[best].next {
				best, at, slot = i, t, k
			}
		}
		s := &states[best]
		step := s.seq[s.next]
		step.Mould, step.Round, step.Start, step.End = best, s.round, at, at+step.End
		if step.Hands {
			hands[slot] = step.End
		} else {
			shelf[slot] = step.End
		}
		s.free = step.End
		if s.next++; s.next == len(s.seq) {
			s.next, s.round = 0, s.round+1
		}
		e.Steps = append(e.Steps, step)
		e.EndMin = math.Max(e.EndMin, step.End)
	}
	return e, nil
}

func earliest(pool []float64) int {
	best := 0
	for k, t := range pool {
		if t < pool[best] {
			best = k
		}
	}
	return best
}

// Share divides the rounds of each mould among copies of it.
func Share(moulds []Mould, copies int) []Mould {
	var all []Mould
	for _, m := range moulds {
		for c := range copies {
			part := m
			part.Rounds = (m.Rounds + copies - 1 - c) / copies
			if c > 0 {
				part.Name = fmt.Sprintf("%s, copy %d", m.Name, c+1)
			}
			all = append(all, part)
		}
	}
	return all
}
