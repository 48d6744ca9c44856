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
	var fill unit.Range
	for _, f := range plan.Fillings {
		fill = fill.Plus(f.MassG)
	}
	heading := fmt.Sprintf("Melt %s of chocolate", unit.Mass(plan.Chocolate.MeltMassG))
	if fill.Likely > 0 {
		heading += fmt.Sprintf(", make %s of filling", unit.Mass(fill.Likely))
	}
	var rows [][]string
	for _, k := range plan.Chocolates {
		rows = append(rows, []string{k.Name, unit.Mass(k.ShellMassG.Likely), unit.Mass(k.CapMassG.Likely),
			unit.Mass(k.MeltMassG.Likely), between(k.MeltMassG, unit.Mass), ""})
	}
	blocks := []block{b.textBlock("More is melted than stays in the pieces, since shells are poured full and tipped out again.", b.f.text())}
	blocks = append(blocks, b.tableBlocks([]column{
		{"chocolate", 36, atLeft, (*faces).textStyle, false},
		{"in the shells", 24, atRight, (*faces).textStyle, false},
		{"in the caps", 24, atRight, (*faces).textStyle, false},
		{"to melt", 29, atRight, (*faces).weighStyle, false},
		{"range", 31, atRight, (*faces).labelStyle, false},
		{"weighed, g", 28, atLeft, (*faces).textStyle, true},
	}, rows)...)
	if len(plan.Fillings) > 0 {
		var rows [][]string
		for _, k := range plan.Fillings {
			rows = append(rows, []string{k.Name, unit.Mass(k.MassG.Likely), between(k.MassG, unit.Mass), ""})
		}
		blocks = append(blocks, space(5))
		blocks = append(blocks, b.tableBlocks([]column{
			{"filling", 84, atLeft, (*faces).textStyle, false},
			{"to make", 29, atRight, (*faces).weighStyle, false},
			{"range", 31, atRight, (*faces).labelStyle, false},
			{"weighed, g", 28, atLeft, (*faces).textStyle, true},
		}, rows)...)
	}
	blocks = append(blocks, b.titleBlock("Shell, fill, cap"))
	blocks = append(blocks, b.stepBlocks(filling)...)
	c := cautionAllergen
	if s := b.allergens(); s != "" {
		c.text += " In this job: " + s + "."
	}
	blocks = append(blocks, space(3), b.cautionBlock(c), b.cautionBlock(cautionFood))
	b.flowing("kitchen", heading, nil, blocks)
}

// filling is the work in the kitchen, as it is commonly done (no source).
var filling = []string{
	"Temper the chocolate. Wipe or brush a little into the art first, so that no air stays there.",
	"Fill the mould to the brim, tap it, tip it out, scrape the top clean. A soft mould lies on a board.",
	"Chill until the shell is firm, about a quarter of an hour in a household fridge.",
	"Fill to just below the cap. The filling should be no warmer than about 28 °C, or it melts the shell.",
	"Cap, scrape, and chill again for about half an hour. The pieces let go when they have shrunk from the wall.",
	"Keep them cool, dry and dark. In a fridge they sweat and lose their shine.",
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
