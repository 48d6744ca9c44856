package flow

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/calendar"
	"mouldwright/internal/flow/kitchen/evening"
	"mouldwright/internal/flow/plate"
	"mouldwright/internal/flow/pour"
)

// Learned is how long things really took, as the record has it, by the step. Each of a
// list is one time: of the steps in Ratios a share of what the plan had said, of all
// others minutes for each plate, part, tray, mould, filling, session, piece or box. The
// latest comes last.
type Learned map[string][]float64

// Steps of which the plan learns. Those of the kitchen's bench are the groups of evening.
const (
	StepPrint    = "print"
	StepPour     = "pour"
	StepCure     = "cure"
	StepShells   = "chill shells"
	StepCaps     = "chill caps"
	StepSolid    = "chill"
	StepWash     = "wash"
	StepAssemble = "assemble"
	StepCoat     = "coat"
	StepDemould  = "demould"
	StepClean    = "clean"
	StepFilling  = "filling"
	StepTemper   = "temper"
	StepBox      = "box"
)

// Ratios are the steps that are told as a share of their planned time, since each one
// differs from the next.
var Ratios = []string{StepPrint, StepPour, StepCure, StepShells, StepCaps, StepSolid}

// How times are learned. The median leaves a single slip of the pen without effect;
// three is the least of which one has a middle. What is more than threefold off the
// median is taken for a slip, and a median more than fourfold off the plan for another
// thing than the plan means (rules of thumb, no source).
const (
	leastTimes = 3
	mostTimes  = 20
	slip       = 3.0
	mostFactor = 4.0
)

// PlanLearned is a time of the plan of which the record has real ones.
type PlanLearned struct {
	Step   string     `json:"step" doc:"wash, box, chill shells"`
	What   string     `json:"what" doc:"in words: print times"`
	Key    string     `json:"key,omitempty" doc:"key in the job file of what was planned"`
	Times  int        `json:"times" doc:"in the record"`
	Factor unit.Range `json:"factor" doc:"by which the plan's own reckoning was multiplied, or would be"`
	EachS  unit.Range `json:"each_s" doc:"seconds for each one, as measured; 0 where only the share is known"`
	Per    string     `json:"per,omitempty" doc:"of what"`
	Used   bool       `json:"used" doc:"the plan takes it"`
	From   string     `json:"from" doc:"what it is learned from"`
	Why    string     `json:"why,omitempty" doc:"why the plan does not take it, or not as it stands"`
}

// median is the middle of some times and their spread: what was seen within a factor of
// three, and no less than a factor of 1 + 0.2/√n either way, a guess at how much one
// hand's work differs (no source). n is how many were looked at.
func median(times []float64) (mid unit.Range, n int) {
	times = slices.Clone(times[max(0, len(times)-mostTimes):])
	n = len(times)
	if n == 0 {
		return unit.Range{}, 0
	}
	slices.Sort(times)
	m := (times[(n-1)/2] + times[n/2]) / 2
	spread := 1 + 0.2/math.Sqrt(float64(n))
	low, high := m/spread, m*spread
	for _, t := range times {
		if t > m/slip && t < m*slip {
			low, high = math.Min(low, t), math.Max(high, t)
		}
	}
	return unit.Between(low, m, high), n
}

// learn says by what factor a step's planned time is corrected, and writes it into the
// plan. planned is what the plan reckons for each one, in minutes; 0 for a share.
func (b *build) learn(step, what, key, per string, planned float64) (unit.Range, bool) {
	mid, n := median(b.past()[step])
	if n == 0 || planned < 0 {
		return unit.Range{}, false
	}
	l := PlanLearned{Step: step, What: what, Key: key, Times: n, Factor: mid, Per: per, From: records(n)}
	if planned > 0 {
		l.Factor, l.EachS = mid.Scale(1/planned), mid.Scale(60).Map(tidy)
	}
	f := l.Factor.Likely
	switch {
	case !b.c.Learn:
		l.Why = "learn = false in the job file"
	case n < leastTimes:
		l.Why = fmt.Sprintf("%d are the least of which the plan learns", leastTimes)
	case f > mostFactor || f < 1/mostFactor:
		l.Why = fmt.Sprintf("%.2g times the plan: something else was timed, or the plan means something else", f)
	default:
		l.Used = true
	}
	if !slices.ContainsFunc(b.r.Plan.Learned, func(o PlanLearned) bool { return o.Step == step }) {
		b.r.Plan.Learned = append(b.r.Plan.Learned, l)
	}
	return l.Factor, l.Used
}

func records(n int) string {
	if n == 1 {
		return "one time in the record"
	}
	return fmt.Sprintf("%d times in the record", n)
}

// past is what the record has, and the tasks of the calendar that were told with their
// beginning and end: of those that are one's own work from the first minute to the last.
func (b *build) past() Learned {
	out := Learned{}
	for step, times := range b.in.Past.Learned {
		out[step] = slices.Clone(times)
	}
	for _, h := range b.in.Past.Happened {
		min := h.To.Sub(h.From).Minutes()
		if h.Failed || h.To.IsZero() || min < 1 || min > 16*60 || strings.Contains(h.Task, ", part ") {
			continue
		}
		if step, of := b.taskStep(h.Task); of > 0 {
			out[step] = append(out[step], min/of)
		}
	}
	return out
}

// taskStep is the step that a task of the calendar is, and of how many.
func (b *build) taskStep(task string) (step string, of float64) {
	trays := float64(len(b.r.Plan.Masters))
	switch {
	case task == "fill the boxes":
		return StepBox, float64(b.c.Boxes)
	case task == "wash the moulds":
		return StepClean, trays * float64(max(1, b.c.Kitchen.Copies))
	case task == "demould and trim" || strings.HasPrefix(task, "demould and trim, mould "):
		return StepDemould, trays
	}
	for _, f := range b.r.Plan.Fillings {
		if task == "make "+f.Name {
			return StepFilling, 1
		}
	}
	return "", 0
}

// learnPrints corrects the times of prints by those of earlier ones.
func (b *build) learnPrints(p *plate.Plates) {
	if p == nil {
		return
	}
	f, ok := b.learn(StepPrint, "print times", "", "", 0)
	if !ok {
		return
	}
	for i := range p.Plates {
		p.Plates[i].PrintTimeMin = times(p.Plates[i].PrintTimeMin, f)
	}
	for _, t := range []*unit.Range{&p.PrintTimeMin, &p.BoundMin, &p.ApartMin} {
		*t = times(*t, f)
	}
}

// learnCure lengthens the cure by what really was needed, and never shortens it: rubber
// that is taken off early is lost with its master. A single time counts, and the longest
// one is the longest cure.
func (b *build) learnCure(p *pour.Pour) {
	t := &p.Times
	seen := b.past()[StepCure]
	if len(seen) == 0 {
		return
	}
	mid, n := median(seen)
	f := unit.Range{Low: 1, Likely: math.Max(1, mid.Likely), High: math.Max(1, slices.Max(seen))}
	l := PlanLearned{Step: StepCure, What: "the cure", Key: "silicone.cure_h", Times: n, Factor: f, From: records(n), Used: b.c.Learn && f.High > 1}
	switch was := t.CureH; {
	case !b.c.Learn:
		l.Why = "learn = false in the job file"
	case f.High <= 1:
		l.Why = "a cure is never shortened under its data sheet, however soon it was firm"
	default:
		l.Why = "only lengthened: a cure is never shortened under its data sheet"
		t.CureH.Likely = was.Likely * f.Likely
		t.CureH.High = math.Max(was.High, was.Likely*f.High)
		t.DemouldH = t.CureH.High
		p.Stages.FirmFromH = times(p.Stages.FirmFromH, unit.Between(1, f.Likely, f.High))
		t.FoodH.Likely += t.CureH.Likely - was.Likely
		t.FoodH.High += t.CureH.High - was.High
	}
	b.r.Plan.Learned = append(b.r.Plan.Learned, l)
}

// hand is one of the calendar's own durations for one thing.
type hand struct {
	step, what, key, per string
	at                   *unit.Range
}

func hands(c *calendar.Choices) []hand {
	return []hand{
		{StepWash, "washing and looking over a plate", "calendar.wash_min", "plate", &c.WashMin},
		{StepAssemble, "assembling the master", "calendar.assemble_part_min", "part", &c.PartMin},
		{StepCoat, "coating", "calendar.coat_min", "tray", &c.CoatMin},
		{StepDemould, "demoulding and trimming", "calendar.demould_min", "mould", &c.DemouldMin},
		{StepClean, "washing the moulds", "calendar.clean_mould_min", "mould", &c.CleanMin},
		{StepFilling, "making a filling", "calendar.filling_min", "filling", &c.FillingMin},
		{StepTemper, "melting, tempering and laying out", "calendar.temper_min", "session", &c.TemperMin},
		{StepBox, "filling a box", "calendar.box_min", "box", &c.BoxMin},
	}
}

// learnHands is the calendar's choices with real times in the place of planned ones.
func (b *build) learnHands() calendar.Choices {
	c := b.c.Calendar
	for _, h := range hands(&c) {
		if h.at.Likely <= 0 {
			continue
		}
		if f, ok := b.learn(h.step, h.what, h.key, h.per, h.at.Likely); ok {
			*h.at = f.Scale(h.at.Likely).Map(tidy)
		}
	}
	return c
}

// learnPours corrects how long each stage of a pour keeps one at work.
func (b *build) learnPours(w *calendar.Work) {
	if len(w.StageMin) == 0 {
		return
	}
	if f, ok := b.learn(StepPour, "mixing, degassing and pouring", "", "", 0); ok {
		for i := range w.StageMin {
			w.StageMin[i] *= f.Likely
		}
	}
}

// learnChill corrects the times in the fridge.
func (b *build) learnChill(step, what string) float64 {
	if f, ok := b.learn(step, what, "", "", 0); ok {
		return f.Likely
	}
	return 1
}

// learnBench is the factor of each group of steps at the kitchen's bench. planned is
// what each takes for one piece, in minutes.
func (b *build) learnBench(planned map[string]float64) map[string]float64 {
	out := map[string]float64{}
	for _, g := range evening.Groups {
		if planned[g.Name] <= 0 {
			continue
		}
		if f, ok := b.learn(g.Name, g.Words, "", "piece", planned[g.Name]); ok {
			out[g.Name] = f.Likely
		}
	}
	return out
}

// times multiplies two ranges of positive numbers end by end.
func times(a, b unit.Range) unit.Range {
	return unit.Between(a.Low*b.Low, a.Likely*b.Likely, a.High*b.High)
}

// HandMinutes is what the job plans for each one of a step that is timed by the piece;
// 0 for others. A page and a command line tell by it what was planned.
func HandMinutes(c *Choices, step string) float64 {
	cal := c.Calendar
	for _, h := range hands(&cal) {
		if h.step == step {
			return h.at.Likely
		}
	}
	return 0
}
