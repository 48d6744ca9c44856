package main

import (
	"fmt"
	"strings"
	"time"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
)

// summary words a plan on a few lines.
func summary(p *flow.Plan) []string {
	if len(p.Only) > 0 {
		return summaryOnly(p)
	}
	count, designs := 0, map[string]int{}
	var order []string
	for _, pc := range p.Pieces {
		count += pc.Count
		name, _, _ := strings.Cut(pc.Name, ": ")
		if designs[name] == 0 {
			order = append(order, name)
		}
		designs[name] += pc.Count
	}
	var kinds []string
	for _, n := range order {
		kinds = append(kinds, fmt.Sprintf("%d %s", designs[n], n))
	}
	lines := []string{
		fmt.Sprintf("%s, needed %s, revision %s", p.Title, p.Needed, p.Revision),
		fmt.Sprintf("%d chocolates: %s", count, strings.Join(kinds, ", ")),
	}
	tiles, time, resin := 0, unit.Range{}, 0.0
	for _, m := range p.Masters {
		tiles += m.Tiles
	}
	for _, pl := range p.Plates {
		time.Low, time.Likely, time.High = time.Low+pl.PrintTimeMin.Low, time.Likely+pl.PrintTimeMin.Likely, time.High+pl.PrintTimeMin.High
		resin += pl.ResinML
	}
	lines = append(lines,
		fmt.Sprintf("master: %s in %s; %s, %.0f-%.0f h of printing, %.0f ml of resin", plural(len(p.Masters), "tray"), plural(tiles, "tile"), plural(len(p.Plates), "plate"), time.Low/60, time.High/60, resin),
		fmt.Sprintf("rubber: %.0f g (%.0f-%.0f), A %.0f g, B %.0f g", p.Silicone.MassG.Likely, p.Silicone.MassG.Low, p.Silicone.MassG.High, p.Silicone.PartAG, p.Silicone.PartBG),
		fmt.Sprintf("chocolate: melt %.0f g, of which shells keep %.0f g and caps %.0f g; filling %.0f g", p.Chocolate.MeltMassG, p.Chocolate.ShellMassG, p.Chocolate.CapMassG, p.FillingMassG),
	)
	lines = append(lines, days(p)...)
	measured := ""
	if n := used(p.Measured); n > 0 {
		measured = fmt.Sprintf("; measured on coupons: %d", n)
	}
	return append(lines, fmt.Sprintf("assumed: %d values (see assumed in plan.json)%s", len(p.Assumed), measured))
}

// days words the calendar and the shopping list.
func days(p *flow.Plan) (lines []string) {
	c, l := &p.Calendar, &p.Shopping
	if begin, err := time.Parse("2006-01-02T15:04", c.StartBy); err == nil {
		what := "begin by " + begin.Format("Monday 2 January, 15:04")
		if c.FromNow {
			what = "planned from now, ready by " + strings.Replace(c.ReadyBy, "T", " ", 1)
		}
		lines = append(lines, fmt.Sprintf("calendar: %s; %s, %.0f h of your own work", what, plural(len(c.Tasks), "task"), c.HandsH))
	}
	if l.Total > 0 {
		lines = append(lines, strings.TrimSpace(fmt.Sprintf("shopping: %.2f %s", l.Total, l.Currency))+fmt.Sprintf(", %.2f for each box; %s without a price", l.PerBox, plural(len(l.NoPrice), "thing")))
	}
	return lines
}

func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// used counts the measured values that took the place of assumed ones.
func used(list []flow.Measured) (n int) {
	for _, m := range list {
		if m.Used {
			n++
		}
	}
	return n
}
