package calendar

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	_ "time/tzdata" // the same zones on every machine

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/calendar/network"
)

const dayMin = 24 * 60 // by definition

// maxSpans bounds the free hours of one day, maxDays the days that differ (our choice: one
// for every two hours, and more days than are looked at).
const (
	maxSpans = 12
	maxDays  = 1000
)

// clock is a time of the day in minutes: "18:30", up to "24:00".
func clock(s string) (int, bool) {
	h, m, ok := strings.Cut(strings.TrimSpace(s), ":")
	hours, err1 := strconv.Atoi(h)
	minutes, err2 := strconv.Atoi(m)
	if !ok || err1 != nil || err2 != nil || len(m) != 2 || len(h) > 2 || hours < 0 || minutes < 0 || minutes > 59 || hours*60+minutes > dayMin {
		return 0, false
	}
	return hours*60 + minutes, true
}

// spans reads the free hours of one day, in minutes from its midnight; one that ends at
// or before its beginning ends on the next day: "20:00-01:00".
func spans(key string, list []string) ([]network.Span, error) {
	if len(list) > maxSpans {
		return nil, &finding.Error{Key: key, Found: fmt.Sprintf("%d spans of hours", len(list)), Allowed: fmt.Sprintf("at most %d", maxSpans), Do: "join hours that follow each other"}
	}
	var out []network.Span
	for i, s := range list {
		a, b, ok := strings.Cut(strings.ReplaceAll(s, "–", "-"), "-")
		from, okFrom := clock(a)
		to, okTo := clock(b)
		if !ok || !okFrom || !okTo || from == dayMin {
			return nil, &finding.Error{Key: fmt.Sprintf("%s[%d]", key, i+1), Found: strconv.Quote(s), Allowed: "hours such as 18:30-21:30", Do: "write the hours with two figures for the minutes; [] is a day without work"}
		}
		if to <= from {
			to += dayMin
		}
		out = append(out, network.Span{From: from, To: to})
	}
	return merged(out), nil
}

// merged sorts spans and joins those that touch.
func merged(list []network.Span) []network.Span {
	slices.SortFunc(list, func(a, b network.Span) int { return a.From - b.From })
	out := list[:0]
	for _, s := range list {
		if n := len(out); n > 0 && s.From <= out[n-1].To {
			out[n-1].To = max(out[n-1].To, s.To)
			continue
		}
		out = append(out, s)
	}
	return out
}

// week is a person's free hours.
type week struct {
	days   [7][]network.Span // by time.Weekday
	except map[unit.Date][]network.Span
	needed int // minutes after midnight of the day needed
	zone   *time.Location
}

// Check reads the hours, days and zone, and refuses what cannot be read.
func (c *Choices) Check() error {
	_, err := c.week()
	return err
}

func (c *Choices) week() (*week, error) {
	w := &week{except: map[unit.Date][]network.Span{}}
	var err error
	for i, d := range [7][]string{c.Sunday, c.Monday, c.Tuesday, c.Wednesday, c.Thursday, c.Friday, c.Saturday} {
		if w.days[i], err = spans("calendar."+strings.ToLower(time.Weekday(i).String()), d); err != nil {
			return nil, err
		}
	}
	if len(c.Days) > maxDays {
		return nil, &finding.Error{Key: "calendar.day", Found: fmt.Sprintf("%d days", len(c.Days)), Allowed: fmt.Sprintf("at most %d", maxDays), Do: "take out days that are over"}
	}
	for i, d := range c.Days {
		key := fmt.Sprintf("calendar.day[%d]", i+1)
		if _, twice := w.except[d.Date]; twice {
			return nil, &finding.Error{Key: key + ".date", Found: d.Date.String() + " stands there twice", Allowed: "each day once", Do: "put its hours into one [[calendar.day]]"}
		}
		if w.except[d.Date], err = spans(key+".free", d.Free); err != nil {
			return nil, err
		}
	}
	var ok bool
	if w.needed, ok = clock(c.NeededBy); !ok {
		return nil, &finding.Error{Key: "calendar.needed_by", Found: strconv.Quote(c.NeededBy), Allowed: "a time of the day such as 12:00", Do: "write hours and minutes, such as 17:30"}
	}
	if c.Zone != "" {
		if w.zone, err = time.LoadLocation(c.Zone); err != nil || c.Zone == "Local" {
			return nil, &finding.Error{Key: "calendar.time_zone", Found: strconv.Quote(c.Zone), Allowed: "a name of the IANA time zones, such as Europe/Dublin", Do: "take it out: the times then float, and every calendar takes them as its own"}
		}
	}
	return w, nil
}

// longest is the longest stretch of free hours in any week.
func (w *week) longest() int {
	best := 0
	for _, d := range w.days {
		for _, s := range d {
			best = max(best, s.To-s.From)
		}
	}
	return best
}

// none tells that no day has free hours.
func (w *week) none() bool {
	for _, d := range w.except {
		if len(d) > 0 {
			return false
		}
	}
	return w.longest() == 0
}

// reach is how many days before and after the day needed are looked at (our choice: a
// year and a month).
const reach = 400

// free are the hours around the day at which 0 lies, longer by more minutes each.
func (w *week) free(zero time.Time, more int) []network.Span {
	out := []network.Span{}
	for d := -reach; d <= reach; d++ {
		day := zero.AddDate(0, 0, d)
		list, differs := w.except[dateOf(day)]
		if !differs {
			list = w.days[day.Weekday()]
		}
		for _, s := range list {
			out = append(out, network.Span{From: d*dayMin + s.From, To: d*dayMin + s.To + more})
		}
	}
	return merged(out)
}

func dateOf(t time.Time) unit.Date {
	y, m, d := t.Date()
	return unit.Date{Year: y, Month: int(m), Day: d}
}

// wall is a moment as a clock on the wall shows it, without a zone: days have 1440
// minutes there, and a night on which clocks are changed is off by an hour at most.
func (w *week) wall(t time.Time) time.Time {
	if w.zone != nil {
		t = t.In(w.zone)
	}
	return time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), 0, 0, time.UTC)
}
