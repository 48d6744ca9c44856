package flow

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/box"
	"mouldwright/internal/flow/calendar"
	"mouldwright/internal/flow/kitchen"
	"mouldwright/internal/flow/kitchen/recipe"
	"mouldwright/internal/flow/piece"
)

// boxing is what was dealt before the pieces are made, since their counts follow from
// it; nil for a job without boxes.
type boxing struct {
	guests  []box.Guest
	kinds   []box.Kind
	at      map[[2]int]int // kind by design and row
	cells   []box.Cell
	dealt   *box.Dealt
	made    unit.Date
	relabel func(i int) PlanBox // box i again, after made has changed
	found   []finding.Finding   // said at the stage box
}

// deal works out who gets what, and sets the counts that the job leaves open.
func (b *build) deal(ctx context.Context) error {
	if b.c.Box.Rows == 0 {
		return nil
	}
	x := &boxing{at: map[[2]int]int{}}
	if err := x.list(b.in, b.c); err != nil {
		return err
	}
	cells, list, err := box.Cells(ctx, b.c.Box, b.in.Files[b.c.Box.File])
	if err != nil {
		return err
	}
	x.cells, x.found = cells, append(x.found, list...)
	if err := b.kinds(x); err != nil {
		return err
	}
	x.found = append(x.found, box.Spelling(x.guests, x.kinds)...)
	d, list, err := box.Deal(ctx, x.guests, x.kinds, len(x.cells))
	if err != nil {
		return err
	}
	x.found = append(x.found, list...)
	x.dealt = d
	b.boxing = x
	b.counted()
	return nil
}

// list makes guests of the name list; without one, the boxes are anybody's.
func (x *boxing) list(in *Input, c *Choices) error {
	if len(in.Rows) == 0 {
		x.guests = []box.Guest{{Person: "box", Row: -1, Boxes: c.Boxes}}
		return nil
	}
	boxes, seen := 0, map[string]string{}
	for k, row := range in.Rows {
		g, err := box.NewGuest(row.Label, k, row.Vars)
		if err != nil {
			return err
		}
		x.guests = append(x.guests, g)
		boxes += g.Boxes
		key := strings.ToLower(strings.Join(strings.Fields(row.Label), ""))
		if first, twice := seen[key]; twice {
			x.found = append(x.found, finding.Finding{Severity: finding.Care, Where: "names", What: fmt.Sprintf("%q and %q may be the same guest", first, row.Label), Do: "take one out, or tell them apart"})
		}
		seen[key] = row.Label
	}
	if !isDefault(in.Assumed, "boxes") && c.Boxes != boxes {
		x.found = append(x.found, finding.Finding{Severity: finding.Note, Where: "boxes", What: fmt.Sprintf("%d, but the guests on the list have %d; the list counts", c.Boxes, boxes),
			Do: fmt.Sprintf("set boxes = %d, or take it out", boxes), Remedy: finding.Remedy{Key: "boxes", Value: fmt.Sprint(max(1, boxes))}})
	}
	return nil
}

// isDefault tells whether a key was left out.
func isDefault(list []Assumed, key string) bool {
	return slices.ContainsFunc(list, func(a Assumed) bool { return a.Key == key && a.Source == "default" })
}

// kinds lists what can lie in a box.
func (b *build) kinds(x *boxing) error {
	own, err := b.ownIngredients()
	if err != nil {
		return err
	}
	shells, insides := map[string]*box.Stuff{}, map[string]*box.Stuff{}
	for _, n := range slices.Sorted(maps.Keys(b.c.Chocolate)) {
		shells[n] = box.NewChocolate(n, b.c.Chocolate[n])
	}
	for _, n := range slices.Sorted(maps.Keys(b.c.Filling)) {
		f := b.c.Filling[n]
		r, err := kitchen.Content(n, f, own)
		if err != nil {
			return err
		}
		insides[n] = box.NewFilling(n, f, r, own)
	}
	for i := range b.c.Pieces {
		p := &b.c.Pieces[i]
		k := box.Kind{Name: p.Name, Design: i, Owner: -1, Count: p.Count, Shell: shells[p.Chocolate], Inside: insides[p.Filling]}
		if isDefault(b.in.Assumed, fmt.Sprintf("piece[%d].count", i+1)) {
			k.Count = -1
		}
		if !p.Names {
			x.at[[2]int{i, -1}] = len(x.kinds)
			x.kinds = append(x.kinds, k)
			continue
		}
		for row := range b.in.Rows {
			k.Name, k.Owner = p.Name+": "+b.in.Rows[row].Label, row
			x.at[[2]int{i, row}] = len(x.kinds)
			x.kinds = append(x.kinds, k)
		}
	}
	return nil
}

func (b *build) ownIngredients() (map[string]*recipe.Ingredient, error) {
	own := map[string]*recipe.Ingredient{}
	for _, name := range slices.Sorted(maps.Keys(b.c.Ingredient)) {
		in, err := b.c.Ingredient[name].Ingredient(name)
		if err != nil {
			return nil, err
		}
		own[name] = in
	}
	return own, nil
}

// counted puts the counts from the boxes where the job leaves them open, and lists them
// among what was assumed.
func (b *build) counted() {
	x, c := b.boxing, *b.c
	c.Pieces, c.Boxes = slices.Clone(c.Pieces), len(x.dealt.Boxes)
	total := map[int]int{}
	for k := range x.kinds {
		total[x.kinds[k].Design] += x.dealt.Counts[k]
	}
	for i := range c.Pieces {
		key := fmt.Sprintf("piece[%d].count", i+1)
		at := slices.IndexFunc(b.r.Plan.Assumed, func(a Assumed) bool { return a.Key == key && a.Source == "default" })
		if !isDefault(b.in.Assumed, key) {
			continue
		}
		if !c.Pieces[i].Names {
			c.Pieces[i].Count = total[i]
		}
		if at >= 0 {
			b.r.Plan.Assumed[at] = Assumed{Key: key, Value: fmt.Sprint(total[i]), Source: "what the boxes hold"}
		}
	}
	b.c = &c
	b.r.Choices = b.c
}

// count is how many of a piece are made; row is -1 without names.
func (b *build) count(design, row int) int {
	c := &b.c.Pieces[design]
	if x := b.boxing; x != nil && c.Names {
		if k := x.at[[2]int{design, row}]; x.kinds[k].Count < 0 || x.guests[row].NoOwn {
			return x.dealt.Counts[k]
		}
	}
	return c.Count
}

// rowsOf is the rows for which a design is made, -1 for a piece without names; a piece
// that no box holds and of which no count was asked is not made.
func (b *build) rowsOf(design int) []int {
	if !b.c.Pieces[design].Names {
		if b.count(design, -1) == 0 {
			return nil
		}
		return []int{-1}
	}
	var rows []int
	for k := range b.in.Rows {
		if b.count(design, k) > 0 {
			rows = append(rows, k)
		}
	}
	return rows
}

// firstRow is the first of rowsOf.
func (b *build) firstRow(design int) int {
	for k := range b.in.Rows {
		if b.c.Pieces[design].Names && b.count(design, k) > 0 {
			return k
		}
	}
	return -1
}

// counting is a design's choices with the count of one piece.
func (b *build) counting(design, row int) piece.Choices {
	c := b.c.Pieces[design]
	c.Count = b.count(design, row)
	return c
}

// box puts the pieces into their places and writes the labels.
func (b *build) box(ctx context.Context) error {
	x := b.boxing
	if x == nil {
		return nil
	}
	b.opt.Progress("box", 0, 1)
	b.found(x.found)
	if finding.Worst(x.found) == finding.Stop {
		return nil
	}
	made := map[[2]int]*made{}
	for i := range b.made {
		made[[2]int{b.made[i].design, b.made[i].row}] = &b.made[i]
	}
	x.made = b.c.Label.Made
	if x.made == (unit.Date{}) {
		x.made = box.AddDays(b.c.Needed, -1)
		b.r.Plan.Assumed = append(b.r.Plan.Assumed, Assumed{"label.made", x.made.String(), "the day before needed"})
	}
	pl := &b.r.Plan.Box
	sheet, err := b.c.Label.Layout()
	if err != nil {
		return err
	}
	pl.BestBeforeWords = box.WordingOf(b.c.Label.Rules).BestBefore
	pl.Sheet, pl.Rules, pl.Food, pl.Maker = sheet, b.c.Label.Rules, b.c.Label.Food, b.c.Label.Maker
	e := box.Extent(x.cells)
	pl.WidthMM, pl.DepthMM, pl.HeightMM = e.W(), e.H(), b.c.Box.HeightMM
	for i := range x.cells {
		pl.Cells = append(pl.Cells, planCellAt(&x.cells[i], b.c.Box.File != ""))
	}
	pl.Boxes = len(x.dealt.Boxes)
	pl.Empty, pl.Disliked, pl.EqualPairs = int(x.dealt.Cost[0]), int(x.dealt.Cost[1]), int(x.dealt.Cost[2])
	for i, g := range x.dealt.Gap() {
		pl.Gap[i] = int(g)
	}
	p := b.placer(x, made)
	b.found(p.found)
	if finding.Worst(p.found) == finding.Stop {
		return nil
	}
	about := b.about(x)
	pl.Kitchen = about
	misfit := 0
	var placed [][]int
	x.relabel = func(i int) PlanBox { return b.planBox(x, &x.dealt.Boxes[i], placed[i], p, made, about) }
	for i := range x.dealt.Boxes {
		if err := ctx.Err(); err != nil {
			return err
		}
		d := &x.dealt.Boxes[i]
		own := 0
		for own < len(d.Kinds) && x.kinds[d.Kinds[own]].Owner >= 0 {
			own++
		}
		cells, beside, ok := p.Place(d.Kinds, own)
		if !ok {
			misfit++
		}
		pl.Beside += beside
		placed = append(placed, cells)
		b.r.Plan.Boxes = append(b.r.Plan.Boxes, b.planBox(x, d, cells, p, made, about))
	}
	if misfit > 0 {
		b.found([]finding.Finding{b.crowded(x, p, misfit)})
	}
	b.spare(x, made)
	b.found(b.boxRemarks(x))
	b.opt.Progress("box", 1, 1)
	return nil
}

func planCellAt(c *box.Cell, drawn bool) PlanCellAt {
	m := c.Box.Center()
	out := PlanCellAt{XMM: m.X, YMM: m.Y, WidthMM: c.Box.W(), DepthMM: c.Box.H()}
	if drawn {
		for _, q := range geom.Simplify(c.Outline, 0.05)[0] {
			out.RingMM = append(out.RingMM, q.X, q.Y)
		}
	}
	return out
}

// about are the allergens of everything that is made in this kitchen.
func (b *build) about(x *boxing) []string {
	seen := map[string]bool{}
	for k := range x.kinds {
		if b.count(x.kinds[k].Design, x.kinds[k].Owner) == 0 {
			continue
		}
		for _, g := range x.kinds[k].Groups() {
			seen[g] = true
		}
	}
	for _, w := range b.c.Label.Beside {
		for _, g := range box.GroupsIn(w) {
			seen[g] = true
		}
	}
	out := []string{}
	for _, g := range box.Groups() {
		if seen[g] {
			out = append(out, g)
		}
	}
	return out
}

func (b *build) planBox(x *boxing, d *box.Dealing, cells []int, p *placer, all map[[2]int]*made, about []string) PlanBox {
	g := &x.guests[d.Guest]
	out := PlanBox{Person: g.Person, Name: d.Name, Needs: append([]string{}, g.Needs()...), Cells: []PlanCell{}}
	var holds []box.Holds
	for _, k := range d.Kinds {
		if n := len(holds); n > 0 && holds[n-1].Kind == &x.kinds[k] {
			holds[n-1].Pieces++
			continue
		}
		m := all[[2]int{x.kinds[k].Design, x.kinds[k].Owner}]
		if m == nil {
			continue
		}
		it := &m.kitchen
		h := box.Holds{Kind: &x.kinds[k], Pieces: 1, ShellG: it.ChocolateGML.Scale((it.ShellMM3 + it.CapMM3) / 1000)}
		if it.Filling != "" {
			h.InsideG = it.FillingGML.Scale(it.FillingMM3 / 1000)
		}
		holds = append(holds, h)
	}
	for c, k := range cells {
		cell := PlanCell{}
		if k >= 0 {
			kind := &x.kinds[k]
			cell = PlanCell{Piece: kind.Name, Design: kind.Design + 1, Row: kind.Owner + 1, TurnDeg: p.fits[[2]int{k, c}].TurnDeg}
		}
		out.Cells = append(out.Cells, cell)
	}
	t := box.Describe(holds, b.c.Label, x.made, about)
	out.Allergens, out.MayContain, out.Ingredients = t.Groups, t.MayContain, t.Ingredients
	out.Contains, out.Missing = append([]string{}, t.Contains...), append([]string{}, t.Missing...)
	out.Vegan, out.AlcoholFree = t.Vegan, !t.Alcohol
	out.NetG, out.MassG, out.Made, out.Shortest, out.Storage, out.Lot = t.NetG, t.MassG, t.Made, t.Shortest, t.Storage, t.Lot
	w := box.WordingOf(b.c.Label.Rules)
	out.NetWords, out.MayContainWords = w.Net(t.NetG), w.Called(t.MayContain)
	if t.BestBefore != (unit.Date{}) {
		out.BestBefore = &t.BestBefore
	}
	if out.Ingredients == nil {
		out.Ingredients, out.Allergens, out.MayContain = []box.Run{}, []string{}, []string{}
	}
	out.Facts = box.Facts(d.Name, b.c.Label, holds, &t)
	return out
}

// boxDates dates the labels by the calendar, where the job does not say on which day it is
// made: by the day on which the first filling is.
func (b *build) boxDates(cal *calendar.Calendar) {
	x := b.boxing
	if x == nil || x.relabel == nil || cal == nil || b.c.Label.Made != (unit.Date{}) {
		return
	}
	first := time.Time{}
	for i := range cal.Tasks {
		t := &cal.Tasks[i]
		name, is := strings.CutPrefix(t.Name, "make ")
		if _, known := b.c.Filling[name]; is && known && (first.IsZero() || t.From.Before(first)) {
			first = t.From
		}
	}
	if first.IsZero() {
		return
	}
	y, m, d := first.Date()
	x.made = unit.Date{Year: y, Month: int(m), Day: d}
	for i := range b.r.Plan.Boxes {
		b.r.Plan.Boxes[i] = x.relabel(i)
	}
	at := slices.IndexFunc(b.r.Plan.Assumed, func(a Assumed) bool { return a.Key == "label.made" })
	b.r.Plan.Assumed[at] = Assumed{"label.made", x.made.String(), "the calendar: the first filling is made"}
}

// spare lists what is made beyond the boxes.
func (b *build) spare(x *boxing, all map[[2]int]*made) {
	for k := range x.kinds {
		m := all[[2]int{x.kinds[k].Design, x.kinds[k].Owner}]
		if m == nil {
			continue
		}
		if n := m.plan.Count - x.dealt.Counts[k]; n > 0 {
			b.r.Plan.Box.Spare = append(b.r.Plan.Box.Spare, PlanSpare{x.kinds[k].Name, n})
		}
	}
}

// boxRemarks are what there is to say about allergens in the kitchen, about dates, and
// about labels that cannot be complete.
func (b *build) boxRemarks(x *boxing) []finding.Finding {
	var list []finding.Finding
	pl := &b.r.Plan
	touched := map[string]bool{}
	for i := range x.guests {
		for k := range x.guests[i].Allergies {
			for _, g := range x.guests[i].Allergies[k].Groups {
				if slices.Contains(pl.Box.Kitchen, g) {
					touched[x.guests[i].Person] = true
				}
			}
		}
	}
	if n := len(touched); n > 0 {
		list = append(list, finding.Finding{Severity: finding.Care, Where: "names", What: fmt.Sprintf("%s an allergen that is used in the same kitchen; their pieces hold none, but may hold traces", unit.Count(n, "guest named", "guests named")),
			Do: "ask them whether traces matter; make their pieces first, with clean tools and bowls; who reacts to traces gets none"})
	}
	missing := map[string]bool{}
	early := map[string]unit.Date{}
	for i := range pl.Boxes {
		p := &pl.Boxes[i]
		for _, m := range p.Missing {
			missing[m] = true
		}
		if p.BestBefore != nil && box.DaysBetween(*p.BestBefore, b.c.Needed) > 0 {
			early[p.Shortest] = *p.BestBefore
		}
	}
	for _, m := range slices.Sorted(maps.Keys(missing)) {
		list = append(list, finding.Finding{Severity: finding.Care, Where: "filling." + m, What: "has no recipe, so labels of boxes with it have neither a whole list of ingredients nor a date", Do: "name one of the program's recipes, or enter ingredients_g"})
	}
	for _, s := range slices.Sorted(maps.Keys(early)) {
		days := box.DaysBetween(x.made, early[s])
		day := box.AddDays(b.c.Needed, -days)
		list = append(list, finding.Finding{Severity: finding.Stop, Where: "label.made", What: fmt.Sprintf("%s keeps %s: made on %s it is good until %s, but needed on %s", s, unit.Count(days, "day", "days"), x.made, early[s], b.c.Needed),
			Do: fmt.Sprintf("make it on %s or later, or take a filling that keeps longer", day), Remedy: finding.Remedy{Key: "label.made", Value: day.String()}})
	}
	if box.DaysBetween(x.made, b.c.Needed) < 0 {
		list = append(list, finding.Finding{Severity: finding.Stop, Where: "label.made", What: fmt.Sprintf("%s is after %s, the day needed", x.made, b.c.Needed), Do: "make them earlier, or move the day"})
	}
	for k := range x.kinds {
		if kind := &x.kinds[k]; kind.Owner < 0 && kind.Count < 0 && x.dealt.Counts[k] == 0 && len(x.guests) > 0 {
			list = append(list, finding.Finding{Severity: finding.Note, Where: fmt.Sprintf("piece[%d]", kind.Design+1), What: fmt.Sprintf("%q lies in no box, so none is made", kind.Name), Do: "take it out, give it a count, or take a box with more cells"})
		}
	}
	for _, n := range slices.Sorted(maps.Keys(b.c.Chocolate)) {
		for _, a := range b.in.Assumed {
			if a.Key == "chocolate."+n+".ingredients" {
				list = append(list, finding.Finding{Severity: finding.Care, Where: a.Key, What: "are not entered: those of a plain " + b.c.Chocolate[n].Kind + " chocolate are taken, and many hold soya lecithin too", Do: "copy the list of ingredients from your package"})
			}
		}
	}
	return list
}
