package sheet

import (
	"fmt"
	"sort"
	"strings"

	"mouldwright/internal/base/unit"
)

// kitchenPages say what to melt and make, what it goes into, and what is in it.
func (b *book) kitchenPages() {
	plan := &b.r.Plan
	b.add("kitchen", func(p *page) error {
		var fill unit.Range
		for _, f := range plan.Fillings {
			fill = fill.Plus(f.MassG)
		}
		s := fmt.Sprintf("Melt %s of chocolate", unit.Mass(plan.Chocolate.MeltMassG))
		if fill.Likely > 0 {
			s += fmt.Sprintf(", make %s of filling", unit.Mass(fill.Likely))
		}
		y := p.heading(s)
		p.text(p.left(), y, "More is melted than stays in the pieces, since shells are poured full and tipped out again.", p.f.aside(), atLeft)
		y += 7
		cols := spread([]column{
			{"chocolate", 40, atLeft, (*faces).textStyle, false},
			{"in the shells", 25, atRight, (*faces).textStyle, false},
			{"in the caps", 25, atRight, (*faces).textStyle, false},
			{"to melt", 27, atRight, (*faces).weighStyle, false},
			{"range", 30, atRight, (*faces).labelStyle, false},
			{"weighed, g", 25, atLeft, (*faces).textStyle, true},
		}, p.measure())
		y = p.tableHead(p.left(), y, cols)
		shown := 0
		for _, k := range plan.Chocolates {
			if y > p.bottom()-90 {
				break
			}
			y = p.row(p.left(), y, cols, []string{k.Name, unit.Mass(k.ShellMassG.Likely), unit.Mass(k.CapMassG.Likely),
				unit.Mass(k.MeltMassG.Likely), between(k.MeltMassG, unit.Mass), ""})
			shown++
		}
		y += 4
		if len(plan.Fillings) > 0 {
			cols := spread([]column{
				{"filling", 90, atLeft, (*faces).textStyle, false},
				{"to make", 27, atRight, (*faces).weighStyle, false},
				{"range", 30, atRight, (*faces).labelStyle, false},
				{"weighed, g", 25, atLeft, (*faces).textStyle, true},
			}, p.measure())
			y = p.tableHead(p.left(), y, cols)
			for _, k := range plan.Fillings {
				if y > p.bottom()-70 {
					break
				}
				y = p.row(p.left(), y, cols, []string{k.Name, unit.Mass(k.MassG.Likely), between(k.MassG, unit.Mass), ""})
				shown++
			}
		}
		if rest := len(plan.Chocolates) + len(plan.Fillings) - shown; rest > 0 {
			p.text(p.left(), y, fmt.Sprintf("and %s; plan.json has them all", unit.Count(rest, "other", "others")), p.f.aside(), atLeft)
			y += 6
		}
		y += 2
		c := cautionAllergen
		if s := b.allergens(); s != "" {
			c.text += " In this job: " + s + "."
		}
		y = p.cautionBox(p.left(), y, p.measure(), c)
		p.cautionBox(p.left(), y, p.measure(), cautionFood)
		return nil
	})
}

// maxAllergens bounds the list in the box.
const maxAllergens = 12

// allergens lists what packages and recipes declare: "milk (in milk, gianduja)".
func (b *book) allergens() string {
	c := b.r.Choices
	if c == nil {
		return ""
	}
	in := map[string][]string{}
	var order []string
	add := func(where string, what []string) {
		for _, a := range what {
			if _, ok := in[a]; !ok {
				order = append(order, a)
			}
			in[a] = append(in[a], where)
		}
	}
	for _, k := range sorted(c.Chocolate) {
		add(k, c.Chocolate[k].Allergens)
	}
	for _, k := range sorted(c.Filling) {
		add(k, c.Filling[k].Allergens)
	}
	var parts []string
	for i, a := range order {
		if i == maxAllergens {
			parts = append(parts, fmt.Sprintf("and %d more", len(order)-maxAllergens))
			break
		}
		parts = append(parts, a+" (in "+strings.Join(in[a], ", ")+")")
	}
	return strings.Join(parts, "; ")
}

func sorted[T any](m map[string]T) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}
