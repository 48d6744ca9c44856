package flow

import (
	"math"
	"testing"
	"time"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/calendar"
	"mouldwright/internal/flow/plate"
	"mouldwright/internal/flow/pour"
	"pgregory.net/rapid"
)

func learning(l Learned, on bool) *build {
	return &build{in: &Input{Past: Past{Learned: l}}, c: &Choices{Learn: on, Boxes: 4, Calendar: calendar.Choices{BoxMin: unit.Between(2, 3, 6), WashMin: unit.Between(20, 30, 45)}}, r: &Result{}}
}

// Three prints that took a quarter longer in the middle make the plan's times a quarter
// longer; two do not, nor do any when the job says not to learn. All are told.
func TestLearnPrints(t *testing.T) {
	for _, c := range []struct {
		times []float64
		on    bool
		want  float64
	}{{[]float64{1.2, 1.25, 1.3}, true, 250}, {[]float64{1.2, 1.25, 1.3}, false, 200}, {[]float64{1.25, 1.25}, true, 200}, {nil, true, 200}, {[]float64{60, 61, 59}, true, 200}} {
		b := learning(Learned{StepPrint: c.times}, c.on)
		p := &plate.Plates{Plates: []plate.Plate{{PrintTimeMin: unit.Between(100, 200, 300)}}, PrintTimeMin: unit.Between(100, 200, 300)}
		b.learnPrints(p)
		if math.Abs(p.PrintTimeMin.Likely-c.want) > 1e-9 || p.Plates[0].PrintTimeMin != p.PrintTimeMin {
			t.Errorf("%v, learn %v: %v, want %g", c.times, c.on, p.PrintTimeMin, c.want)
		}
		if (len(b.r.Plan.Learned) == 1) != (len(c.times) > 0) {
			t.Errorf("%v: told %+v", c.times, b.r.Plan.Learned)
		} else if len(c.times) > 0 && b.r.Plan.Learned[0].Used != (c.want != 200) {
			t.Errorf("%v: told %+v", c.times, b.r.Plan.Learned[0])
		}
	}
}

// One slip of the pen, of any size, moves the median of four or more no further than to
// a time that was told, and the range holds it.
func TestSlipOfThePen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		times := rapid.SliceOfN(rapid.Float64Range(0.8, 1.3), 4, 30).Draw(t, "times")
		times[rapid.IntRange(0, len(times)-1).Draw(t, "which")] *= rapid.SampledFrom([]float64{1.0 / 60, 0.1, 10, 60}).Draw(t, "slip")
		m, n := median(times)
		if n != min(len(times), mostTimes) || m.Likely < 0.8 || m.Likely > 1.3 || !m.Ordered() || m.High > 1.3*1.2 || m.Low < 0.8/1.2 {
			t.Fatalf("%v of %d from %v", m, n, times)
		}
	})
}

// A cure is lengthened by a single slow one, to the slowest, and never shortened.
func TestLearnCure(t *testing.T) {
	cure := func(on bool, times ...float64) pour.Times {
		p := &pour.Pour{Times: pour.Times{CureH: unit.Between(12, 18, 24), DemouldH: 24, FoodH: unit.Between(17, 24, 31)}, Stages: pour.Stages{FirmFromH: unit.Between(3, 5, 8)}}
		learning(Learned{StepCure: times}, on).learnCure(p)
		if p.Times.CureH.Low != 12 || p.Times.DemouldH != p.Times.CureH.High || !p.Times.CureH.Ordered() || p.Stages.FirmFromH.Likely < 5 {
			t.Errorf("%v: %+v", times, p)
		}
		return p.Times
	}
	rapid.Check(t, func(t *rapid.T) {
		times := rapid.SliceOf(rapid.Float64Range(0.01, 20)).Draw(t, "times")
		if c := cure(true, times...); c.CureH.Likely < 18 || c.DemouldH < 24 || c.FoodH.High < 31 {
			t.Fatalf("%v shortened a cure: %+v", times, c)
		}
	})
	if c := cure(true, 2); c.CureH.Likely != 36 || c.DemouldH != 36 || c.FoodH.High != 31+12 {
		t.Errorf("one of 36 h: %+v", c)
	}
	if c := cure(true, 0.5, 0.5, 0.5, 0.5); c.CureH != unit.Between(12, 18, 24) {
		t.Errorf("firm sooner: %+v", c)
	}
	if c := cure(false, 2); c.DemouldH != 24 {
		t.Errorf("not to be learned: %+v", c)
	}
}

// Boxes that took six minutes each where three were planned, by hand and by the
// calendar's own task, which four of them took 24 minutes.
func TestLearnHands(t *testing.T) {
	b := learning(Learned{StepBox: {6, 7}}, true)
	at := time.Date(2026, 11, 2, 18, 0, 0, 0, time.UTC)
	b.in.Past.Happened = []calendar.Happened{
		{Task: "fill the boxes", From: at, To: at.Add(24 * time.Minute)},
		{Task: "fill the boxes", From: at, To: at.Add(90 * time.Minute), Failed: true},
		{Task: "fill the boxes, part 1 of 2", From: at, To: at.Add(90 * time.Minute)},
		{Task: "fill the boxes", From: at},
	}
	c := b.learnHands()
	if c.BoxMin.Likely != 6 || c.BoxMin.High < 7 || c.WashMin != b.c.Calendar.WashMin {
		t.Errorf("%v, wash %v", c.BoxMin, c.WashMin)
	}
	l := b.r.Plan.Learned
	if b.c.Calendar.BoxMin.Likely != 3 || len(l) != 1 || l[0].Times != 3 || !l[0].Used || l[0].Factor.Likely != 2 || l[0].EachS.Likely != 360 || l[0].Key != "calendar.box_min" {
		t.Errorf("%+v", l)
	}
}

// The bench of the kitchen and the stages of a pour.
func TestLearnBenchAndPours(t *testing.T) {
	b := learning(Learned{"cap": {1, 1.2, 1.1}, "fill": {0.2}, StepPour: {1.5, 1.4, 2}}, true)
	if f := b.learnBench(map[string]float64{"cap": 0.5, "fill": 0.2, "shells": 0.3}); len(f) != 1 || math.Abs(f["cap"]-2.2) > 1e-9 {
		t.Errorf("%v", f)
	}
	w := calendar.Work{StageMin: []float64{40, 20}}
	if b.learnPours(&w); w.StageMin[0] != 60 || w.StageMin[1] != 30 {
		t.Errorf("%v", w.StageMin)
	}
}
