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
}

// Evening is the plan at the bench, and what a further copy of each mould would save.
type Evening struct {
	Moulds   []evening.Mould
	Plan     *evening.Evening
	Rounds   int // the most of any mould
	SavesMin float64
}

// Rounds is how often cavities are filled for so many good pieces, when a share is lost:
// rounded to whole pieces, so that a single name is not made twice on a chance.
func Rounds(count, cavities int, c Choices) int {
	if count == 0 {
		return 0
	}
	return int(math.Ceil(math.Round(float64(count)/(1-c.PieceLossShare)) / float64(max(1, cavities))))
}

// Work plans the evening with the copies there are, and with one more of each.
func Work(trays []Tray, c Choices) (*Evening, []finding.Finding, error) {
	if len(trays) == 0 {
		return &Evening{Plan: &evening.Evening{}}, nil, nil
	}
	h := evening.Habits{Hands: c.Hands, ShelfMoulds: c.shelfMoulds(trays)}
	var all []evening.Mould
	for _, t := range trays {
		all = append(all, evening.Mould{Name: t.Name, Cavities: t.Cavities, Filled: t.Filled, Rounds: t.Rounds, ShellMin: t.ShellMin, CapMin: t.CapMin})
	}
	if h.ShelfMoulds == 0 {
		return nil, []finding.Finding{{Severity: finding.Care, Where: "kitchen.shelf_width_mm", What: "no mould fits on the fridge's shelf",
			Do: "free a larger shelf, or make the trays smaller (master.width_mm, master.depth_mm)"}}, nil
	}
	e := &Evening{Moulds: evening.Share(all, c.Copies)}
	var err error
	if e.Plan, err = evening.Plan(e.Moulds, h); err != nil {
		return nil, nil, err
	}
	for _, m := range e.Moulds {
		e.Rounds = max(e.Rounds, m.Rounds)
	}
	more, err := evening.Plan(evening.Share(all, c.Copies+1), h)
	if err != nil {
		return nil, nil, err
	}
	e.SavesMin = math.Max(0, e.Plan.EndMin-more.EndMin)
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
