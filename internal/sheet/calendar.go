package sheet

import (
	"context"
	"fmt"
	"image/color"
	"io"
	"time"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/calendar"
)

// WriteCalendar writes the days: all tasks over all days, then each week with what to do
// on each of its days, then what to buy.
func WriteCalendar(ctx context.Context, w io.Writer, r *flow.Result, paper string) error {
	b, err := newCalendarBook(r, paper)
	if err != nil {
		return err
	}
	return b.write(ctx, w)
}

func newCalendarBook(r *flow.Result, paper string) (*book, error) {
	b, err := blank(r, paper)
	if err != nil {
		return nil, err
	}
	if c := r.Calendar; c == nil || len(c.Tasks) == 0 {
		b.flowing("calendar", "There is no calendar yet", nil, []block{b.textBlock("No plan of days can be made: see the remarks of the job.", b.f.text())})
	} else {
		b.spanPages(c)
		for _, monday := range weeks(c) {
			b.weekPages(c, monday)
		}
	}
	b.shoppingPages()
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
