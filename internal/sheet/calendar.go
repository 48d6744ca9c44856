package sheet

import (
	"context"
	"fmt"
	"image/color"
	"io"
	"math"
	"strings"
	"time"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/calendar"
)

// WriteCalendar writes the days: all tasks over all days, then each week with what to do
// on each of its days, then what to buy.
func WriteCalendar(ctx context.Context, w io.Writer, r *flow.Result, paper string) error {
	size, ok := Papers[paper]
	if !ok {
		return fmt.Errorf("sheet: no paper %q; allowed: A4, Letter", paper)
	}
	b, err := newCalendarBook(r, size)
	if err != nil {
		return err
	}
	return b.write(ctx, w)
}

func newCalendarBook(r *flow.Result, size [2]float64) (*book, error) {
	f, err := newFaces()
	if err != nil {
		return nil, err
	}
	b := &book{r: r, f: f, size: size}
	if c := r.Calendar; c == nil || len(c.Tasks) == 0 {
		b.flowing("calendar", "There is no calendar yet", nil, []block{b.textBlock("No plan of days can be made: see the remarks of the job.", f.text())})
	} else {
		b.spanPages(c)
		for _, monday := range weeks(c) {
			b.weekPages(c, monday)
		}
	}
	b.shoppingPages()
	if len(b.sheets) > MaxPages {
		return nil, fmt.Errorf("sheet: %d pages needed, allowed %d; make the job in parts", len(b.sheets), MaxPages)
	}
	return b, nil
}

const oneDay = 24 * time.Hour

func midnight(t time.Time) time.Time { return t.Truncate(oneDay) } // wall times are UTC

// daysOf are the first and the last day that the calendar touches.
func daysOf(c *calendar.Calendar) (first, last time.Time) {
	first, last = c.StartBy, c.Needed
	for _, t := range c.Tasks {
		if t.From.Before(first) {
			first = t.From
		}
		if t.To.After(last) {
			last = t.To
		}
	}
	return midnight(first), midnight(last)
}

// weeks are the Mondays of all weeks with something to do by hand.
func weeks(c *calendar.Calendar) (out []time.Time) {
	first, last := daysOf(c)
	for m := first.AddDate(0, 0, -(int(first.Weekday())+6)%7); !m.After(last); m = m.AddDate(0, 0, 7) {
		for _, t := range c.Tasks {
			if t.State != "done" && t.From.Before(m.AddDate(0, 0, 7)) && t.To.After(m) {
				out = append(out, m)
				break
			}
		}
	}
	return out
}

// when words a moment as people write it into a diary.
func when(t time.Time) string { return t.Format("Mon 2 Jan, 15:04") }

// spanRow is the height of a task's line over the days.
const (
	spanRow   = 4.7
	spanNames = 60.0
)

// maxDays bounds a drawing over days; what lies further apart is not drawn to scale.
const maxDays = 70

// spanPages draw all tasks over all days.
func (b *book) spanPages(c *calendar.Calendar) {
	heading := fmt.Sprintf("Begin by %s, ready on %s", c.StartBy.Format("Monday 2 January, 15:04"), c.ReadyBy.Format("Monday 2 January"))
	if c.LateH > 0 {
		heading = fmt.Sprintf("%s too late: ready on %s, needed on %s", unit.Duration(c.LateH*60), when(c.ReadyBy), when(c.Needed))
	} else if c.FromNow {
		heading = fmt.Sprintf("From here on, ready on %s", c.ReadyBy.Format("Monday 2 January"))
	}
	first, last := daysOf(c)
	days := int(last.Sub(first)/oneDay) + 1
	if days > maxDays {
		first, days = last.AddDate(0, 0, -maxDays+1), maxDays
	}
	said := fmt.Sprintf("%s of your own work over %d days.", unit.Duration(c.HandsH*60), days)
	if !c.Quickest.IsZero() && !c.FromNow {
		said += fmt.Sprintf(" If all goes quickly and nothing fails %s is soon enough", when(c.Quickest))
		if !c.Slowest.IsZero() {
			said += fmt.Sprintf("; if all takes its longest, begin %s", when(c.Slowest))
		}
		said += "."
	}
	if c.NoMargin {
		said += " No margin is left for a print or a cure that fails."
	}
	legend := b.legendBlock()
	head := block{height: 12, keep: true, draw: func(p *page, y float64) { p.dayHeads(y, first, days) }}
	blocks := []block{b.textBlock(said, b.f.text()), legend, head}
	for _, t := range c.Tasks {
		blocks = append(blocks, block{height: spanRow, again: &head, draw: func(p *page, y float64) { p.spanLine(c, y, first, days, t) }})
	}
	b.flowing("calendar", heading, nil, blocks)
}

// legendBlock says what the bars mean.
func (b *book) legendBlock() block {
	return block{height: 8, keep: true, draw: func(p *page, y float64) {
		x := p.left()
		for _, one := range []struct {
			hands, alone, tight bool
			what                string
		}{{true, false, false, "your hands"}, {false, true, false, "runs by itself"}, {true, false, true, "decides the day"}} {
			p.bar(x, y+1, 9, 3, one.hands, one.alone, one.tight)
			x += 11
			x += p.text(x, y+3.6, one.what, p.f.label(), atLeft) + 7
		}
	}}
}

// bar is a stretch of a task: full where it needs hands, hatched where it runs by
// itself, with a line below where it decides the day.
func (p *page) bar(x, y, w, h float64, hands, alone, tight bool) {
	w = max(w, 0.5)
	if alone {
		d := drawing{p: p, ox: x, oy: y + h, scale: 1}
		d.hatched(geom.Outline{geom.Ring{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: h}, {X: 0, Y: h}}}, hatch{"alone", 45, 1, false, 0, soft, color.RGBA{0xff, 0xff, 0xff, 255}}, 0.2)
	}
	if hands {
		p.box(x, y, w, h, ink, none, 0)
	}
	if tight {
		p.line(x, y+h+0.55, x+max(w, 1.2), y+h+0.55, 0.55, do)
	}
}

// dayHeads set the days over a drawing, and tint the days of rest.
func (p *page) dayHeads(y float64, first time.Time, days int) {
	w := (p.measure() - spanNames) / float64(days)
	each := 1
	for float64(each)*w < 5.4 {
		each++
	}
	for d := range days {
		day := first.AddDate(0, 0, d)
		x := p.left() + spanNames + float64(d)*w
		if d == 0 || day.Day() == 1 {
			p.text(x+0.6, y+3.4, day.Format("Jan"), p.f.label(), atLeft)
		}
		if d%each == 0 {
			st := p.f.label()
			if day.Weekday() == time.Saturday || day.Weekday() == time.Sunday {
				st = p.f.labelBold()
			}
			p.text(x+w/2, y+9.6, fmt.Sprint(day.Day()), st, atMiddle)
			if w >= 4.5 {
				p.text(x+w/2, y+6.6, day.Format("Mon")[:1], p.f.label(), atMiddle)
			}
		}
	}
	p.line(p.left(), y+11.4, p.right(), y+11.4, 0.35, ink)
}

// spanLine is one task over the days.
func (p *page) spanLine(c *calendar.Calendar, y float64, first time.Time, days int, t calendar.Planned) {
	w := (p.measure() - spanNames) / float64(days)
	at := func(m time.Time) float64 {
		d := m.Sub(first).Hours() / 24
		return p.left() + spanNames + w*min(max(d, 0), float64(days))
	}
	for d := range days {
		day := first.AddDate(0, 0, d)
		x := p.left() + spanNames + float64(d)*w
		if day.Weekday() == time.Saturday || day.Weekday() == time.Sunday {
			p.box(x, y, w, spanRow, tint, none, 0)
		}
		if day.Weekday() == time.Monday {
			p.line(x, y, x, y+spanRow, hair, rule)
		}
	}
	p.line(p.left(), y+spanRow, p.right(), y+spanRow, hair, rule)
	st := p.f.figure()
	if t.Margin || t.State == "done" {
		st = st.in(soft)
	}
	if t.State != "" {
		p.box(p.left(), y+1.1, 2.4, 2.4, none, ink, 0.25)
		if t.State == "done" {
			p.line(p.left()+0.5, y+2.4, p.left()+1.1, y+3.1, 0.35, ink)
			p.line(p.left()+1.1, y+3.1, p.left()+2.2, y+1.3, 0.35, ink)
		}
		p.within(p.left()+3.4, y+3.5, spanNames-5.4, t.Name, st, atLeft)
	} else {
		p.within(p.left(), y+3.5, spanNames-2, t.Name, st, atLeft)
	}
	due := at(c.Needed)
	p.line(due, y, due, y+spanRow, 0.5, stop)
	if t.To.After(t.HandsUntil) {
		p.bar(at(t.HandsUntil), y+1, at(t.To)-at(t.HandsUntil), 2.4, false, true, false)
	}
	if t.HandsUntil.After(t.From) {
		p.bar(at(t.From), y+1, max(at(t.HandsUntil)-at(t.From), 0.8), 2.4, true, false, false)
	}
	if t.Critical && t.State == "" {
		p.line(at(t.From), y+4, max(at(t.To), at(t.From)+1.2), y+4, 0.6, do)
	}
}

// The drawing of a week: hours of the day across, a line for each day.
const (
	weekFrom, weekTo = 0, 24
	weekRow          = 11.0
	weekNames        = 27.0
)

// weekPages are one week: a drawing of its hours, and what to do on each day, to tick.
func (b *book) weekPages(c *calendar.Calendar, monday time.Time) {
	above := func(p *page) float64 { return p.weekDrawing(c, monday, p.underHeading()-2) }
	var blocks []block
	for d := range 7 {
		day := monday.AddDate(0, 0, d)
		todo, runs := ofDay(c, day)
		if len(todo)+len(runs) == 0 {
			continue
		}
		blocks = append(blocks, b.dayTitle(day, todo))
		for _, t := range todo {
			blocks = append(blocks, b.todoBlock(t))
		}
		for _, t := range runs {
			s := fmt.Sprintf("Still by itself, until %s: %s", when(t.To), t.Name)
			blocks = append(blocks, block{height: leadText + 0.6, draw: func(p *page, y float64) {
				p.within(p.left()+27, y+3.4, p.measure()-27, s, p.f.aside(), atLeft)
			}})
		}
		blocks = append(blocks, space(2.5))
	}
	b.flowing("calendar", "The week of "+monday.Format("2 January"), above, blocks)
}

// ofDay is what needs hands on a day, and what still runs by itself since an earlier
// one, but for what ends in its night.
func ofDay(c *calendar.Calendar, day time.Time) (todo, runs []calendar.Planned) {
	next := day.AddDate(0, 0, 1)
	for _, t := range c.Tasks {
		if t.State == "done" {
			continue
		}
		began := !t.From.Before(day) && t.From.Before(next)
		if began && t.HandsUntil.After(t.From) {
			todo = append(todo, t)
		}
		if t.HandsUntil.Before(day) && t.To.Sub(day) > 8*time.Hour {
			runs = append(runs, t)
		}
	}
	return todo, runs
}

func (b *book) dayTitle(day time.Time, todo []calendar.Planned) block {
	var hands time.Duration
	for _, t := range todo {
		hands += t.HandsUntil.Sub(t.From)
	}
	return block{height: 8.2, keep: true, draw: func(p *page, y float64) {
		w := p.text(p.left(), y+6, day.Format("Monday 2 January"), p.f.big(), atLeft)
		if hands > 0 {
			p.text(p.left()+w+3, y+6, unit.Duration(hands.Minutes())+" of work", p.f.label(), atLeft)
		}
		p.line(p.left(), y+7.6, p.right(), y+7.6, 0.35, ink)
	}}
}

// todoBlock is one thing to do, with a box to tick.
func (b *book) todoBlock(t calendar.Planned) block {
	s := t.Name
	if t.Margin {
		s += " (margin)"
	}
	lines := b.f.lines(s, b.f.text(), b.measureOf()-27-42)
	about := unit.Duration(t.HandsUntil.Sub(t.From).Minutes())
	if t.To.After(t.HandsUntil) {
		about += ", then by itself until " + until(t)
	}
	if t.Home {
		about += ", with somebody at home"
	}
	return block{height: float64(len(lines))*leadText + 2.2, draw: func(p *page, y float64) {
		p.box(p.left(), y+1, 3.8, 3.8, none, ink, 0.3)
		p.text(p.left()+7, y+4.3, t.From.Format("15:04"), p.f.textBold(), atLeft)
		if t.Critical {
			p.line(p.left()+7, y+5.6, p.left()+7+p.f.width("00:00", p.f.textBold()), y+5.6, 0.6, do)
		}
		for i, l := range lines {
			p.text(p.left()+27, y+4.3+float64(i)*leadText, l, p.f.text(), atLeft)
		}
		p.within(p.right(), y+4.3, 72, about, p.f.label(), atRight)
	}}
}

// until words the end of a task: the hour on the same day, else the day too.
func until(t calendar.Planned) string {
	if midnight(t.To).Equal(midnight(t.From)) {
		return t.To.Format("15:04")
	}
	return t.To.Format("Mon 15:04")
}

// weekDrawing draws seven days with their hours, free ones tinted, and gives where it
// ends.
func (p *page) weekDrawing(c *calendar.Calendar, monday time.Time, y float64) float64 {
	left, w := p.left()+weekNames, p.measure()-weekNames
	hour := func(h float64) float64 { return left + w*(h-weekFrom)/(weekTo-weekFrom) }
	for h := weekFrom; h <= weekTo; h += 3 {
		a := atMiddle
		if h == weekTo {
			a = atRight
		}
		p.text(hour(float64(h)), y+3, fmt.Sprintf("%d", h), p.f.label(), a)
	}
	y += 4.6
	for d := range 7 {
		day := monday.AddDate(0, 0, d)
		top := y + float64(d)*weekRow
		// clip a stretch to this day, in hours.
		clip := func(from, to time.Time) (a, b float64, ok bool) {
			a, b = max(0, from.Sub(day).Hours()), min(24, to.Sub(day).Hours())
			return a, b, b > a
		}
		for _, s := range c.ReadFree {
			if a, b, ok := clip(c.Zero.Add(time.Duration(s.From)*time.Minute), c.Zero.Add(time.Duration(s.To)*time.Minute)); ok {
				p.box(hour(a), top, hour(b)-hour(a), weekRow, tint, none, 0)
			}
		}
		for h := weekFrom; h <= weekTo; h += 3 {
			p.line(hour(float64(h)), top, hour(float64(h)), top+weekRow, hair, rule)
		}
		p.line(p.left(), top, p.right(), top, hair, rule)
		st := p.f.text()
		if day.Weekday() == time.Saturday || day.Weekday() == time.Sunday {
			st = p.f.textBold()
		}
		p.text(p.left(), top+weekRow/2+1.3, day.Format("Mon 2 Jan"), st, atLeft)
		p.alone(c, top, hour, clip)
		for _, t := range c.Tasks {
			if a, b, ok := clip(t.From, t.HandsUntil); ok && t.State != "done" {
				p.bar(hour(a), top+1.6, hour(b)-hour(a)-0.25, 4.2, true, false, t.Critical)
			}
		}
		if a := c.Needed.Sub(day).Hours(); a >= 0 && a < 24 {
			p.line(hour(a), top, hour(a), top+weekRow, 0.8, stop)
			p.text(hour(a)+1, top+weekRow-1.2, "needed", p.f.labelBold().in(stop), atLeft)
		}
	}
	end := y + 7*weekRow
	p.line(p.left(), end, p.right(), end, hair, rule)
	return end + 4
}

// alone draws what runs by itself on a day, below the hands, on up to three lines.
func (p *page) alone(c *calendar.Calendar, top float64, hour func(float64) float64, clip func(a, b time.Time) (float64, float64, bool)) {
	var free [3]float64
	for _, t := range c.Tasks {
		a, b, ok := clip(t.HandsUntil, t.To)
		if !ok || t.State == "done" {
			continue
		}
		for k := range free {
			if free[k] <= a {
				p.bar(hour(a), top+6.9+1.3*float64(k), hour(b)-hour(a), 1, false, true, false)
				free[k] = b
				break
			}
		}
	}
}

// shoppingPages list what to buy, with a box to tick, and draw where the money goes.
func (b *book) shoppingPages() {
	l := &b.r.Plan.Shopping
	if len(l.Lines) == 0 {
		return
	}
	n := 0
	for _, x := range l.Lines {
		if x.Buy > 0 {
			n++
		}
	}
	heading := fmt.Sprintf("%d things to buy", n)
	if l.Total > 0 {
		heading += ", " + b.money(l.Total)
	}
	above := func(p *page) float64 { return p.moneyBar(l, p.underHeading()) }
	if l.Total == 0 {
		above = nil
	}
	blocks := []block{}
	if len(l.NoPrice) > 0 {
		blocks = append(blocks, b.textBlock(fmt.Sprintf("Not in the sums, since their price is not known: %s.", strings.Join(l.NoPrice, ", ")), b.f.aside()))
	}
	cols := []column{
		{"", 8, atLeft, (*faces).textStyle, false},
		{"what", 62, atLeft, (*faces).textStyle, false},
		{"needed", 24, atRight, (*faces).labelStyle, false},
		{"at home", 20, atRight, (*faces).labelStyle, false},
		{"buy", 32, atRight, (*faces).textStyle, false},
		{"cost", 24, atRight, (*faces).textStyle, false},
	}
	var rows [][]string
	for _, x := range l.Lines {
		home, buy, cost := "", amount(x.Buy, x.Unit), "not known"
		if x.Home > 0 {
			home = amount(x.Home, x.Unit)
		}
		if x.Pack > 0 {
			as := amount(x.Pack, x.Unit)
			if x.PackAs != "" {
				as = x.PackAs
			}
			buy = fmt.Sprintf("%d × %s", x.Packs, as)
		}
		if x.Buy == 0 {
			buy = "nothing"
		}
		if x.Cost != nil {
			cost = b.money(*x.Cost)
		} else if x.Buy == 0 {
			cost = ""
		}
		rows = append(rows, []string{"", x.What, amount(x.Need, x.Unit), home, buy, cost})
	}
	table := b.tableBlocks(cols, rows)
	for i := 1; i < len(table); i++ { // a box to tick in front of each
		row := table[i].draw
		table[i].draw = func(p *page, y float64) {
			row(p, y)
			p.box(p.left(), y+1.6, 3.8, 3.8, none, ink, 0.3)
		}
	}
	b.flowing("shopping", heading, above, append(blocks, table...))
}

// money words an amount of money.
func (b *book) money(v float64) string {
	s := fmt.Sprintf("%.2f", v)
	if c := b.r.Plan.Shopping.Currency; c != "" {
		s += " " + c
	}
	return s
}

// amount words so much of a thing.
func amount(v float64, u string) string {
	switch u {
	case "g":
		return unit.Mass(v)
	case "ml":
		return unit.Volume(v * 1000)
	}
	s := fmt.Sprint(int(math.Ceil(v - 1e-9)))
	if u == "pair" {
		s += " pairs"
		if v <= 1 {
			s = "1 pair"
		}
	}
	return s
}

// moneyBar draws where the money goes, and the sums below.
func (p *page) moneyBar(l *flow.PlanShopping, y float64) float64 {
	hatches := map[string]hatch{"print": hatchResin, "mould": hatchRubber, "chocolate": hatchShell, "filling": hatchFilling, "box": {"box", 90, 2.4, false, 0, soft, color.RGBA{0xff, 0xff, 0xff, 255}}}
	x := p.left()
	for _, g := range l.Groups {
		w := p.measure() * g.Cost / l.Total
		d := drawing{p: p, ox: x, oy: y + 11, scale: 1}
		d.hatched(geom.Outline{geom.Ring{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: 11}, {X: 0, Y: 11}}}, hatches[g.Group], 0.3)
		if w > 13 {
			p.within(x, y+14.6, w-1, g.Group, p.f.label(), atLeft)
			p.within(x, y+18.4, w-1, fmt.Sprintf("%.2f", g.Cost), p.f.figure(), atLeft)
		}
		x += w
	}
	y += 28
	w := p.measure() / 4
	b := p.book
	spread := func(o flow.PlanLoss) string {
		if o.High-o.Low < 0.005 {
			return ""
		}
		return fmt.Sprintf("%.2f to %.2f", o.Low, o.High)
	}
	p.fact(p.left(), y, w-3, "each box", b.money(l.PerBox), fmt.Sprintf("each piece %.2f", l.PerPiece), ink)
	p.fact(p.left()+w, y, w-3, "used up of it", b.money(l.Used), "the rest is left over", ink)
	cost := func(o flow.PlanLoss) string {
		if o.Likely == 0 {
			return "not known"
		}
		return b.money(o.Likely)
	}
	p.fact(p.left()+2*w, y, w-3, "a print that fails", cost(l.FailedPrint), spread(l.FailedPrint), ink)
	p.fact(p.left()+3*w, y, w-3, "a pour that fails", cost(l.FailedPour), spread(l.FailedPour), ink)
	return y + 16
}
