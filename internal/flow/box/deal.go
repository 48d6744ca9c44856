package box

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/solve"
	"mouldwright/internal/base/unit"
)

// Dealing is what lies in one box.
type Dealing struct {
	Guest  int
	Number int // of the guest's boxes, from 1
	Name   string
	Kinds  []int // the guest's own pieces first
	Empty  int   // cells left empty
}

// Dealt is who gets what.
type Dealt struct {
	Boxes  []Dealing
	Counts []int // by kind

	// What was made small, the first before the second and so on: cells left empty;
	// pieces that somebody would rather not have; pairs of equal pieces in one box; pairs
	// of equal pieces in all boxes together, which is smallest when all designs are
	// wanted alike. Bound is what no way of dealing can go below, by the dual of the
	// linear programme.
	Cost, Bound solve.Cost
}

// Gap is how far what was found lies above what is proved to be the least; {} is none.
func (d *Dealt) Gap() solve.Cost { return d.Cost.Plus(-1, d.Bound) }

const (
	rankEmpty = iota
	rankDisliked
	rankEqual
	rankEven
)

// class is boxes for which the same pieces are allowed and disliked, and which have the
// same number of free cells. Within a class the pieces are dealt in turns, which makes
// every box of it as varied as the class: so the classes can stand for their boxes.
type class struct {
	boxes   []int // of Dealt.Boxes
	guest   int   // one of them
	free    int
	allowed []bool // by shared kind
	dislike []bool
}

// Deal deals kinds to guests, so many cells to a box.
func Deal(ctx context.Context, guests []Guest, kinds []Kind, cells int) (*Dealt, []finding.Finding, error) {
	d := &Dealt{Counts: make([]int, len(kinds))}
	boxes := 0
	for i := range guests {
		boxes += guests[i].Boxes
	}
	switch {
	case len(guests) > MaxGuests:
		return nil, nil, &finding.Error{Key: "names", Found: fmt.Sprintf("%d guests", len(guests)), Allowed: fmt.Sprintf("at most %d", MaxGuests), Do: "split the list into several jobs"}
	case cells < 1 || cells > MaxCells:
		return nil, nil, &finding.Error{Key: "box", Found: fmt.Sprintf("%d cells", cells), Allowed: fmt.Sprintf("1 to %d", MaxCells), Do: "change box.rows and box.columns"}
	case boxes*cells > maxPieces:
		return nil, nil, &finding.Error{Key: "box", Found: fmt.Sprintf("%d boxes of %d cells", boxes, cells), Allowed: fmt.Sprintf("at most %d cells in all", maxPieces), Do: "make fewer or smaller boxes in one job"}
	}
	list := d.own(guests, kinds, cells)
	if finding.Worst(list) == finding.Stop {
		return d, list, nil
	}
	var shared []int // kinds that are anybody's
	for k := range kinds {
		if kinds[k].Owner < 0 {
			shared = append(shared, k)
		}
	}
	classes := d.classes(guests, kinds, shared, cells)
	s, err := share(ctx, classes, kinds, shared)
	if err != nil {
		return nil, nil, err
	}
	d.Cost, d.Bound = s.cost, s.bound
	for c := range classes {
		cl := &classes[c]
		at := 0
		for i, k := range shared {
			for range s.units[c][i] {
				b := &d.Boxes[cl.boxes[at%len(cl.boxes)]]
				b.Kinds = append(b.Kinds, k)
				d.Counts[k]++
				at++
			}
		}
		for ; at < cl.free*len(cl.boxes); at++ {
			d.Boxes[cl.boxes[at%len(cl.boxes)]].Empty++
		}
	}
	more, err := d.explain(ctx, guests, kinds, shared, classes, s)
	return d, append(list, more...), err
}

// own puts everybody's own pieces into their boxes.
func (d *Dealt) own(guests []Guest, kinds []Kind, cells int) []finding.Finding {
	var list []finding.Finding
	mine := map[int][]int{}
	for k := range kinds {
		if o := kinds[k].Owner; o >= 0 && !guests[o].NoOwn {
			mine[o] = append(mine[o], k)
		}
	}
	for i := range guests {
		g := &guests[i]
		if g.Boxes > 0 {
			need := 0
			for _, k := range mine[i] {
				if kinds[k].Count >= 0 {
					need += (kinds[k].Count + g.Boxes - 1) / g.Boxes
				} else {
					need++
				}
			}
			if need > cells {
				list = append(list, finding.Finding{Severity: finding.Stop, Where: "box", What: fmt.Sprintf("%s has %d pieces of their own for a box of %d cells", g.Person, need, cells),
					Do: "take a box with more cells (box.rows, box.columns), or fewer pieces with names"})
				continue
			}
		}
		for n := 1; n <= g.Boxes; n++ {
			b := Dealing{Guest: i, Number: n, Name: boxName(g, n), Kinds: []int{}}
			for _, k := range mine[i] {
				give := 1
				if c := kinds[k].Count; c >= 0 {
					give = c / g.Boxes
					if n <= c%g.Boxes {
						give++
					}
				}
				if bars := kinds[k].bars(g); len(bars) > 0 {
					if n == 1 {
						list = append(list, finding.Finding{Severity: finding.Care, Where: "names", What: fmt.Sprintf("%s cannot have their own piece %q: %s", g.Person, kinds[k].Name, because(bars)),
							Do: "make this design solid, of a chocolate and with a filling that is for everybody; until then the piece is left out"})
					}
					continue
				}
				for range give {
					b.Kinds = append(b.Kinds, k)
					d.Counts[k]++
				}
			}
			d.Boxes = append(d.Boxes, b)
		}
	}
	return list
}

// because words reasons: "milk (cream in filling pear caramel), vegan (honey …)".
func because(bars []bar) string {
	var out []string
	for _, b := range bars {
		out = append(out, fmt.Sprintf("%s (%s)", b.why, b.what))
	}
	return strings.Join(out, ", ")
}

// classes groups the boxes.
func (d *Dealt) classes(guests []Guest, kinds []Kind, shared []int, cells int) []class {
	var out []class
	at := map[string]int{}
	per := make([]*class, len(guests))
	for i := range d.Boxes {
		b := &d.Boxes[i]
		if per[b.Guest] == nil {
			c := &class{guest: b.Guest, allowed: make([]bool, len(shared)), dislike: make([]bool, len(shared))}
			g := &guests[b.Guest]
			for i, k := range shared {
				c.allowed[i] = len(kinds[k].bars(g)) == 0
				c.dislike[i] = kinds[k].disliked(g)
			}
			per[b.Guest] = c
		}
		c := per[b.Guest]
		free := cells - len(b.Kinds)
		key := fmt.Sprint(free, c.allowed, c.dislike)
		n, ok := at[key]
		if !ok {
			n = len(out)
			at[key] = n
			out = append(out, class{guest: c.guest, free: free, allowed: c.allowed, dislike: c.dislike})
		}
		out[n].boxes = append(out[n].boxes, i)
	}
	return out
}

// shares is how many pieces of each kind each class gets.
type shares struct {
	units       [][]int64
	cost, bound solve.Cost
}

// share is the cheapest flow from the kinds to the classes: an exact answer, since all
// costs are convex and all amounts whole.
func share(ctx context.Context, classes []class, kinds []Kind, shared []int) (*shares, error) {
	total := int64(0)
	for c := range classes {
		total += int64(classes[c].free * len(classes[c].boxes))
	}
	const source, sink, empty = 0, 1, 2
	kindAt := func(i int) int { return 3 + i }
	classAt := func(c int) int { return 3 + len(shared) + c }
	n := solve.NewNetwork(3 + len(shared) + len(classes))
	n.Add(solve.Arc{From: source, To: empty, Most: total, Width: max(1, total), Price: solve.Cost{rankEmpty: 1}})
	for i, k := range shared {
		most := total
		if kinds[k].Count >= 0 {
			most = min(most, int64(kinds[k].Count))
		}
		n.Add(solve.Arc{From: source, To: kindAt(i), Most: most, Width: 1, Rise: solve.Cost{rankEven: 1}})
	}
	arcs := make([][]int, len(classes))
	for c := range classes {
		cl := &classes[c]
		all := int64(cl.free * len(cl.boxes))
		n.Add(solve.Arc{From: classAt(c), To: sink, Most: all, Width: max(1, all)})
		n.Add(solve.Arc{From: empty, To: classAt(c), Most: all, Width: max(1, all)})
		arcs[c] = make([]int, len(shared))
		for i := range shared {
			arcs[c][i] = -1
			if !cl.allowed[i] {
				continue
			}
			a := solve.Arc{From: kindAt(i), To: classAt(c), Most: all, Width: int64(len(cl.boxes)), Rise: solve.Cost{rankEqual: 1}}
			if cl.dislike[i] {
				a.Price[rankDisliked] = 1
			}
			arcs[c][i] = n.Add(a)
		}
	}
	if _, err := n.Send(ctx, source, sink, total); err != nil {
		return nil, err
	}
	s := &shares{cost: n.Cost(), bound: n.Bound(source, sink, total)}
	for c := range classes {
		u := make([]int64, len(shared))
		for i, a := range arcs[c] {
			if a >= 0 {
				u[i] = n.On(a)
			}
		}
		s.units = append(s.units, u)
	}
	return s, nil
}

// explain says what could not be done, and the smallest change that would do it.
func (d *Dealt) explain(ctx context.Context, guests []Guest, kinds []Kind, shared []int, classes []class, s *shares) ([]finding.Finding, error) {
	var list []finding.Finding
	short := int64(0) // cells empty although something is allowed there
	for c := range classes {
		cl := &classes[c]
		given, some := int64(0), false
		for i := range shared {
			given += s.units[c][i]
			some = some || cl.allowed[i]
		}
		empty := int64(cl.free*len(cl.boxes)) - given
		switch {
		case empty > 0 && some:
			short += empty
		case empty > 0:
			list = append(list, d.nothingFor(cl, guests, kinds, shared))
		}
		list = append(list, d.disliked(cl, s.units[c], guests, kinds, shared)...)
	}
	if short == 0 {
		return list, nil
	}
	f := finding.Finding{Severity: finding.Care, Where: "piece", What: fmt.Sprintf("%s in the boxes, since the counts allow no more", unit.Count(int(short), "cell stays empty", "cells stay empty")), Do: "raise the counts"}
	best := s.cost[rankEmpty]
	for _, k := range shared {
		if kinds[k].Count < 0 {
			continue
		}
		freed := slices.Clone(kinds)
		freed[k].Count = -1
		t, err := share(ctx, classes, freed, shared)
		if err != nil {
			return nil, err
		}
		if t.cost[rankEmpty] >= best {
			continue
		}
		best = t.cost[rankEmpty]
		// Every piece more of this kind fills one cell more, until none is left to fill.
		want := int64(kinds[k].Count) + s.cost[rankEmpty] - best
		f.Where = fmt.Sprintf("piece[%d].count", kinds[k].Design+1)
		f.Do = fmt.Sprintf("make %d of %q instead of %d", want, kinds[k].Name, kinds[k].Count)
		f.Remedy = finding.Remedy{Key: f.Where, Value: fmt.Sprint(want)}
		if left := best - (s.cost[rankEmpty] - short); left > 0 {
			f.Do += fmt.Sprintf("; that leaves %d, for which another design is needed too", left)
		}
	}
	return append(list, f), nil
}

// nothingFor says that a class of boxes can be given nothing, and which design would be
// for them with the fewest changes.
func (d *Dealt) nothingFor(cl *class, guests []Guest, kinds []Kind, shared []int) finding.Finding {
	g := &guests[cl.guest]
	f := finding.Finding{Severity: finding.Care, Where: "names",
		What: fmt.Sprintf("no piece is for %s (%s): %s", d.persons(cl, guests), strings.Join(g.Needs(), ", "), unit.Count(cl.free*len(cl.boxes), "cell stays empty", "cells stay empty"))}
	fewest := -1
	for _, k := range shared {
		bars := kinds[k].bars(g)
		if fewest < 0 || len(bars) < fewest {
			fewest = len(bars)
			f.Do = fmt.Sprintf("the smallest change: %q without %s; or one more design that is for them", kinds[k].Name, because(bars))
		}
	}
	if fewest < 0 {
		f.Do = "add a design that is for everybody"
	}
	return f
}

// disliked says who gets what they would rather not have.
func (d *Dealt) disliked(cl *class, units []int64, guests []Guest, kinds []Kind, shared []int) []finding.Finding {
	var what []string
	for i, k := range shared {
		if cl.dislike[i] && units[i] > 0 {
			what = append(what, fmt.Sprintf("%d × %s", units[i], kinds[k].Name))
		}
	}
	if len(what) == 0 {
		return nil
	}
	return []finding.Finding{{Severity: finding.Note, Where: "names", What: fmt.Sprintf("%s would rather not have %s, but nothing else is there for the cells", d.persons(cl, guests), strings.Join(what, ", ")),
		Do: "one more design, a higher count of another, or a cell left empty"}}
}

// persons names those whose boxes a class holds, up to four.
func (d *Dealt) persons(cl *class, guests []Guest) string {
	const most = 4
	var out []string
	seen := map[int]bool{}
	for _, b := range cl.boxes {
		g := d.Boxes[b].Guest
		if seen[g] {
			continue
		}
		seen[g] = true
		if len(out) < most {
			out = append(out, guests[g].Person)
		}
	}
	if n := len(seen) - most; n > 0 {
		return strings.Join(out, ", ") + fmt.Sprintf(" and %d more", n)
	}
	return strings.Join(out, ", ")
}
