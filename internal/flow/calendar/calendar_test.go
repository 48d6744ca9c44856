package calendar

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// evenings is a person who works on weekday evenings and at the weekend.
func evenings() Choices {
	e, w := []string{"18:30-21:30"}, []string{"10:00-18:00"}
	return Choices{
		Monday: e, Tuesday: e, Wednesday: e, Thursday: e, Friday: e, Saturday: w, Sunday: w, NeededBy: "12:00",
		People: 1, Printers: 1, Chambers: 1, Ovens: 1, FailTests: 1, FailPrints: 1, FailCures: 1, SessionH: 4, EatenDays: 7,
		DeliveryDays: unit.Between(2, 4, 7), ExpressDays: 1, SetUpMin: unit.Sure(15), WashMin: unit.Sure(30), LampMin: unit.Sure(60), PartMin: unit.Sure(4),
		BenchMin: unit.Sure(25), DemouldMin: unit.Sure(30), CleanMin: unit.Sure(20), FillingMin: unit.Sure(45), TemperMin: unit.Sure(45), RestH: unit.Sure(12), BoxMin: unit.Sure(3),
	}
}

func supper() Work {
	keeps := unit.Between(14, 28, 60)
	w := Work{Needed: unit.Date{Year: 2026, Month: 12, Day: 19}, Boxes: 26, Trays: []Tray{{1, 8}, {2, 7}}, PadsMin: unit.Sure(30), PadsLookH: unit.Between(18, 20, 24),
		StageMin: []float64{25}, FirmH: unit.Sure(2), BondUntilH: 72, DemouldH: unit.Between(4, 5, 10), PostCureH: 4, Copies: 1,
		Fillings: []Filling{{"pear caramel", &keeps}, {"honey ganache", &keeps}}, EveningMin: 250, Rounds: 5}
	for i := range 6 {
		w.Plates = append(w.Plates, Plate{unit.Between(40, 60, 80), []int{1 + i%2}})
	}
	return w
}

func planned(t *testing.T, w Work, c Choices, p Past) (*Calendar, []finding.Finding) {
	t.Helper()
	cal, found, err := Make(context.Background(), w, c, p, Options{Changes: true, Placings: 20000})
	if err != nil {
		t.Fatal(err)
	}
	return cal, found
}

// Every task lies where it may: behind what it waits for, its hands in free hours, the
// printer with one plate at a time, and the end before the day needed.
func TestCountedBack(t *testing.T) {
	cal, found := planned(t, supper(), evenings(), Past{})
	if len(found) > 0 {
		t.Errorf("findings %v", found)
	}
	at := map[string]Planned{}
	for _, p := range cal.Tasks {
		at[p.Name] = p
	}
	critical := 0
	for _, p := range cal.Tasks {
		for _, a := range p.After {
			if p.From.Before(at[a].To) {
				t.Errorf("%s begins %s, %s ends %s", p.Name, p.From, a, at[a].To)
			}
		}
		from, until := p.From.Hour()*60+p.From.Minute(), p.HandsUntil.Hour()*60+p.HandsUntil.Minute()
		weekend := p.From.Weekday() == time.Saturday || p.From.Weekday() == time.Sunday
		if p.HandsUntil.After(p.From) && (!weekend && (from < 18*60+30 || until > 21*60+30) || weekend && (from < 600 || until > 18*60)) {
			t.Errorf("%s wants hands from %s to %s", p.Name, p.From, p.HandsUntil)
		}
		if p.Home && (!weekend || p.To.Hour()*60+p.To.Minute() > 18*60) { // four hours at home fit a weekend only
			t.Errorf("%s runs %s to %s with nobody at home", p.Name, p.From, p.To)
		}
		if p.To.After(cal.Needed) || p.SlackH < 0 {
			t.Errorf("%s ends %s, slack %g h", p.Name, p.To, p.SlackH)
		}
		if p.Critical {
			critical++
		}
	}
	if !cal.Tasks[0].Critical || critical < 3 || cal.Gap < 0 || cal.BoundH > cal.SpanH || cal.LateH != 0 || cal.FromNow {
		t.Errorf("%d critical, gap %g, span %g h, bound %g h", critical, cal.Gap, cal.SpanH, cal.BoundH)
	}
	if !cal.Slowest.Before(cal.Quickest) || cal.StartBy.Before(cal.Slowest) || cal.StartBy.After(cal.Quickest) {
		t.Errorf("start %s, quickest %s, slowest %s", cal.StartBy, cal.Quickest, cal.Slowest)
	}
	for _, c := range cal.Changes {
		if c.GainH < 1 {
			t.Errorf("%s gains %g h", c.What, c.GainH)
		}
	}
	if len(cal.Changes) == 0 || cal.Changes[0].What != "express delivery" { // six days of seven
		t.Errorf("%+v", cal.Changes)
	}
}

// Nothing of the plan depends on the day it is read, as long as there is time.
func TestNowCountsOnlyWhenTimeIsShort(t *testing.T) {
	a, _ := planned(t, supper(), evenings(), Past{})
	b, _ := planned(t, supper(), evenings(), Past{Now: time.Date(2026, 11, 20, 9, 0, 0, 0, time.UTC)})
	if b.FromNow || !a.StartBy.Equal(b.StartBy) || len(a.Tasks) != len(b.Tasks) {
		t.Errorf("%s and %s", a.StartBy, b.StartBy)
	}
}

// From too short a time the margins go first; then it is late, by how much is said, and
// what gains time is put in order.
func TestPlannedAnew(t *testing.T) {
	c, w := evenings(), supper()
	full, _ := planned(t, w, c, Past{})
	short := full.StartBy.Add(26 * time.Hour)
	cal, found := planned(t, w, c, Past{Now: short})
	if !cal.FromNow || cal.LateH > 0 || !cal.NoMargin || len(found) != 1 || !strings.Contains(found[0].What, "no margin") {
		t.Errorf("from %s: late %g h, %v", short, cal.LateH, found)
	}
	cal, found = planned(t, w, c, Past{Now: time.Date(2026, 12, 12, 9, 0, 0, 0, time.UTC)})
	if cal.LateH <= 0 || len(found) == 0 || !strings.Contains(found[0].What, "cannot be met") || len(cal.Changes) == 0 || !strings.Contains(found[0].Do, cal.Changes[0].What) {
		t.Errorf("late %g h, %v, %v", cal.LateH, found, cal.Changes)
	}
	there := map[string]bool{}
	for _, p := range cal.Tasks {
		there[p.Name] = true
	}
	for _, p := range cal.Tasks {
		for _, a := range p.After {
			if !there[a] { // who reads the plan would take it for done
				t.Errorf("%s waits for %q, which is not in the plan", p.Name, a)
			}
		}
	}
	for _, p := range cal.Tasks {
		if p.From.Before(time.Date(2026, 12, 12, 9, 0, 0, 0, time.UTC)) {
			t.Errorf("%s begins %s, which is past", p.Name, p.From)
		}
	}
}

// What is done stays where it was; what is being done holds its printer; what failed is
// done again and takes up its margin.
func TestWhatHappened(t *testing.T) {
	c, w := evenings(), supper()
	at := func(d, h int) time.Time { return time.Date(2026, 12, d, h, 0, 0, 0, time.UTC) }
	now := at(3, 19)
	cal, _ := planned(t, w, c, Past{Now: now, Happened: []Happened{
		{Task: orderName, From: time.Date(2026, 11, 24, 19, 0, 0, 0, time.UTC), To: at(1, 10)},
		{Task: "print plate 1", From: at(2, 19), To: at(2, 21)},
		{Task: "print plate 2", From: at(2, 21), To: at(2, 22), Failed: true},
		{Task: "print plate 3", From: at(3, 18)},
		{Task: "of an earlier version", From: at(1, 1)},
	}})
	states, count := map[string]string{}, 0
	for _, p := range cal.Tasks {
		states[p.Name] = p.State
		if strings.HasPrefix(p.Name, "print plate") {
			count++
		}
		if p.State == "" && p.From.Before(now) {
			t.Errorf("%s is put at %s, which is past", p.Name, p.From)
		}
	}
	if states["print plate 1"] != "done" || states["print plate 3"] != "doing" || states["print plate 2"] != "" || count != 6 || !cal.FromNow {
		t.Errorf("%v, %d plates", states, count)
	}
	if _, still := states["print again, if one fails"]; still {
		t.Error("the margin of a print is still there")
	}
	if _, still := states["pour again, if one does not cure"]; !still {
		t.Error("the margin of a cure is gone")
	}
}

func TestBadCalendars(t *testing.T) {
	ctx := context.Background()
	bad := func(name string, change func(*Work, *Choices), want string) {
		w, c := supper(), evenings()
		change(&w, &c)
		_, found, err := Make(ctx, w, c, Past{Now: time.Date(2026, 11, 1, 0, 0, 0, 0, time.UTC)}, Options{Placings: 2000})
		said := ""
		for _, f := range found {
			said += f.String()
		}
		var e *finding.Error
		if errors.As(err, &e) {
			said += e.Error()
		}
		if !strings.Contains(said, want) {
			t.Errorf("%s: %q, %v; want %q", name, said, err, want)
		}
	}
	bad("no free hours", func(_ *Work, c *Choices) {
		c.Monday, c.Tuesday, c.Wednesday, c.Thursday, c.Friday, c.Saturday, c.Sunday = nil, nil, nil, nil, nil, nil, nil
	}, "no free hours on any day")
	bad("a day that is past", func(w *Work, _ *Choices) { w.Needed.Year = 2025 }, "the day needed, 2025-12-19, is past")
	bad("tasks that wait for each other", func(_ *Work, c *Choices) {
		c.Tasks = []OwnTask{{Name: "ribbons", After: []string{"cards"}}, {Name: "cards", After: []string{"ribbons"}}}
	}, "wait for each other")
	bad("a task that waits for itself", func(_ *Work, c *Choices) {
		c.Tasks = []OwnTask{{Name: "ribbons", After: []string{"ribbons"}}}
	}, "\"ribbons\" waits for itself")
	bad("a circle through the work", func(_ *Work, c *Choices) {
		c.Tasks = []OwnTask{{Name: "ribbons", After: []string{boxName}, Before: []string{"wash the moulds"}}}
	}, "wait for each other")
	bad("an unknown task", func(_ *Work, c *Choices) { c.Tasks = []OwnTask{{Name: "ribbons", After: []string{"bake"}}} }, "no task is called \"bake\"")
	bad("a filling that spoils", func(w *Work, _ *Choices) { k := unit.Between(0.5, 1, 2); w.Fillings[0].KeepDays = &k }, "before the day needed")
	bad("a filling that spoils before it is eaten", func(w *Work, _ *Choices) { k := unit.Between(4, 5, 6); w.Fillings[0].KeepDays = &k }, "but the last piece is eaten on")
	bad("an oven nobody can watch", func(w *Work, _ *Choices) { w.PostCureH = 12 }, "needs somebody at home for 12")
	bad("a pour too long", func(w *Work, _ *Choices) { w.StageMin[0] = 900 }, "needs hands for 15")
	bad("hours that are none", func(_ *Work, c *Choices) { c.Friday = []string{"evening"} }, "calendar.friday[1]")
	bad("a day twice", func(_ *Work, c *Choices) {
		c.Days = []FreeDay{{Date: unit.Date{Year: 2026, Month: 12, Day: 1}}, {Date: unit.Date{Year: 2026, Month: 12, Day: 1}}}
	}, "stands there twice")
	bad("a zone that is none", func(_ *Work, c *Choices) { c.Zone = "Middle/Earth" }, "calendar.time_zone")
}

// Days that differ from their weekday: a day off is free of work, a long day is used.
func TestDaysThatDiffer(t *testing.T) {
	c := evenings()
	c.Days = []FreeDay{{Date: unit.Date{Year: 2026, Month: 12, Day: 18}}, {Date: unit.Date{Year: 2026, Month: 12, Day: 16}, Free: []string{"08:00-12:00", "13:00-23:00"}}}
	cal, _ := planned(t, supper(), c, Past{})
	used := false
	for _, p := range cal.Tasks {
		if p.HandsUntil.After(p.From) && p.From.Day() == 18 && p.From.Month() == 12 {
			t.Errorf("%s on the day off, %s", p.Name, p.From)
		}
		used = used || p.From.Day() == 16 && p.From.Hour() >= 8 && p.From.Hour() < 18
	}
	if !used {
		t.Error("the long day is not used")
	}
}

func FuzzHours(f *testing.F) {
	for _, s := range []string{"18:30-21:30", "22:00-02:00", "0:00-24:00", "24:00-1:00", "a-b", "18:30–21:30", "-", "99:99-00:00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		list, err := spans("calendar.monday", []string{s})
		if err != nil {
			return
		}
		for _, one := range list {
			if one.From < 0 || one.From >= dayMin || one.To <= one.From || one.To > one.From+dayMin {
				t.Errorf("%q is read as %v", s, one)
			}
		}
	})
}

// large is a work of 300 tasks: 135 plates, eight fillings, a week in the kitchen.
func large() (Work, Choices) {
	w, c := supper(), evenings()
	w.Plates = nil
	for i := range 135 {
		w.Plates = append(w.Plates, Plate{unit.Between(40, float64(50+i%7*20), float64(60+i%7*25)), []int{1 + i%2}})
	}
	keeps := unit.Between(30, 60, 90)
	for i := range 6 {
		w.Fillings = append(w.Fillings, Filling{fmt.Sprintf("filling %d", i+1), &keeps})
	}
	w.EveningMin, w.Rounds, w.Boxes = 1500, 30, 200
	return w, c
}

// The promise: 300 tasks in less than 2 s on two cores, with a proved bound.
func BenchmarkCalendar300(b *testing.B) {
	w, c := large()
	for b.Loop() {
		cal, _, err := Make(context.Background(), w, c, Past{}, Options{})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(cal.Tasks)), "tasks")
		b.ReportMetric(100*cal.Gap, "%gap")
	}
}

// What each edit of a job costs in a sketch.
func BenchmarkCalendarSketched(b *testing.B) {
	w, c := supper(), evenings()
	for b.Loop() {
		if _, _, err := Make(context.Background(), w, c, Past{}, Options{Placings: 20_000}); err != nil {
			b.Fatal(err)
		}
	}
}

// Work that is too long for one stretch is divided. The person goes on calling it by its
// name: their task before it lies before its first part, one after it behind its last.
func TestOwnTaskBesideADividedOne(t *testing.T) {
	w, c := supper(), evenings()
	w.Boxes = 300
	c.Tasks = []OwnTask{{Name: "write the cards", Hands: unit.Sure(30), Before: []string{"fill the boxes"}}, {Name: "carry them out", Hands: unit.Sure(30), After: []string{"fill the boxes"}}}
	cal, _ := planned(t, w, c, Past{})
	var cards, carried Planned
	var parts []Planned
	for _, p := range cal.Tasks {
		switch {
		case p.Name == "write the cards":
			cards = p
		case p.Name == "carry them out":
			carried = p
		case strings.HasPrefix(p.Name, "fill the boxes"):
			parts = append(parts, p)
		}
	}
	if len(parts) < 2 {
		t.Fatalf("%d parts of filling 300 boxes", len(parts))
	}
	for _, p := range parts {
		if p.From.Before(cards.To) || carried.From.Before(p.To) {
			t.Errorf("%s from %s to %s; the cards until %s, carried from %s", p.Name, p.From, p.To, cards.To, carried.From)
		}
	}
}
