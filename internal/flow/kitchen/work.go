package kitchen

import (
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow/kitchen/evening"
)

// Tray is a mould as the bench sees it.
type Tray struct {
	Name             string
	WidthMM, DepthMM float64
	Cavities         int
	Filled           bool
	Rounds           int     // of one mould of it
	ShellMin, CapMin float64 // likely
	Coats            int     // the most of any of its pieces
	Bowls            []int   // the chocolates that it takes
	RubberG          float64 // that one more mould of it takes, likely
}

// Evening is the plan at the bench, and what a further copy of each mould would bring.
type Evening struct {
	Moulds []evening.Mould
	Bowls  []evening.Bowl
	Plan   *evening.Evening
	Rounds int // the most of any mould
	Second Second
}

// Rounds is how often cavities are filled for so many good pieces, when a share is lost:
// rounded to whole pieces, so that a single name is not made twice on a chance.
func Rounds(count, cavities int, c Choices) int {
	if count == 0 {
		return 0
	}
	return int(math.Ceil(math.Round(float64(count)/(1-c.PieceLossShare)) / float64(max(1, cavities))))
}

// Work plans the evening with the copies there are, and with one more of each. pace
// gives the factor of each group of steps from what it takes for one piece, in minutes;
// nil: all as reckoned.
func Work(trays []Tray, bowls []Bowl, rubber Rubber, c Choices, pace func(perPiece map[string]float64) map[string]float64) (*Evening, []finding.Finding, error) {
	if len(trays) == 0 {
		return &Evening{Plan: &evening.Evening{}}, nil, nil
	}
	h := evening.Habits{Hands: c.Hands, ShelfMoulds: c.shelfMoulds(trays)}
	e := &Evening{}
	for _, b := range bowls {
		e.Bowls = append(e.Bowls, evening.Bowl{Name: b.Name, MassG: b.BuyG.Likely, WorkMin: b.WorkMin.Likely, ThickMin: b.ThickMin.Likely})
	}
	var all []evening.Mould
	for _, t := range trays {
		m := evening.Mould{Name: t.Name, Cavities: t.Cavities, Filled: t.Filled, Rounds: t.Rounds, ShellMin: t.ShellMin, CapMin: t.CapMin, Bowls: t.Bowls}
		if t.Coats > 1 {
			m.Walls = c.ThinWalls
		}
		all = append(all, m)
	}
	if h.ShelfMoulds == 0 {
		return nil, []finding.Finding{{Severity: finding.Care, Where: "kitchen.shelf_width_mm", What: "no mould fits on the fridge's shelf",
			Do: "free a larger shelf, or make the trays smaller (master.width_mm, master.depth_mm)"}}, nil
	}
	e.Moulds = evening.Share(all, c.Copies)
	if pace != nil {
		h.Pace = pace(evening.PerPiece(e.Moulds))
	}
	var err error
	if e.Plan, err = evening.Plan(e.Moulds, e.Bowls, h); err != nil {
		return nil, nil, err
	}
	for _, m := range e.Moulds {
		e.Rounds = max(e.Rounds, m.Rounds)
	}
	more, err := evening.Plan(evening.Share(all, c.Copies+1), e.Bowls, h)
	if err != nil {
		return nil, nil, err
	}
	e.Second = second(trays, math.Max(0, e.Plan.EndMin-more.EndMin), rubber)
	return e, nil, nil
}

// shelfMoulds is how many of the largest mould stand on the shelves, in rows, turned or
// not.
func (c *Choices) shelfMoulds(trays []Tray) int {
	w, d := 0.0, 0.0
	for _, t := range trays {
		w, d = math.Max(w, t.WidthMM), math.Max(d, t.DepthMM)
	}
	fit := func(a, b float64) int { return int(c.ShelfWidthMM/a) * int(c.ShelfDepthMM/b) }
	return c.Shelves * max(fit(w, d), fit(d, w))
}
