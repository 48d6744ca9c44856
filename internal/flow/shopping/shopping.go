// Package shopping turns what a job uses up into what to buy and what it costs.
//
//	Needs + Prices + Stock --Make--> List (packs, costs, sums)
//	List --WriteCSV--> shopping.csv --ReadCSV--> the same lines
//
// Prices are the person's own. What has none is listed and left out of the sums, and
// never guessed.
package shopping

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// Groups are where money goes, in the order of the work.
var Groups = []string{"print", "mould", "chocolate", "filling", "box"}

// Need is so much of one thing.
// Amounts are in Unit.
type Need struct {
	What, Group string
	Amount      float64 // to have at hand
	Used        float64 // of it, what is used up; the rest is left over
	Unit        string  // g, ml, piece or pair
	GML         float64 // density, where a pack may be sold by mass though ml are needed, or the other way round; 0: none
	For         []string
	Why         string
	Pack        *Pack    // fixed: a kit that was chosen already
	Settled     *Settled // what is at home was counted before: no stock is looked for
}

// Pack is so many packs of a kind.
type Pack struct {
	Count  int
	Amount float64 // of one, in the need's unit
	Price  float64
}

// Settled is what of a need is at home, and what there is no longer good.
// Amounts are in the unit of its need.
type Settled struct{ Home, Spoilt float64 }

// Line is one line of the list.
// Amounts are in the unit of its need.
type Line struct {
	Need
	Done         float64 // of the need, what was used up for this job already
	Home, Spoilt float64 // at home and good, or no longer good by the day needed
	Buy          float64 // still to buy
	Packs        int
	PackAmount   float64 // 0: no pack is known
	PackAs       string  // as its price has it: "1 kg"
	Price        *float64
	Cost         *float64
	UsedCost     float64
	Shop         string
}

// List is the whole list.
// Sums are in the person's money.
type List struct {
	Lines   []Line
	Total   float64
	Used    float64
	NoPrice []string
	ByGroup []Sum // the most first; groups without cost are left out
}

// Sum is what one group costs.
type Sum struct {
	Group string
	Cost  float64
}

// MaxLines and MaxPrices bound a list (our choice: more than a shop's whole stock for this
// work).
const (
	MaxLines  = 5000
	MaxPrices = 5000
)

// Make fills in what is at home, packs and prices. Lines of one name and unit are one.
func Make(needs []Need, prices []Price, stock []Stock, needed unit.Date) (*List, []finding.Finding, error) {
	if len(needs) > MaxLines || len(prices) > MaxPrices || len(stock) > MaxLines {
		return nil, nil, &finding.Error{Key: "price", Found: fmt.Sprintf("%d things, %d prices, %d at home", len(needs), len(prices), len(stock)), Allowed: fmt.Sprintf("at most %d each", MaxLines), Do: "take out what this job does not need"}
	}
	for i, p := range prices {
		if !(p.Price >= 0 && p.Pack > 0) || math.IsInf(p.Price, 0) || math.IsInf(p.Pack, 0) {
			return nil, nil, &finding.Error{Key: fmt.Sprintf("price[%d]", i+1), Found: fmt.Sprintf("%g for %s", p.Price, unit.Amount(p.Pack, p.Unit)), Allowed: "a price of 0 or more, a pack above 0", Do: "write what one pack costs and holds"}
		}
		if plain(p.What) == "" {
			return nil, nil, &finding.Error{Key: fmt.Sprintf("price[%d].what", i+1), Found: "an empty name", Allowed: "the name of a thing on the shopping list", Do: "write what it is the price of, as the list calls it"}
		}
	}
	var found []finding.Finding
	out := &List{}
	taken := make([]bool, len(prices))
	left := slices.Clone(stock)
	slices.SortStableFunc(left, func(a, b Stock) int { // what is used up first, so that stock covers the rest
		switch {
		case a.Done == b.Done:
			return 0
		case a.Done:
			return -1
		}
		return 1
	})
	for _, n := range merged(needs) {
		l := Line{Need: n}
		if n.Settled != nil {
			l.Home, l.Spoilt = n.Settled.Home, n.Settled.Spoilt
		}
		for i := range left {
			if n.Settled != nil {
				break
			}
			s := &left[i]
			amount, ok := convert(s.Amount, s.Unit, n.Unit, n.GML)
			if s.Amount <= 0 || !names(s.What, n.What) || !ok {
				continue
			}
			if s.Done {
				use := math.Min(amount, math.Max(0, n.Amount-l.Done))
				l.Done += use
				s.Amount -= use * s.Amount / amount
				continue
			}
			if before(s.KeepsUntil, needed) {
				l.Spoilt += amount
				continue
			}
			use := math.Min(amount, math.Max(0, n.Amount-l.Done-l.Home))
			l.Home += use
			s.Amount -= use * s.Amount / amount
		}
		l.Buy = math.Max(0, n.Amount-l.Done-l.Home)
		if f, bad := l.price(prices, taken); bad {
			found = append(found, f)
		}
		if l.Cost == nil {
			if l.Buy > 0 {
				out.NoPrice = append(out.NoPrice, n.What)
			}
		} else {
			out.Total += *l.Cost
			out.Used += l.UsedCost
		}
		out.Lines = append(out.Lines, l)
	}
	slices.SortStableFunc(out.Lines, func(a, b Line) int { return slices.Index(Groups, a.Group) - slices.Index(Groups, b.Group) })
	for _, g := range Groups {
		s := Sum{Group: g}
		for _, l := range out.Lines {
			if l.Group == g && l.Cost != nil {
				s.Cost += *l.Cost
			}
		}
		if s.Cost > 0 {
			out.ByGroup = append(out.ByGroup, s)
		}
	}
	slices.SortStableFunc(out.ByGroup, func(a, b Sum) int { return int(math.Copysign(1, b.Cost-a.Cost)) })
	for i, p := range prices {
		known := func(n Need) bool { return names(p.What, n.What) } // also what is needed no more
		if !taken[i] && !slices.ContainsFunc(needs, known) {
			found = append(found, finding.Finding{Severity: finding.Note, Where: fmt.Sprintf("price[%d].what", i+1), What: fmt.Sprintf("nothing on the shopping list is called %q", p.What), Do: "write the name as the list has it, or take the price out"})
		}
	}
	if n := len(out.NoPrice); n > 0 {
		found = append(found, finding.Finding{Severity: finding.Note, Where: "price", What: fmt.Sprintf("no price is known of %d of %d things to buy: %s; the sums lack them", n, len(out.Lines), some(out.NoPrice)), Do: "enter what you pay as [[price]]"})
	}
	return out, found, nil
}

// some lists names, not all of a long list.
func some(names []string) string {
	if len(names) > 6 {
		return strings.Join(names[:6], ", ") + fmt.Sprintf(" and %d more", len(names)-6)
	}
	return strings.Join(names, ", ")
}

// price finds the packs of a line. A price whose unit does not fit is a finding.
func (l *Line) price(prices []Price, taken []bool) (finding.Finding, bool) {
	pay := func(count int, amount, price float64) {
		cost := float64(count) * price
		l.Packs, l.PackAmount, l.Price, l.Cost = count, amount, &price, &cost
		if l.Need.Amount > 0 && count > 0 {
			l.UsedCost = math.Min(cost, l.Need.Used/amount*price)
		}
	}
	if p := l.Pack; p != nil {
		if (l.Home > 0 || l.Done > 0) && l.Settled == nil { // fewer packs, when enough is at home
			pay(int(math.Ceil(l.Buy/p.Amount-1e-9)), p.Amount, p.Price)
			return finding.Finding{}, false
		}
		pay(p.Count, p.Amount, p.Price)
		return finding.Finding{}, false
	}
	best, exact, at := math.Inf(1), false, -1
	var amountAt float64
	wrong := -1
	for i, p := range prices {
		same := plain(p.What) == plain(l.What)
		if !same && !names(p.What, l.What) || exact && !same {
			continue
		}
		taken[i] = true
		amount, ok := convert(p.Pack, p.Unit, l.Unit, l.GML)
		if !ok {
			wrong = i
			continue
		}
		// Of several packs the one that makes this line cheapest.
		cost := math.Ceil(l.Buy/amount-1e-9) * p.Price
		if same && !exact || cost < best {
			best, exact, at, amountAt = cost, same, i, amount
		}
	}
	if at >= 0 {
		pay(int(math.Ceil(l.Buy/amountAt-1e-9)), amountAt, prices[at].Price)
		l.Shop = prices[at].Shop
		if p := prices[at]; p.Unit != "piece" {
			l.PackAs = unit.Amount(p.Pack, p.Unit)
		}
		return finding.Finding{}, false
	}
	if wrong >= 0 {
		return finding.Finding{Severity: finding.Care, Where: fmt.Sprintf("price[%d].unit", wrong+1), What: fmt.Sprintf("%s is needed in %s, its price is for %s", l.What, l.Unit, prices[wrong].Unit), Do: "give the pack's amount in " + l.Unit}, true
	}
	return finding.Finding{}, false
}

// merged adds up needs of one name and unit, in the order in which they come.
func merged(needs []Need) []Need {
	at := map[string]int{}
	var out []Need
	for _, n := range needs {
		if !(n.Amount > 0) {
			continue
		}
		key := plain(n.What) + "\n" + n.Unit
		k, seen := at[key]
		if !seen || n.Pack != nil {
			at[key] = len(out)
			n.For = slices.Clone(n.For)
			out = append(out, n)
			continue
		}
		m := &out[k]
		m.Amount, m.Used = m.Amount+n.Amount, m.Used+n.Used
		if m.Why != n.Why && n.Why != "" {
			m.Why += "; " + n.Why
		}
		for _, f := range n.For {
			if !slices.Contains(m.For, f) {
				m.For = append(m.For, f)
			}
		}
	}
	return out
}

// plain is a name as it is compared: case, spaces and hyphens do not count.
func plain(s string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(strings.ToLower(s), "-", " ")), " ")
}

// Names tells whether a name says what a thing is.
func Names(name, what string) bool { return names(name, what) }

// Means tells whether one of two names says what the other is; stops between words do
// not count either.
func Means(a, b string) bool {
	stops := strings.NewReplacer(",", " ", ".", " ", ";", " ", ":", " ", "(", " ", ")", " ")
	a, b = stops.Replace(a), stops.Replace(b)
	return plain(a) != "" && plain(b) != "" && (names(a, b) || names(b, a))
}

// names tells whether a name says what a thing is: all its words stand in the other one
// after each other. "box" names "gift box", and no "boxwood".
func names(name, what string) bool {
	return strings.Contains(" "+plain(what)+" ", " "+plain(name)+" ")
}

// convert brings an amount into another unit; ok is false where that cannot be done.
func convert(amount float64, from, to string, gml float64) (float64, bool) {
	switch from {
	case "kg":
		amount, from = amount*1000, "g"
	case "l":
		amount, from = amount*1000, "ml"
	}
	switch {
	case from == to:
		return amount, true
	case from == "g" && to == "ml" && gml > 0:
		return amount / gml, true
	case from == "ml" && to == "g" && gml > 0:
		return amount * gml, true
	}
	return 0, false
}

// before compares days; a zero day is before none.
func before(a, b unit.Date) bool {
	return a != unit.Date{} && a.String() < b.String()
}

// Rate is what one unit of a line costs, and whether it is known.
func (l *List) Rate(what string) (perUnit float64, known bool) {
	for i := range l.Lines {
		if n := &l.Lines[i]; plain(n.What) == plain(what) && n.Price != nil && n.PackAmount > 0 {
			return *n.Price / n.PackAmount, true
		}
	}
	return 0, false
}
