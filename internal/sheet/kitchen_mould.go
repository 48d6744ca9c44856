package sheet

import (
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/kitchen/evening"
)

// load is what one mould takes in one round, likely values.
type load struct {
	designs    []string
	chocolates []string
	fillings   []string
	each       map[string]int     // places by design
	shellG     map[string]float64 // by chocolate
	capG       map[string]float64
	fillG      map[string]float64 // by filling
	shellMin   unit.Range         // of the slowest piece
	capMin     unit.Range
	drainS     float64
	coats      int
	safeC      float64 // of the tenderest shell
	filled     bool
	slowest    int // index into Plan.Kitchen.Pieces; -1: none
}

// loadOf adds up a tray's cavities.
func (b *book) loadOf(tray int) load {
	plan, c := &b.r.Plan, b.r.Choices
	l := load{each: map[string]int{}, shellG: map[string]float64{}, capG: map[string]float64{}, fillG: map[string]float64{}, slowest: -1}
	add := func(list *[]string, s string) {
		if s != "" && !slices.Contains(*list, s) {
			*list = append(*list, s)
		}
	}
	for _, at := range b.r.Master.Trays[tray].Placed {
		if at.Item >= len(plan.Pieces) {
			continue
		}
		q := &plan.Pieces[at.Item]
		name := q.Name
		if d := b.r.Items[at.Item].Design; d < len(c.Pieces) {
			name = c.Pieces[d].Name
		}
		add(&l.designs, name)
		add(&l.chocolates, q.Chocolate)
		add(&l.fillings, q.Filling)
		l.each[name]++
		dense := c.Chocolate[q.Chocolate].DensityGML.Likely / 1000
		l.shellG[q.Chocolate] += q.ShellVolumeMM3 * dense
		l.capG[q.Chocolate] += q.CapVolumeMM3 * dense
		l.fillG[q.Filling] += q.FillingVolumeMM3 * c.Filling[q.Filling].DensityGML.Likely / 1000
		i := slices.IndexFunc(plan.Kitchen.Pieces, func(s flow.PlanSetting) bool { return s.Name == name })
		if i < 0 {
			continue
		}
		l.setting(i, &plan.Kitchen.Pieces[i])
	}
	return l
}

// setting takes the slowest of each time.
func (l *load) setting(i int, s *flow.PlanSetting) {
	slower := func(to *unit.Range, r *unit.Range) bool {
		if r == nil || r.Likely <= to.Likely {
			return false
		}
		*to = *r
		return true
	}
	l.coats = max(l.coats, s.Coats)
	if s.DrainS != nil {
		l.drainS = math.Max(l.drainS, s.DrainS.Likely)
	}
	if s.FillingMax > 0 && (l.safeC == 0 || s.FillingMax < l.safeC) {
		l.safeC = s.FillingMax
	}
	if s.CapMin != nil {
		l.filled = true
		slower(&l.shellMin, s.ShellMin)
		if slower(&l.capMin, s.CapMin) {
			l.slowest = i
		}
	} else if slower(&l.capMin, s.SolidMin) {
		l.slowest = i
	}
}

// grams words masses by name: "61 g of dark, 20 g of milk".
func grams(of map[string]float64, names []string) string {
	var parts []string
	for _, n := range names {
		if of[n] > 0 {
			parts = append(parts, unit.Mass(of[n])+" of "+n)
		}
	}
	return list(parts)
}

// mouldPage is one mould's round, step by step in large type.
func (b *book) mouldPage(tray int) {
	c := b.r.Choices
	l := b.loadOf(tray)
	if len(l.designs) == 0 {
		return
	}
	var what []string
	for _, d := range l.designs {
		what = append(what, many(l.each[d], d))
	}
	number := b.r.Master.Trays[tray].Number
	bowl := map[string]float64{}
	for _, n := range l.chocolates {
		bowl[n] = (l.shellG[n] + l.capG[n]) * c.Kitchen.BowlFactor
	}
	steps := []doing{{"Wipe the art first", []string{"Brush or wipe a little chocolate into the art of every cavity, so that no air stays there."}, nil}}
	if l.filled {
		steps = append(steps, b.filledSteps(&l, bowl)...)
	} else {
		steps = append(steps,
			doing{"Fill", []string{fmt.Sprintf("Fill to the brim with %s, tap the air out, scrape the top level.", grams(l.shellG, l.chocolates))}, nil},
			doing{"Chill until they let go", []string{chillWords(l.capMin)}, nil})
	}
	steps = append(steps, doing{"Release", []string{"Turn it over onto a board, roll the rubber back, a corner first. Keep them cool, dry and dark; in a fridge they sweat."}, nil})
	blocks := b.doingBlocks(steps)
	k := &b.r.Plan.Kitchen
	if l.slowest >= 0 {
		s := &k.Pieces[l.slowest]
		if n := len(s.Course); n > 0 && l.slowest < len(b.r.Settings) {
			set := b.r.Settings[l.slowest]
			section := set.Shell.Likely.Section
			if set.Cap != nil {
				section = set.Cap.Likely.Section
			}
			blocks = append(blocks, b.titleBlock(fmt.Sprintf("The slowest of them, %s, in the fridge", s.Name)), b.courseBlock(&s.Course[n-1], l.capMin, section, s.LastMM))
		}
	}
	blocks = append(blocks, b.roundBlocks(number)...)
	b.flowing("kitchen", fmt.Sprintf("Tray %d: %s", number, list(what)), nil, blocks)
}

func chillWords(r unit.Range) string {
	return fmt.Sprintf("In the fridge for %s, likely (%s).", unit.Duration(r.Likely), unit.Spread(r, unit.Duration))
}

// filledSteps are the steps between wiping and releasing.
func (b *book) filledSteps(l *load, bowl map[string]float64) []doing {
	c := b.r.Choices
	walls := doing{}
	if l.coats > 1 {
		walls = doing{"Draw it up the walls", []string{fmt.Sprintf("They keep less than the %g mm you want: draw the chocolate up with a spatula.", c.Shell.ShellMM)}, nil}
		if c.Kitchen.ThinWalls == evening.Coat {
			walls = doing{"Coat once more", []string{fmt.Sprintf("Walls keep less than the %g mm you want. When the first coat is firm fill, tip and scrape again, then chill as long again.", c.Shell.ShellMM)}, nil}
		}
	}
	tip := doing{"Tip, scrape", []string{fmt.Sprintf("Turn it over the bowl, let it hang for %.0f s, tap, scrape the top clean. %s stays: weigh the mould before and after.", math.Max(5, math.Round(l.drainS)), sentence(grams(l.shellG, l.chocolates)))}, []string{"before, g", "after, g"}}
	chill := doing{"Chill the shells", []string{chillWords(l.shellMin)}, nil}
	steps := []doing{{"Fill to the brim", []string{fmt.Sprintf("Fill with chocolate and tap the air out. Have at least %s in the bowl.", grams(bowl, l.chocolates))}, nil}, tip}
	switch {
	case walls.title == "":
		steps = append(steps, chill)
	case c.Kitchen.ThinWalls == evening.Coat:
		steps = append(steps, chill, walls)
	default:
		steps = append(steps, walls, chill)
	}
	return append(steps,
		doing{"Fill", []string{fmt.Sprintf("%s, at %s or less, to %g mm below the brim.", sentence(grams(l.fillG, l.fillings)), celsius(math.Min(l.safeC, practiceC)), c.Shell.CapMM)}, nil},
		doing{"Cap, scrape", []string{fmt.Sprintf("Pour %s over it, tap, scrape level.", grams(l.capG, l.chocolates))}, nil},
		doing{"Chill until they let go", []string{chillWords(l.capMin) + " Through the rubber they look frosted when they have shrunk from it."}, nil})
}

// roundBlocks are the times of each round of a tray, with room for the real ones.
func (b *book) roundBlocks(number int) []block {
	k := &b.r.Plan.Kitchen
	name := fmt.Sprintf("tray %d", number)
	type times struct{ begin, shells, fill, caps, out float64 }
	of := map[string]*times{}
	var order []string
	for _, s := range k.Evening {
		if s.Mould != name && !isCopy(s.Mould, name) {
			continue
		}
		key := fmt.Sprintf("%s, round %d", s.Mould, s.Round)
		t := of[key]
		if t == nil {
			t = &times{}
			of[key], order = t, append(order, key)
		}
		switch s.What {
		case evening.WipeArt:
			t.begin = s.StartMin
		case evening.ChillShells:
			t.shells = s.StartMin
		case evening.Fill:
			t.fill = s.StartMin
		case evening.ChillCaps, evening.Chill:
			t.caps = s.StartMin
		case evening.Release:
			t.out = s.StartMin
		}
	}
	if len(order) == 0 {
		return nil
	}
	cell := func(v float64) string {
		if v == 0 {
			return "-"
		}
		return clock(v)
	}
	var rows [][]string
	for _, key := range order[:min(len(order), maxRounds)] {
		t := of[key]
		rows = append(rows, []string{key, clock(t.begin), cell(t.shells), cell(t.fill), cell(t.caps), cell(t.out), "", "", ""})
	}
	blocks := []block{b.titleBlock("When, from the start of the evening, and what really happened")}
	return append(blocks, b.tableBlocks([]column{
		{"round", 36, atLeft, (*faces).textStyle, false},
		{"begin", 15, atRight, (*faces).textStyle, false},
		{"shells chill", 17, atRight, (*faces).textStyle, false},
		{"fill", 15, atRight, (*faces).textStyle, false},
		{"caps chill", 17, atRight, (*faces).textStyle, false},
		{"release", 15, atRight, (*faces).textStyle, false},
		{"shells in, out", 25, atLeft, (*faces).textStyle, true},
		{"caps in, out", 25, atLeft, (*faces).textStyle, true},
		{"good, faults", 25, atLeft, (*faces).textStyle, true},
	}, rows)...)
}

// maxRounds bounds the printed rounds of one tray.
const maxRounds = 200

// isCopy tells whether a mould is a copy of a tray: "tray 1, copy 2".
func isCopy(mould, tray string) bool {
	return len(mould) > len(tray)+1 && mould[:len(tray)+1] == tray+","
}
