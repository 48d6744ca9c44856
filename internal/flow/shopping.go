package flow

import (
	"context"
	"fmt"
	"mouldwright/internal/flow/shopping"
	"strings"
)

// shopping lists what to buy, and what it costs.
func (b *build) shopping(context.Context) error {
	needs := b.needs()
	_, rest := b.stock()
	l, list, err := shopping.Make(needs, b.c.Prices, rest, b.c.Needed)
	if err != nil {
		return b.refused(err)
	}
	b.found(list)
	b.r.Shopping = l
	out := &b.r.Plan.Shopping
	out.Currency, out.Total, out.Used = b.c.Shopping.Currency, l.Total, l.Used
	out.NoPrice = append(out.NoPrice, l.NoPrice...)
	for _, n := range l.Lines {
		out.Lines = append(out.Lines, PlanPurchase{What: n.What, Group: n.Group, Need: n.Amount, Unit: n.Unit, Done: n.Done, Home: n.Home, Buy: n.Buy, Packs: n.Packs, Pack: n.PackAmount, PackAs: n.PackAs,
			Price: n.Price, Cost: n.Cost, Used: n.UsedCost, For: append([]string{}, n.For...), Why: n.Why, Shop: n.Shop, Spoilt: n.Spoilt})
	}
	for _, g := range l.ByGroup {
		out.Groups = append(out.Groups, PlanGroup(g))
	}
	pieces := 0
	for _, p := range b.r.Plan.Pieces {
		pieces += p.Count
	}
	out.PerBox = l.Total / float64(max(1, b.c.Boxes))
	out.PerPiece = l.Total / float64(max(1, pieces))
	b.losses(l)
	return nil
}

// Names on the shopping list.
const (
	glovesName = "nitrile gloves"
	washName   = "washing liquid for prints"
	cupName    = "mixing cups"
	boxName    = "gift boxes"
	rubberName = "mould rubber"
)

// needs is everything the job uses up, from the plan's own numbers.
func (b *build) needs() []shopping.Need {
	p, c := &b.r.Plan, b.c.Shopping
	var out []shopping.Need
	add := func(n shopping.Need) { out = append(out, n) }
	resin, plates := 0.0, len(p.Plates)
	for _, pl := range p.Plates {
		resin += pl.ResinML
	}
	stages := p.Pour.Stages * b.c.Kitchen.Copies
	if len(p.Pour.Cups) == 0 {
		stages = 0
	}
	if resin > 0 {
		again := 0.0 // the margin: the largest plates once more
		for _, pl := range p.Plates {
			again = max(again, pl.ResinML)
		}
		again *= float64(b.c.Calendar.FailPrints)
		add(shopping.Need{What: b.c.Resin.Called(), Group: "print", Amount: resin + again, Used: resin, Unit: "ml", GML: b.c.Resin.DensityGML.Likely, For: []string{"masters"},
			Why: fmt.Sprintf("%d plates, and the largest once more for each print that may fail", plates)})
		add(shopping.Need{What: washName, Group: "print", Amount: float64(plates * c.WashML), Used: float64(plates * c.WashML), Unit: "ml", GML: 0.79, For: []string{"masters"}, Why: fmt.Sprintf("%d ml for each plate", c.WashML)})
	}
	if n := (plates + stages) * c.GlovePairs; n > 0 {
		add(shopping.Need{What: glovesName, Group: "print", Amount: float64(n), Used: float64(n), Unit: "pair", For: []string{"masters", "moulds"}, Why: fmt.Sprintf("%d pairs for each plate and each pour", c.GlovePairs)})
	}
	if !none(b.c.Pour.Coating) && len(p.Masters) > 0 {
		ml := float64(len(p.Masters) * c.CoatingML)
		add(shopping.Need{What: b.c.Pour.Coating, Group: "mould", Amount: ml, Used: ml, Unit: "ml", For: []string{"masters"}, Why: fmt.Sprintf("%d ml for each tray", c.CoatingML)})
	}
	b.rubber(add)
	if n := (len(p.Pour.Cups)*2*b.c.Kitchen.Copies + 1); len(p.Pour.Cups) > 0 {
		add(shopping.Need{What: cupName, Group: "mould", Amount: float64(n), Used: float64(n), Unit: "piece", For: []string{"moulds"}, Why: "two for each batch, since one mixes again in a second cup; one for the pads"})
	}
	for _, bowl := range p.Kitchen.Chocolate {
		add(shopping.Need{What: chocolateName(bowl.Name), Group: "chocolate", Amount: bowl.BuyG.High, Used: max(0, bowl.BuyG.Likely-bowl.ReturnG.Likely), Unit: "g", For: []string{"shells and caps"},
			Why: "to melt and to seed with, at the dense end; what is tipped out comes back"})
	}
	for _, f := range p.Kitchen.Fillings {
		left := b.unmade(f.Name)
		for _, in := range f.Ingredients {
			add(shopping.Need{What: in.Name, Group: "filling", Amount: in.MassG * left, Used: in.MassG * left, Unit: "g", For: []string{f.Name}})
		}
		if len(f.Ingredients) > 0 {
			continue
		}
		for _, m := range p.Fillings {
			if m.Name == f.Name {
				add(shopping.Need{What: f.Name, Group: "filling", Amount: m.MassG.High, Used: m.MassG.Likely, Unit: "g", For: []string{f.Name}, Why: "its recipe is not known here"})
			}
		}
	}
	if b.c.Boxes > 0 {
		add(shopping.Need{What: boxName, Group: "box", Amount: float64(b.c.Boxes), Used: float64(b.c.Boxes), Unit: "piece"})
	}
	return out
}

// unmade is the share of a filling that is still to make.
func (b *build) unmade(filling string) float64 {
	made := 0.0
	for _, s := range b.in.Past.Stock {
		if s.Done && s.Unit == "g" && strings.EqualFold(s.What, filling) {
			made += s.Amount
		}
	}
	for _, f := range b.r.Plan.Fillings {
		if f.Name == filling && f.MassG.Likely > 0 {
			return max(0, 1-made/f.MassG.Likely)
		}
	}
	return 1
}

// rubber is the kits that were chosen, or the mass where none are known.
func (b *build) rubber(add func(shopping.Need)) {
	r := &b.r.Plan.Pour
	used := b.r.Plan.Silicone.MassG.Likely*float64(b.c.Kitchen.Copies) + r.PadsMassG
	why := fmt.Sprintf("frames at the densest, pads, and %.0f %% more", 100*b.c.Pour.Reserve)
	home := &shopping.Settled{Home: min(r.HomeG, r.BuyG), Spoilt: r.SpoiltG}
	if len(r.Kits) == 0 {
		if r.BuyG > 0 {
			n := shopping.Need{What: rubberName, Group: "mould", Amount: r.BuyG, Used: used, Unit: "g", For: []string{"moulds", "test pads"}, Why: why, Settled: home}
			if len(b.c.Kits) > 0 { // enough is at home
				n.What, n.Pack = b.c.Kits[0].Name, &shopping.Pack{Amount: float64(b.c.Kits[0].MassG), Price: b.c.Kits[0].Price}
			}
			add(n)
		}
		return
	}
	bought := 0.0
	for _, k := range r.Kits {
		bought += float64(k.Count * k.MassG)
	}
	used = max(0, used-r.HomeG)
	for i, k := range r.Kits {
		g := float64(k.Count * k.MassG)
		if i > 0 {
			home = &shopping.Settled{}
		}
		add(shopping.Need{What: k.Name, Group: "mould", Amount: g + home.Home, Used: min(g, used*g/bought), Unit: "g", For: []string{"moulds", "test pads"}, Why: why, Settled: home, Pack: &shopping.Pack{Count: k.Count, Amount: float64(k.MassG), Price: k.Price}})
	}
}

// chocolateName is what a chocolate is called on the list: "dark" is dark chocolate.
func chocolateName(name string) string {
	if strings.Contains(strings.ToLower(name), "chocolate") {
		return name
	}
	return name + " chocolate"
}

// losses is what a failure costs: the resin of a plate with its washing and gloves; the
// rubber of a tray, or of all of them when the whole mix does not cure.
func (b *build) losses(l *shopping.List) {
	p, c := &b.r.Plan, b.c.Shopping
	sum := func(loss *PlanLoss, parts []part) float64 {
		cost := 0.0
		for _, x := range parts {
			rate, known := l.Rate(x.what)
			loss.NoPrice = loss.NoPrice || !known && x.amount > 0
			cost += rate * x.amount
		}
		return cost
	}
	spread := func(loss *PlanLoss, costs []float64, high float64, what string) {
		for i, v := range costs {
			if i == 0 || v < loss.Low {
				loss.Low = v
			}
			loss.Likely += v / float64(len(costs))
			loss.High = max(loss.High, v)
		}
		loss.High = max(loss.High, high)
		loss.What = append(loss.What, what)
	}
	var costs []float64
	largest := 0.0
	for _, pl := range p.Plates {
		largest = max(largest, pl.ResinML)
		costs = append(costs, sum(&p.Shopping.FailedPrint, []part{{b.c.Resin.Called(), pl.ResinML}, {washName, float64(c.WashML)}, {glovesName, float64(c.GlovePairs)}}))
	}
	if len(costs) > 0 {
		spread(&p.Shopping.FailedPrint, costs, 0, fmt.Sprintf("%.0f ml of resin, washing liquid and gloves", largest))
	}
	rubber := rubberName
	if len(p.Pour.Kits) > 0 {
		rubber = p.Pour.Kits[0].Name
	}
	costs = nil
	for _, t := range p.Silicone.Trays {
		costs = append(costs, sum(&p.Shopping.FailedPour, []part{{rubber, t.MassG.Likely}, {cupName, 2}, {glovesName, float64(c.GlovePairs)}}))
	}
	if len(costs) > 0 {
		all := sum(&p.Shopping.FailedPour, []part{{rubber, p.Silicone.MassG.Likely}, {cupName, float64(2 * len(p.Pour.Cups))}, {glovesName, float64(c.GlovePairs)}})
		spread(&p.Shopping.FailedPour, costs, all, fmt.Sprintf("%.0f g of rubber: all trays, when the mix does not cure", p.Silicone.MassG.Likely))
	}
}

// part is so much of a line.
type part struct {
	what   string
	amount float64
}
