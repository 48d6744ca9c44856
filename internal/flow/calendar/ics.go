package calendar

import (
	"crypto/sha256"
	"fmt"
	"io"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"mouldwright/internal/base/unit"
)

// WriteICS writes the calendar as RFC 5545 has it: an event for each stretch of work,
// with an alarm before it, and one that leaves you free for what runs by itself, with an
// alarm at its end. Times are in UTC when the job names a time zone, else they float:
// every calendar takes them as its own (RFC 5545, 3.3.5, form 1). The same plan gives
// the same bytes: the stamp is the moment of the first task, and each event is known by
// the job's title and its task's name, so that a later plan moves it.
func (c *Calendar) WriteICS(w io.Writer, title string) error {
	cal := ics.NewCalendar()
	cal.SetProductId("-//Mouldwright//calendar//EN")
	cal.SetCalscale("GREGORIAN")
	cal.SetMethod(ics.MethodPublish)
	cal.SetName(title)
	for _, t := range c.Tasks {
		if t.State == "done" {
			continue
		}
		name, about := t.Name, c.about(t)
		if t.Margin {
			name += " (margin)"
		}
		if t.HandsUntil.After(t.From) {
			e := c.event(cal, title, t.Name, name, about, t.From, t.HandsUntil)
			alarm(e, name, "-PT15M", "")
		}
		if t.To.After(t.HandsUntil) {
			e := c.event(cal, title, t.Name+", by itself", name+": runs by itself", about, t.HandsUntil, t.To)
			e.SetTimeTransparency(ics.TransparencyTransparent)
			alarm(e, name+" is done", "PT0M", "END")
		}
	}
	e := c.event(cal, title, "needed", title+": the boxes are needed", "", c.Needed, c.Needed)
	e.SetTimeTransparency(ics.TransparencyTransparent)
	alarm(e, title+": the boxes are needed tomorrow", "-P1D", "")
	return cal.SerializeTo(w, ics.WithNewLineWindows) // the standard asks for CR LF, 3.1
}

func (c *Calendar) event(cal *ics.Calendar, title, key, name, about string, from, to time.Time) *ics.VEvent {
	sum := sha256.Sum256([]byte(title + "\n" + key))
	e := cal.AddEvent(fmt.Sprintf("%x@mouldwright", sum[:12]))
	e.SetProperty(ics.ComponentPropertyDtstamp, c.utc(c.StartBy).Format("20060102T150405Z"))
	e.SetSummary(name)
	if about != "" {
		e.SetDescription(about)
	}
	e.SetProperty(ics.ComponentPropertyDtStart, c.moment(from))
	if to.After(from) { // without an end it ends when it begins (3.6.1)
		e.SetProperty(ics.ComponentPropertyDtEnd, c.moment(to))
	}
	return e
}

// utc is a moment of the wall in UTC; without a zone it is taken as if it were.
func (c *Calendar) utc(t time.Time) time.Time {
	if c.Zone == nil {
		return t
	}
	return time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), 0, 0, c.Zone).UTC()
}

func (c *Calendar) moment(t time.Time) string {
	if c.Zone == nil {
		return t.Format("20060102T150405")
	}
	return c.utc(t).Format("20060102T150405Z")
}

func alarm(e *ics.VEvent, text, trigger, related string) {
	a := e.AddAlarm()
	a.SetAction(ics.ActionDisplay)
	a.SetProperty(ics.ComponentPropertyDescription, text)
	if related != "" {
		a.SetTrigger(trigger, &ics.KeyValues{Key: "RELATED", Value: []string{related}})
		return
	}
	a.SetTrigger(trigger)
}

// about says what a task waits for, what it occupies, and how much is in hand.
func (c *Calendar) about(t Planned) string {
	var lines []string
	if len(t.After) > 0 {
		lines = append(lines, "After: "+strings.Join(t.After, "; ")+".")
	}
	if len(t.Needs) > 0 {
		lines = append(lines, "Occupies: "+strings.Join(t.Needs, ", ")+".")
	}
	if t.Home {
		lines = append(lines, "Somebody must be at home until it ends.")
	}
	switch {
	case t.State == "doing":
		lines = append(lines, "It was begun.")
	case t.Critical:
		lines = append(lines, "Decides the day: no time in hand.")
	default:
		lines = append(lines, "In hand: "+unit.Duration(t.SlackH*60)+".")
	}
	return strings.Join(lines, "\n")
}
