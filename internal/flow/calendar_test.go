package flow_test

import (
	"context"
	"math"
	"strings"
	"testing"
	"time"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/calendar"
	"mouldwright/internal/flow/shopping"
)

// The example's days and its shopping list from a sketch: a task for each plate and
// tray with the plan's own times, a day that can be met, sums that add up, and what is at
// home taken off.
func TestCalendarAndShoppingInThePlan(t *testing.T) {
	in := orchard(t)
	in.Past.Stock = []shopping.Stock{{What: "sugar", Amount: 900, Unit: "g"}}
	digest := flow.Digest(in, "test")
	s := flow.NewSketcher("test")
	r, err := s.Sketch(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	p := &r.Plan
	c := &p.Calendar
	has := map[string]flow.PlanTask{}
	for _, x := range c.Tasks {
		has[x.Task] = x
	}
	at := func(s string) time.Time {
		v, err := time.Parse("2006-01-02T15:04", s)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	if c.StartBy == "" || c.LateH != 0 || at(c.ReadyBy).After(at(c.Needed)) || !strings.HasPrefix(c.Needed, in.Choices.Needed.String()) {
		t.Errorf("start %q, ready %q, needed %q, late %g h", c.StartBy, c.ReadyBy, c.Needed, c.LateH)
	}
	prints := 0
	for name := range has {
		if strings.HasPrefix(name, "print plate ") {
			prints++
		}
	}
	if prints != len(p.Plates) {
		t.Errorf("%d prints for %d plates", prints, len(p.Plates))
	}
	x := has["print plate 1"] // the longest print time, up to the next five minutes
	if alone := at(x.To).Sub(at(x.HandsUntil)).Minutes(); alone < p.Plates[0].PrintTimeMin.High || alone > p.Plates[0].PrintTimeMin.High+5 {
		t.Errorf("plate 1 runs %g min, its longest print is %g min", alone, p.Plates[0].PrintTimeMin.High)
	}
	x = has["pour the rubber"]
	if h := at(x.To).Sub(at(x.HandsUntil)).Hours(); h < p.Pour.DemouldH || h > p.Pour.DemouldH+0.1 {
		t.Errorf("the rubber cures %g h, demould after %g h", h, p.Pour.DemouldH)
	}

	l := &p.Shopping
	total, groups, priced := 0.0, 0.0, 0
	for _, n := range l.Lines {
		if n.Cost != nil {
			total, priced = total+*n.Cost, priced+1
		}
		if n.What == "sugar" && (n.Home != n.Need || n.Buy != 0) {
			t.Errorf("sugar: %+v", n)
		}
	}
	for _, g := range l.Groups {
		groups += g.Cost
	}
	if priced == 0 || math.Abs(total-l.Total) > 1e-6 || math.Abs(groups-l.Total) > 1e-6 || math.Abs(l.PerBox*float64(in.Choices.Boxes)-l.Total) > 1e-6 || !(l.Used > 0 && l.Used <= l.Total) {
		t.Errorf("lines %g, groups %g, total %g, used %g, per box %g", total, groups, l.Total, l.Used, l.PerBox)
	}
	// A failed print costs its resin at what resin costs, and more.
	for _, n := range l.Lines {
		if n.What == in.Choices.Resin.Called() {
			rate := *n.Price / n.Pack
			largest := 0.0
			for _, pl := range p.Plates {
				largest = max(largest, pl.ResinML)
			}
			if l.FailedPrint.High < largest*rate || l.FailedPrint.Low <= 0 || !(unit.Range{Low: l.FailedPrint.Low, Likely: l.FailedPrint.Likely, High: l.FailedPrint.High}).Ordered() {
				t.Errorf("a failed print costs %+v, its resin %g", l.FailedPrint, largest*rate)
			}
		}
	}

	// What happened and what time it is changes the calendar, and no revision.
	now := time.Date(2026, 12, 16, 20, 0, 0, 0, time.UTC)
	late, found, err := flow.CalendarAt(context.Background(), in, r, now)
	if err != nil || late.LateH <= 0 || len(found) == 0 || len(late.Changes) == 0 {
		t.Errorf("on %s: late %g h, %v, %v", now, late.LateH, found, err)
	}
	in.Past.Now, in.Past.Happened = now, []calendar.Happened{{Task: "order what is missing", From: now.AddDate(0, 0, -9), To: now.AddDate(0, 0, -5)}}
	if flow.Digest(in, "test") != digest {
		t.Error("the revision depends on what happened")
	}
}
