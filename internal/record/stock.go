package record

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/shopping"
)

// What is at home is not counted by hand: it is what came in, less what the prints, the
// weighed rubber, the batches and the boxes of the record took, and what was moved by
// hand. An entry that is struck out gives back what it took.

// AtHome is stock with what is left of it; what is used up is left out.
type AtHome struct {
	Stock
	Left float64  `json:"left" doc:"in its unit"`
	By   []string `json:"by" doc:"what took of it, the latest last: plate 2, 120 ml"`
	Made bool     `json:"made" doc:"a batch of one's own kitchen, not bought"`
}

// Words for the rubber on shelves, beside its own name: the shopping list's first.
var rubberWords = []string{"mould rubber", "rubber", "silicone"}

// boxWords is what the shopping list calls boxes.
const boxWords = "gift boxes"

// taking is so much of a thing that something took.
type taking struct {
	at     time.Time
	seq    int
	about  string // id of what took it
	stock  string // id of what it was taken from, where that was said
	lot    string
	names  []string // any of which the stock may bear
	amount float64
	unit   string
	by     string
}

// AtHome draws everything that was taken from the stock, in the order of events. Of
// several that a taking may be from, it is the one of the named lot, else what is open
// already, else what must go first. Nothing is drawn from what came in later, since that
// was counted then. What is below a thousandth is used up.
func (e *Entries) AtHome() []AtHome {
	shelf := make([]AtHome, 0, len(e.Stocks))
	for _, s := range e.Stocks {
		shelf = append(shelf, AtHome{Stock: s, Left: s.Amount, By: []string{}})
	}
	for _, b := range e.Batches {
		s := Stock{Head: b.Head, At: b.At, What: b.What, Amount: b.Made, Unit: b.Unit, Lot: b.Lot, KeepsUntil: b.KeepsUntil}
		shelf = append(shelf, AtHome{Stock: s, Left: b.Made, By: []string{}, Made: true})
	}
	list := e.takings()
	told := map[string]bool{} // what a move by hand or by an earlier page has drawn
	for _, m := range e.StockMoves {
		told[m.About] = true
		list = append(list, taking{at: m.At, seq: m.Seq, stock: m.Stock, amount: -m.Amount, by: m.Why})
		for i := range shelf {
			if shelf[i].ID == m.Stock && m.Opened != (unit.Date{}) {
				shelf[i].Opened = m.Opened
			}
		}
	}
	slices.SortStableFunc(list, func(a, b taking) int { return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.seq, b.seq)) })
	for _, t := range list {
		if t.about != "" && told[t.about] {
			continue
		}
		t.draw(shelf)
	}
	return slices.DeleteFunc(shelf, func(h AtHome) bool { return h.Left <= 1e-3 })
}

// draw takes it from the shelf, from the best fitting first.
func (t taking) draw(shelf []AtHome) {
	var from []*AtHome
	for i := range shelf {
		s := &shelf[i]
		switch {
		case t.stock != "":
			if s.ID == t.stock {
				s.take(t, t.amount)
				return
			}
		case s.Unit == t.unit && !s.At.After(t.at) && s.ID != t.about && t.fits(s) > 0:
			from = append(from, s)
		}
	}
	slices.SortStableFunc(from, func(a, b *AtHome) int {
		day := func(d unit.Date) string {
			if d == (unit.Date{}) {
				return "9999" // not opened, or keeps
			}
			return d.String()
		}
		return cmp.Or(cmp.Compare(t.fits(b), t.fits(a)), cmp.Compare(day(a.Opened), day(b.Opened)), cmp.Compare(day(a.KeepsUntil), day(b.KeepsUntil)), a.At.Compare(b.At))
	})
	left := t.amount
	for _, s := range from {
		if use := min(left, s.Left); use > 0 {
			s.take(t, use)
			left -= use
		}
	}
}

// fits is how well stock fits what was taken: 3 its lot, 2 its name, 1 one of its names,
// 0 not at all. What was taken of a named lot comes from no other lot that is named.
func (t taking) fits(s *AtHome) int {
	if t.lot != "" && plain(s.Lot) == plain(t.lot) {
		return 3
	}
	if t.lot != "" && s.Lot != "" {
		return 0
	}
	for i, n := range t.names { // the first is its own name
		if shopping.Means(s.What, n) {
			if i == 0 {
				return 2
			}
			return 1
		}
	}
	return 0
}

// take draws an amount, and tells by what.
func (s *AtHome) take(t taking, amount float64) {
	s.Left -= amount
	if s.Opened == (unit.Date{}) && amount > 0 && !s.Made {
		y, m, d := t.at.Local().Date()
		s.Opened = unit.Date{Year: y, Month: int(m), Day: d}
	}
	if t.by != "" && amount != 0 {
		s.By = append(s.By, fmt.Sprintf("%s, %.4g %s", t.by, amount, s.Unit))
	}
}

// takings is what prints, pours, batches and boxes took.
func (e *Entries) takings() (out []taking) {
	for _, p := range e.Prints {
		if p.ResinML > 0 && p.Resin != "" {
			by := "some parts"
			if p.Plate > 0 {
				by = fmt.Sprintf("plate %d", p.Plate)
			}
			out = append(out, taking{at: p.At, seq: p.Seq, about: p.ID, names: []string{p.Resin}, amount: p.ResinML, unit: "ml", by: by})
		}
	}
	for _, w := range e.lastWeighings() {
		if rubber, lot := e.rubberOf(w); rubber != "" && w.MassG > 0 {
			names := append([]string{rubber}, rubberWords...)
			out = append(out, taking{at: w.At, seq: w.Seq, about: w.ID, lot: lot, names: names, amount: w.MassG, unit: "g", by: fmt.Sprintf("cup %d, %s", w.Cup, w.What)})
		}
	}
	for _, l := range e.BatchLots {
		for _, b := range e.Batches {
			if b.ID == l.Batch && l.MassG > 0 {
				out = append(out, taking{at: b.At, seq: l.Seq, about: b.ID, stock: l.Stock, lot: l.Lot, names: []string{l.What}, amount: l.MassG, unit: "g", by: "batch " + b.Lot})
			}
		}
	}
	for _, b := range e.Boxes {
		out = append(out, taking{at: b.At, seq: b.Seq, about: b.ID, names: []string{boxWords, "gift box", "box", "boxes"}, amount: 1, unit: "piece", by: "box " + b.Lot})
		for _, c := range e.Contents {
			if c.Box == b.ID {
				out = append(out, taking{at: b.At, seq: c.Seq, stock: c.Batch, amount: float64(c.Count), unit: "piece", by: "box " + b.Lot})
			}
		}
	}
	return out
}

// usedUp is what this job has used up: resin by the share of parts that came out, since
// the others must be printed again, rubber, boxes, fillings that were made, and what went
// into pieces. What went into a filling counts as the filling.
func (e *Entries) usedUp() (out []shopping.Stock) {
	good, all := map[string]float64{}, map[string]float64{}
	for _, p := range e.lastParts() {
		all[p.Print]++
		if p.Outcome != "failed" {
			good[p.Print]++
		}
	}
	at := map[[2]string]int{}
	fillings := map[string]bool{} // by id and by name
	list := e.takings()
	for _, b := range e.Batches {
		if b.Unit == "g" {
			fillings[b.ID], fillings[plain(b.What)] = true, true
			list = append(list, taking{names: []string{b.What}, amount: max(0, b.Made-e.lost(b.ID, "g")), unit: "g"})
		}
	}
	for _, t := range list {
		if len(t.names) == 0 || fillings[t.about] || t.about != "" && fillings[plain(t.names[0])] {
			continue
		}
		what := t.names[0]
		switch {
		case t.unit == "ml" && all[t.about] > 0:
			t.amount *= good[t.about] / all[t.about]
		case t.unit == "g" && len(t.names) > 1:
			what = rubberWords[0]
		}
		k := [2]string{what, t.unit}
		if i, seen := at[k]; seen {
			out[i].Amount += t.amount
			continue
		}
		at[k] = len(out)
		out = append(out, shopping.Stock{What: what, Amount: t.amount, Unit: t.unit, Done: true})
	}
	return out
}

// lost is how much of a batch was lost.
func (e *Entries) lost(batch, unit string) (sum float64) {
	for _, l := range e.Losses {
		if l.Batch == batch && l.Unit == unit {
			sum += l.Amount
		}
	}
	return sum
}

// lastWeighings is what stood on the scale of each part of each cup at last: a cup is
// weighed anew once a mould has been taken off, as that ends a pour.
func (e *Entries) lastWeighings() []Weighing {
	type key struct {
		pour, what string
		cup, round int
	}
	at := map[key]int{}
	var out []Weighing
	for _, w := range e.Weighings {
		if w.What != "part A" && w.What != "part B" {
			continue
		}
		k := key{w.Pour, w.What, w.Cup, 0}
		for _, m := range e.Moulds {
			if !m.At.After(w.At) {
				k.round++
			}
		}
		for _, x := range e.TimerEnds { // a cup that was poured is weighed for another pour
			if i := slices.IndexFunc(e.Timers, func(t Timer) bool { return t.ID == x.Timer && t.Name == fmt.Sprintf("cup %d", w.Cup) }); i >= 0 && !x.At.After(w.At) {
				k.round++
			}
		}
		if i, again := at[k]; again {
			out[i] = w
			continue
		}
		at[k] = len(out)
		out = append(out, w)
	}
	return out
}

// rubberOf is the rubber of a weighing, and its lot: of its pour, or as it says itself,
// or of the first pour at or after it, since one weighs before one pours.
func (e *Entries) rubberOf(w Weighing) (rubber, lot string) {
	rubber = w.Silicone
	for _, p := range e.Pours {
		if p.ID == w.Pour {
			return p.Silicone, p.Lot
		}
	}
	for _, p := range e.Pours {
		if !p.At.Before(w.At) && (rubber == "" || rubber == p.Silicone) {
			return p.Silicone, p.Lot
		}
	}
	return rubber, ""
}
