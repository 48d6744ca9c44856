package sheet

import (
	"fmt"
	"sort"
	"strings"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/kitchen/chill"
)

// kitchenPages say what to melt and make, what it goes into, and what is in it.
func (b *book) kitchenPages() {
	plan := &b.r.Plan
	var fill unit.Range
	for _, f := range plan.Fillings {
		fill = fill.Plus(f.MassG)
	}
	buy := 0.0
	for _, k := range plan.Kitchen.Chocolate {
		buy += k.BuyG.Likely
	}
	heading := fmt.Sprintf("Temper %s of chocolate", unit.Mass(buy))
	if fill.Likely > 0 {
		heading += fmt.Sprintf(", make %s of filling", unit.Mass(fill.Likely))
	}
	var rows [][]string
	for _, k := range plan.Kitchen.Chocolate {
		rows = append(rows, []string{k.Name, unit.Mass(k.MeltG.Likely), unit.Mass(k.SeedG.Likely),
			unit.Mass(k.BuyG.Likely), between(k.BuyG, unit.Mass), unit.Mass(k.RoundG.Likely)})
	}
	blocks := []block{b.textBlock("Melt and seed together are what to buy: what stays in the pieces, what stays on tools, and what is tipped out of one round and goes back. The sheets beside the stove are in kitchen.pdf.", b.f.text())}
	blocks = append(blocks, b.tableBlocks([]column{
		{"chocolate", 36, atLeft, (*faces).textStyle, false},
		{"melt", 26, atRight, (*faces).weighStyle, false},
		{"seed, solid", 26, atRight, (*faces).weighStyle, false},
		{"to buy", 29, atRight, (*faces).weighStyle, false},
		{"range", 29, atRight, (*faces).labelStyle, false},
		{"in the bowl for a round", 28, atRight, (*faces).textStyle, false},
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
	blocks = append(blocks, b.kitchenPlots()...)
	blocks = append(blocks, b.titleBlock("Shell, fill, cap"))
	blocks = append(blocks, b.stepBlocks(filling)...)
	c := cautionAllergen
	if s := b.allergens(); s != "" {
		c.text += " In this job: " + s + "."
	}
	blocks = append(blocks, space(3), b.cautionBlock(c), b.cautionBlock(cautionFood))
	b.flowing("kitchen", heading, nil, blocks)
}

// kitchenPlots are tempering, chilling and the evening as drawings.
func (b *book) kitchenPlots() (blocks []block) {
	k := &b.r.Plan.Kitchen
	room := 20.0
	if b.r.Choices != nil {
		room = b.r.Choices.Kitchen.RoomC
	}
	for i := range k.Chocolate {
		blocks = append(blocks, b.titleBlock("Tempering "+k.Chocolate[i].Name), b.temperBlock(&k.Chocolate[i], room))
	}
	for i := range k.Pieces {
		s := &k.Pieces[i]
		for n := range s.Course {
			c := &s.Course[n]
			set, title, last := s.SolidMin, "%s, solid, in the fridge", s.LastMM
			var times *chill.Times
			if i < len(b.r.Settings) {
				times = b.r.Settings[i].Shell
			}
			switch c.Stage {
			case "shell":
				set, title, last = s.ShellMin, "%s in the fridge: the shell", nil
			case "cap":
				set, title = s.CapMin, "%s in the fridge: capped"
				if times != nil {
					times = b.r.Settings[i].Cap
				}
			}
			if set == nil || times == nil {
				continue
			}
			blocks = append(blocks, b.titleBlock(fmt.Sprintf(title, sentence(s.Name))), b.courseBlock(c, *set, times.Likely.Section, last))
		}
	}
	if len(k.Evening) > 0 {
		blocks = append(blocks, b.titleBlock("The evening, "+unit.Duration(k.EveningMin)), b.eveningBlock(), b.textBlock(k.Second.Verdict, b.f.text()))
	}
	return blocks
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
