package coupon

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// The units of what a coupon gives: lengths, and shares of length such as shrinkage.
const (
	InMM    = "mm"
	InShare = "share"
)

// Found is one number that a coupon gave.
// Value and standard error are in the unit beside them.
type Found struct {
	Key    string     `json:"key" doc:"of the job file that it can stand for; empty when it is only told"`
	What   string     `json:"what" doc:"in words: shrinkage in x"`
	Unit   string     `json:"unit" enum:"mm,share" doc:"of value and standard error: mm, or share of length"`
	Value  unit.Range `json:"value" doc:"likely with its 95 % interval; of a ladder the step and the next finer one"`
	StdErr float64    `json:"std_err" doc:"standard error; 0 for a ladder"`
	DoF    int        `json:"degrees_of_freedom" doc:"behind it; 0 for a ladder"`
}

// Residual is one place's readings against what the values found say of it.
type Residual struct {
	Name    string  `json:"name"`
	DrawnMM float64 `json:"drawn_mm" doc:"as drawn; of the foot coupon the height of the teeth"`
	MeanMM  float64 `json:"mean_mm" doc:"of its readings"`
	Count   int     `json:"count" doc:"of readings"`
	FitMM   float64 `json:"fit_mm" doc:"by the values found"`
}

// Learned is what one coupon's readings say.
type Learned struct {
	Kind     string            `json:"kind"`
	Date     unit.Date         `json:"date"`
	Values   []Found           `json:"values"`
	Rows     []Residual        `json:"rows" doc:"each place's readings against the values"`
	Findings []finding.Finding `json:"findings" doc:"one that says stop: the readings contradict themselves, and there are no values"`
}

// Sound says that the readings do not contradict themselves.
func (l *Learned) Sound() bool { return finding.Worst(l.Findings) != finding.Stop }

func (l *Learned) note(s finding.Severity, where, what, do string) {
	l.Findings = append(l.Findings, finding.Finding{Severity: s, Where: where, What: what, Do: do})
}

// apartMM is how far two readings of one place may lie apart: five steps of 0.02 mm, a
// caliper's permissible error (common practice, no source).
const apartMM = 0.1

// Read learns from one coupon's readings. where names the reading in the job file, such
// as coupon[2]. What contradicts itself gives a finding that says stop, and no value.
func Read(where string, r Reading) *Learned {
	l := &Learned{Kind: r.Kind, Date: r.Date, Values: []Found{}, Rows: []Residual{}, Findings: []finding.Finding{}}
	if !slices.Contains(Kinds, r.Kind) {
		l.note(finding.Stop, where+".kind", fmt.Sprintf("no coupon %q", r.Kind), strings.Join(Kinds, ", "))
		return l
	}
	if len(r.MM) == 0 {
		l.note(finding.Stop, where, "no readings", "write what you measured under readings_mm: "+strings.Join(namesOf(r.Kind), ", "))
		return l
	}
	at := func(name string) string { return where + ".readings_mm." + name }
	for _, name := range sorted(r.MM) {
		list := r.MM[name]
		known := slices.Contains([]string{Line, Gap, Letter}, name) && (r.Kind == Detail || r.Kind == Chocolate)
		if _, ok := place(r.Kind, name); !ok && !known {
			l.note(finding.Stop, at(name), "there is no such place on the "+r.Kind+" coupon", "one of "+strings.Join(namesOf(r.Kind), ", "))
			continue
		}
		if len(list) == 0 {
			l.note(finding.Stop, at(name), "no reading", "write what you measured, or take the line out")
			continue
		}
		for _, v := range list {
			if !(v > 0 && v <= 300) {
				l.note(finding.Stop, at(name), fmt.Sprintf("%g mm", v), "a length in mm, above 0")
			}
		}
		if lo, hi := slices.Min(list), slices.Max(list); !known && hi-lo > apartMM+1e-9 {
			l.note(finding.Stop, at(name), fmt.Sprintf("%s of one place lie %.2f mm apart, allowed %.2f mm", unit.Count(len(list), "reading", "readings"), hi-lo, apartMM),
				"measure it again, with the jaws flat against both faces")
		}
	}
	if !l.Sound() {
		return l
	}
	switch r.Kind {
	case Foot:
		l.foot(at, r.MM)
	case Size:
		l.size(at, r.MM)
	default:
		l.ladder(at, r)
	}
	if !l.Sound() {
		l.Values = []Found{}
	}
	return l
}

// observation is one reading with the place it is of.
type observation struct {
	Place
	mm float64
}

func observations(kind string, mm map[string][]float64) (out []observation) {
	for _, name := range sorted(mm) {
		p, _ := place(kind, name)
		for _, v := range mm[name] {
			out = append(out, observation{p, v})
		}
	}
	return out
}

// rows puts readings beside what the fit says of them.
func (l *Learned) rows(list []observation, f fit) {
	for i, o := range list {
		if n := len(l.Rows); n > 0 && l.Rows[n-1].Name == o.Name {
			r := &l.Rows[n-1]
			r.MeanMM = (r.MeanMM*float64(r.Count) + o.mm) / float64(r.Count+1)
			r.Count++
			continue
		}
		l.Rows = append(l.Rows, Residual{Name: o.Name, DrawnMM: o.DrawnMM, MeanMM: o.mm, Count: 1, FitMM: o.mm - f.residual[i]})
	}
}

// odd says which place does not go with the others, by the means of its readings.
func (l *Learned) odd(at func(string) string, list []observation, x [][]float64) bool {
	var names []string
	var rows [][]float64
	var sum, count []float64
	for i, o := range list {
		n := len(names)
		if n == 0 || names[n-1] != o.Name {
			names, rows, sum, count = append(names, o.Name), append(rows, x[i]), append(sum, 0), append(count, 0)
			n++
		}
		sum[n-1] += o.mm
		count[n-1]++
	}
	for i := range sum {
		sum[i] /= count[i]
	}
	k, rest := outlier(rows, sum)
	if k < 0 {
		return false
	}
	want := 0.0
	for j, v := range rest.value {
		want += rows[k][j] * v
	}
	l.note(finding.Stop, at(names[k]), fmt.Sprintf("%.2f mm does not go with the other readings, which ask for %.2f mm", sum[k], want), "measure it again, or take it out")
	return true
}

// ladder learns from the finest line, gap and figure that came out whole. A repeated
// print counts by its worst.
func (l *Learned) ladder(at func(string) string, r Reading) {
	worst := map[string]float64{}
	for _, name := range []string{Line, Gap, Letter} {
		list := r.MM[name]
		if len(list) == 0 {
			continue
		}
		steps := ladder(r.Kind, name)
		lo, hi := len(steps), 0
		for _, v := range list {
			k := slices.IndexFunc(steps, func(s float64) bool { return math.Abs(s-v) < 1e-6 })
			if k < 0 {
				l.note(finding.Stop, at(name), fmt.Sprintf("%g mm is no step of the coupon", v), "one of "+strings.Trim(fmt.Sprint(steps), "[]"))
				return
			}
			lo, hi = min(lo, k), max(hi, k)
		}
		if hi-lo > 2 {
			l.note(finding.Stop, at(name), fmt.Sprintf("%g and %g mm are %d steps apart", steps[lo], steps[hi], hi-lo), "look again under the same light, or print it once more")
			return
		}
		v := Found{What: ladderWords[name], Unit: InMM, Value: unit.Between(0, steps[hi], steps[hi])}
		if hi > 0 {
			v.Value.Low = steps[hi-1]
		}
		v.Key = ladderKeys[r.Kind][name]
		worst[name] = steps[hi]
		l.Values = append(l.Values, v)
		l.Rows = append(l.Rows, Residual{Name: name, DrawnMM: steps[hi], MeanMM: steps[hi], Count: len(list), FitMM: steps[hi]})
	}
	// A figure has strokes of about a fifth of its height in the built-in bold sans.
	if line, letter := worst[Line], worst[Letter]; line > 0 && letter > 0 && letter*strokeShare < line/2 {
		l.note(finding.Stop, at(Letter), fmt.Sprintf("figures %g mm high have strokes of %.2f mm, yet the finest line is %g mm", letter, letter*strokeShare, line), "look at both again: one of them was misread")
	}
}

// strokeShare is the stroke of a figure of the built-in bold sans against its height, a share
// derived from the font's outlines.
const strokeShare = 0.21

// SmallestFigure is what a value of the figures is called.
const SmallestFigure = "smallest figure"

var ladderWords = map[string]string{Line: "finest raised line", Gap: "finest gap", Letter: SmallestFigure}

// ladderKeys are the rules that a ladder can stand for. A gap on the print and one in
// chocolate are the same fin of rubber, and a letter must come through both; flow takes the
// larger.
var ladderKeys = map[string]map[string]string{
	Detail:    {Line: "forecast.least_resin_mm", Gap: "forecast.least_rubber_mm", Letter: "forecast.least_letter_mm"},
	Chocolate: {Line: "forecast.least_chocolate_mm", Gap: "forecast.least_rubber_mm", Letter: "forecast.least_letter_mm"},
}
