package sheet

import (
	"image/color"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// stands says in a sentence where the work stands.
func (b *book) stands() string {
	const most = 4 // designs named; more would not be a sentence
	var parts []string
	designs := b.designs()
	for i, d := range designs {
		if i == most {
			parts = append(parts, unit.InWords(len(designs)-most)+" other designs")
			break
		}
		n := 0
		for _, k := range d.pieces {
			n += b.r.Plan.Pieces[k].Count
		}
		parts = append(parts, many(n, d.name))
	}
	s := sentence(list(parts))
	if lo, hi, ok := b.weights(); ok {
		s += ", " + unit.Spread(unit.Between(lo, lo, hi), unit.Mass) + " each"
	}
	n := len(b.r.Plan.Plates)
	switch {
	case finding.Worst(b.r.Plan.Findings) == finding.Stop:
		s += ": something must be mended before they can be printed."
	case n == 0:
		s += ": nothing to print yet."
	default:
		s += ", ready to print on " + unit.Count(n, "plate", "plates") + "."
	}
	return s
}

// many words a number of pieces by their name: "twelve bees", "two name plaques". A
// name that is more than plain small letters stands as it is: "twelve of “Crest 2”";
// one that ends in s is taken as a plural: "six pears".
func many(n int, name string) string {
	for _, r := range name {
		if (r < 'a' || r > 'z') && r != ' ' {
			return unit.InWords(n) + " of “" + name + "”"
		}
	}
	end := func(s string) bool { return strings.HasSuffix(name, s) }
	switch {
	case n == 1 || end("s") && !end("ss"):
	case end("ss") || end("x") || end("sh") || end("ch"):
		name += "es"
	case end("leaf") || end("loaf") || end("shelf"):
		name = strings.TrimSuffix(name, "f") + "ves"
	case end("y") && !end("ay") && !end("ey") && !end("oy") && !end("uy"):
		name = strings.TrimSuffix(name, "y") + "ies"
	default:
		name += "s"
	}
	return unit.InWords(n) + " " + name
}

// weights are the likely weights of the lightest and the heaviest piece.
func (b *book) weights() (lo, hi float64, ok bool) {
	for _, p := range b.r.Plan.Pieces {
		m := p.MassG.Likely
		if !ok {
			lo, hi, ok = m, m, true
		}
		lo, hi = min(lo, m), max(hi, m)
	}
	return round(lo), round(hi), ok
}

// round is a weight as a kitchen scale shows it: to a tenth of a gram below 10 g.
func round(g float64) float64 {
	if g < 10 {
		return float64(int(g*10+0.5)) / 10
	}
	return float64(int(g + 0.5))
}

func list(parts []string) string {
	switch len(parts) {
	case 0:
		return "no pieces"
	case 1:
		return parts[0]
	}
	return strings.Join(parts[:len(parts)-1], ", ") + " and " + parts[len(parts)-1]
}

// title is the first page: where things stand, the picture, the day, what it takes.
func (b *book) title(p *page) error {
	plan := &b.r.Plan
	y := p.heading(b.stands())
	p.text(p.left(), y, p.f.short(plan.Title, p.f.aside(), p.measure()-75)+", wanted for "+plan.Needed.Long(), p.f.aside().in(do), atLeft)
	if b.r.Choices != nil && b.r.Choices.Boxes > 1 {
		p.text(p.right(), y, "for "+unit.Count(b.r.Choices.Boxes, "box or guest", "boxes or guests"), p.f.aside(), atRight)
	}
	y += 4

	const facts = 58.0 // what stands below the picture
	room := p.bottom() - facts - y
	if b.s != nil {
		m, err := b.s.coverPicture(p.ctx)
		if err != nil {
			return err
		}
		if m != nil {
			p.picture(p.left(), y, p.measure(), room, m)
		}
	}

	y = p.bottom() - facts + 6
	p.line(p.left(), y-5, p.right(), y-5, 0.2, rule)
	w := p.measure() / 4
	time := unit.Range{}
	resin := 0.0
	for _, q := range plan.Plates {
		time.Low += q.PrintTimeMin.Low
		time.Likely += q.PrintTimeMin.Likely
		time.High += q.PrintTimeMin.High
		resin += q.ResinML
	}
	var melt unit.Range
	for _, k := range plan.Chocolates {
		melt = melt.Plus(k.MeltMassG)
	}
	var fill unit.Range
	for _, k := range plan.Fillings {
		fill = fill.Plus(k.MassG)
	}
	rows := [2][4]struct{ label, number, remark string }{
		{
			{"printing", unit.Duration(time.Likely), between(time, unit.Duration)},
			{"resin", unit.Volume(resin * 1000), "losses included"},
			{"trays", unit.Whole(len(plan.Masters)), tiles(plan.Masters)},
			{"cavities", unit.Whole(b.cavities()), ""},
		},
		{
			{"chocolate to melt", unit.Mass(melt.Likely), between(melt, unit.Mass)},
			{"filling to make", unit.Mass(fill.Likely), between(fill, unit.Mass)},
			{"rubber to mix", unit.Mass(plan.Silicone.MassG.Likely), between(plan.Silicone.MassG, unit.Mass)},
			{"parts A and B", unit.Mass(plan.Silicone.PartAG) + " + " + unit.Mass(plan.Silicone.PartBG), ""},
		},
	}
	for j, r := range rows {
		for i, c := range r {
			p.fact(p.left()+float64(i)*w, y+float64(j)*16.5, w-4, c.label, c.number, c.remark, ink)
		}
	}
	y += 33 + 3
	b.verdict(p, y)
	return nil
}

// verdict sums up the findings in one line with its sign.
func (b *book) verdict(p *page, y float64) {
	var n [3]int
	for _, f := range b.r.Plan.Findings {
		switch f.Severity {
		case finding.Stop:
			n[0]++
		case finding.Care:
			n[1]++
		default:
			n[2]++
		}
	}
	s, c, sev := "Nothing stands in the way. Read the cautions at each step before you begin it.", do, finding.Note
	switch {
	case n[0] > 0:
		s, c, sev = sentence(unit.Count(n[0], "thing", "things"))+" must be mended first: see “remarks”.", stop, finding.Stop
	case n[1] > 0:
		s, c, sev = sentence(unit.Count(n[1], "thing needs", "things need"))+" a look before you begin: see “remarks”.", ink, finding.Care
	}
	p.sign(p.left(), y-0.2, sev, c)
	p.within(p.left()+9, y+4, p.measure()-9, s, p.f.textBold().in(c), atLeft)
}

func sentence(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// between words the spread of a range alone, "104–112 g"; nothing without spread.
func between(r unit.Range, word func(float64) string) string {
	if word(r.Low) == word(r.High) {
		return ""
	}
	return unit.Spread(r, word)
}

func (b *book) cavities() int {
	n := 0
	for _, p := range b.r.Plan.Pieces {
		n += p.Cavities
	}
	return n
}

var none = color.RGBA{}
