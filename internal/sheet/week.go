package sheet

import (
	"fmt"
	"time"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/calendar"
)

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
