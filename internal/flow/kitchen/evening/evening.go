// Package evening plans the work at the bench: moulds that are filled, chilled, filled
// again, capped, chilled and released, round after round, with overlaps, and bowls of
// chocolate that are tempered and warmed again in between.
//
//	Moulds + Bowls + Habits + times --Plan--> Evening (steps on a timeline)
package evening

import (
	"cmp"
	"fmt"
	"math"
	"slices"

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
	Walls    string // what walls take that keep too little: "", Spatula or Coat
	Bowls    []int  // the chocolates that it takes, as indices into the bowls
}

// What is done where less stays on a wall than is wanted.
const (
	Spatula = "spatula" // draw the chocolate up the walls
	Coat    = "coat"    // let it set and coat once more
)

// Bowl is one chocolate at the bench.
type Bowl struct {
	Name     string
	MassG    float64
	WorkMin  float64 // how long it stays in its working band without being warmed
	ThickMin float64 // how long until it has thickened and is tempered anew
}

// Habits is what limits the work.
type Habits struct {
	Hands       int // people at the bench
	ShelfMoulds int // moulds that fit into the fridge at once
	// Pace is by what factor the times of a group of steps are corrected; one that is
	// missing stays.
	Pace map[string]float64
}

// Group is steps that are timed together, by the piece.
type Group struct {
	Name, Words string
	steps       []string
}

// Groups are all steps of a mould that need hands.
var Groups = []Group{
	{"shells", "wiping the art, filling and tipping the shells", []string{WipeArt, FillShells, Tip, DrawUp, Again, FillSolid}},
	{"fill", "putting in the filling", []string{Fill}},
	{"cap", "capping and scraping", []string{Cap}},
	{"release", "releasing", []string{Release}},
}

// pace is the factor of a step.
func (h Habits) pace(what string) float64 {
	for _, g := range Groups {
		if f := h.Pace[g.Name]; f > 0 && slices.Contains(g.steps, what) {
			return f
		}
	}
	return 1
}

// PerPiece is the minutes of hands that each group of steps takes for one piece, over
// all rounds of some moulds, by its own reckoning. A group without work is left out.
func PerPiece(moulds []Mould) map[string]float64 {
	out := map[string]float64{}
	for _, g := range Groups {
		min, pieces := 0.0, 0
		for i := range moulds {
			m := &moulds[i]
			any := 0.0
			for _, s := range m.sequence(Habits{}) {
				if slices.Contains(g.steps, s.What) {
					any += s.End
				}
			}
			if any > 0 {
				min, pieces = min+any*float64(m.Rounds), pieces+m.Cavities*m.Rounds
			}
		}
		if pieces > 0 {
			out[g.Name] = min / float64(pieces)
		}
	}
	return out
}

// Times at the bench, in minutes: for each mould and for each cavity. A brush reaches
// into the art of a cavity within ten seconds; scraping and tapping are one task for a
// whole mould (common practice, no source; to be measured by the person).
var bench = map[string][2]float64{
	WipeArt:    {0.5, 0.15},
	FillShells: {1, 0.1},
	Tip:        {2, 0.02},
	DrawUp:     {0.5, 0.1},
	Again:      {1, 0.1},
	Fill:       {1, 0.12},
	Cap:        {2, 0.08},
	FillSolid:  {2, 0.1},
	Release:    {1, 0.06},
}

// The steps of a mould, as they are called.
const (
	WipeArt     = "wipe art"
	FillShells  = "fill shells"
	Tip         = "tip, scrape"
	DrawUp      = "draw up walls"
	ChillShells = "chill shells"
	Again       = "coat again"
	ChillAgain  = "chill second coat"
	Fill        = "fill"
	Cap         = "cap, scrape"
	ChillCaps   = "chill caps"
	FillSolid   = "fill solid"
	Chill       = "chill"
	Release     = "release"
)

// The steps of a bowl.
const (
	Temper   = "temper"
	Warm     = "warm bowl"
	TemperAn = "temper anew"
)

// chocolate is the steps that take chocolate from the bowls.
var chocolate = map[string]bool{WipeArt: true, FillShells: true, Again: true, Cap: true, FillSolid: true}

// Minutes at the bowl (common practice, no source): melting and seeding take a quarter of
// an hour and ten minutes for each kilogram; warming a bowl back into its band three.
const (
	temperMin      = 15.0
	temperMinPerKg = 10.0
	warmMin        = 3.0
	leastWorkMin   = 1.0
)

// Step is one thing on the timeline, in minutes from the start of the evening.
type Step struct {
	Mould int // index of the Moulds given; -1 for a bowl
	Bowl  int // index of the Bowls given; -1 for a mould
	Round int // from 1; 0 for a bowl
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

// MaxSteps bounds a plan (our choice: weeks of evenings).
const MaxSteps = 100000

// sequence is the steps of one round.
func (m *Mould) sequence(h Habits) []Step {
	hand := func(what string) Step {
		b := bench[what]
		return Step{Bowl: -1, What: what, Hands: true, End: (b[0] + b[1]*float64(m.Cavities)) * h.pace(what)}
	}
	fridge := func(what string, min float64) Step { return Step{Bowl: -1, What: what, End: min} }
	if !m.Filled {
		return []Step{hand(WipeArt), hand(FillSolid), fridge(Chill, m.ShellMin), hand(Release)}
	}
	list := []Step{hand(WipeArt), hand(FillShells), hand(Tip)}
	if m.Walls == Spatula {
		list = append(list, hand(DrawUp))
	}
	list = append(list, fridge(ChillShells, m.ShellMin))
	if m.Walls == Coat {
		list = append(list, hand(Again), hand(Tip), fridge(ChillAgain, m.ShellMin))
	}
	return append(list, hand(Fill), hand(Cap), fridge(ChillCaps, m.CapMin), hand(Release))
}

// Plan puts the steps on a timeline: whatever can start first starts first; of two, the
// mould that is further on (it frees the mould), then the first of the list. Hands and
// shelf are never taken twice. A mould that comes out of the fridge late takes no harm.
// A bowl is tempered before it is first used, and warmed or tempered anew before a step
// that finds it out of its band.
func Plan(moulds []Mould, bowls []Bowl, h Habits) (*Evening, error) {
	if h.Hands < 1 || h.ShelfMoulds < 1 {
		return nil, &finding.Error{Key: "kitchen", Found: fmt.Sprintf("%d pairs of hands, room for %d moulds in the fridge", h.Hands, h.ShelfMoulds), Allowed: "at least 1 each",
			Do: "make the shelf larger (kitchen.shelf_width_mm, shelf_depth_mm) or the trays smaller (master.width_mm, depth_mm)"}
	}
	states, total, err := begin(moulds, bowls, h)
	if err != nil {
		return nil, err
	}
	b := &benchWork{bowls: bowls, hands: make([]float64, h.Hands), shelf: make([]float64, h.ShelfMoulds), good: make([]float64, len(bowls)), e: &Evening{Steps: make([]Step, 0, total)}}
	for k := range b.good {
		b.good[k] = -1
	}
	for n := 0; n < total; n++ {
		best, at, slot := -1, math.Inf(1), 0
		for i := range states {
			s := &states[i]
			if s.round > moulds[i].Rounds {
				continue
			}
			pool := b.shelf
			if s.seq[s.next].Hands {
				pool = b.hands
			}
			k := earliest(pool)
			t := math.Max(s.free, pool[k])
			if t < at || t == at && s.next > states[best].next {
				best, at, slot = i, t, k
			}
		}
		s := &states[best]
		step := s.seq[s.next]
		if chocolate[step.What] {
			at = b.warm(moulds[best].Bowls, at, slot)
		}
		step.Mould, step.Round, step.Start, step.End = best, s.round, at, at+step.End
		if step.Hands {
			b.hands[slot] = step.End
		} else {
			b.shelf[slot] = step.End
		}
		s.free = step.End
		if s.next++; s.next == len(s.seq) {
			s.next, s.round = 0, s.round+1
		}
		b.add(step)
	}
	slices.SortStableFunc(b.e.Steps, func(a, b Step) int { return cmp.Compare(a.Start, b.Start) })
	return b.e, nil
}

// state is where a mould stands.
type state struct {
	seq         []Step
	round, next int
	free        float64
}

func begin(moulds []Mould, bowls []Bowl, h Habits) (states []state, total int, err error) {
	states = make([]state, len(moulds))
	for i := range moulds {
		m := &moulds[i]
		for _, v := range [...]float64{m.ShellMin, m.CapMin} {
			if !(v >= 0) || math.IsInf(v, 0) {
				return nil, 0, &finding.Error{Key: "kitchen", Found: fmt.Sprintf("%g min of chilling", v), Allowed: "0 or more"}
			}
		}
		for _, k := range m.Bowls {
			if k < 0 || k >= len(bowls) || !(bowls[k].WorkMin >= 0) || !(bowls[k].ThickMin >= 0) || !(bowls[k].MassG >= 0) {
				return nil, 0, &finding.Error{Key: "kitchen", Found: fmt.Sprintf("bowl %d of %s", k, m.Name), Allowed: "a bowl with a mass and a workable time of 0 or more"}
			}
		}
		states[i] = state{seq: m.sequence(h), round: 1}
		if total += m.Rounds * len(states[i].seq); m.Rounds < 0 || m.Cavities < 0 || total > MaxSteps {
			return nil, 0, &finding.Error{Key: "kitchen", Found: fmt.Sprintf("%d rounds of %s", m.Rounds, m.Name), Allowed: fmt.Sprintf("at most %d steps in all", MaxSteps), Do: "make fewer pieces in one job, or give more cavities and fill the moulds less often"}
		}
	}
	return states, total, nil
}

// benchWork is the bench while a plan is made.
type benchWork struct {
	bowls        []Bowl
	hands, shelf []float64 // when each is free
	good         []float64 // when each bowl was last in its band; -1: not yet tempered
	e            *Evening
}

func (b *benchWork) add(s Step) {
	b.e.Steps = append(b.e.Steps, s)
	b.e.EndMin = math.Max(b.e.EndMin, s.End)
}

// warm brings every bowl that a step takes into its band, by the hands of that step, and
// returns when the step can begin.
func (b *benchWork) warm(bowls []int, at float64, slot int) float64 {
	for _, k := range bowls {
		bowl := &b.bowls[k]
		work := math.Max(bowl.WorkMin, leastWorkMin)
		at = math.Max(at, b.good[k]) // other hands may be at it
		step := Step{Mould: -1, Bowl: k, What: Warm, Hands: true, Start: at, End: at + warmMin}
		idle := at - b.good[k]
		switch full := temperMin + temperMinPerKg*bowl.MassG/1000; {
		case b.good[k] < 0:
			step.What, step.End = Temper, at+full
		case idle > math.Max(work, bowl.ThickMin):
			step.What, step.End = TemperAn, at+full
		case idle <= work:
			continue
		}
		b.add(step)
		at = step.End
		b.good[k] = at
	}
	b.hands[slot] = at
	return at
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
