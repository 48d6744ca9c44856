package record

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"mouldwright/internal/base/unit"
)

// Yield is how many of what was tried came out.
type Yield struct {
	Of    string `json:"of"`
	Good  int    `json:"good" doc:"flawed ones among them"`
	Tried int    `json:"tried"`
}

// Yields is what came out, counted three ways.
type Yields struct {
	ByDesign []Yield `json:"by_design" doc:"chocolates, by the piece"`
	ByPlate  []Yield `json:"by_plate" doc:"printed parts, by the plate"`
	ByPlace  []Yield `json:"by_place" doc:"printed parts, by where they lay on the plate"`
}

// Yields counts standing entries. place tells where a part lies on its plate in words
// ("front left"); empty where it is not known.
func (e *Entries) Yields(place func(code string, plate int, part string) string) Yields {
	design, plate, at := tally{}, tally{}, tally{}
	for _, b := range e.Batches {
		if b.Unit != "piece" {
			continue
		}
		lost := 0.0
		for _, l := range e.Losses {
			if l.Batch == b.ID && l.Unit == "piece" {
				lost += l.Amount
			}
		}
		design.add(b.What, int(math.Round(b.Made)), int(math.Round(b.Made+lost)))
	}
	prints := map[string]Print{}
	for _, p := range e.Prints {
		prints[p.ID] = p
	}
	for _, p := range e.lastParts() {
		run, ok := prints[p.Print]
		if !ok {
			continue
		}
		good := 0
		if p.Outcome != "failed" {
			good = 1
		}
		plate.add(fmt.Sprintf("plate %d", run.Plate), good, 1)
		if where := place(run.Code, run.Plate, p.Name); where != "" {
			at.add(where, good, 1)
		}
	}
	return Yields{design.list(), plate.list(), at.list()}
}

type tally map[string]*Yield

func (t tally) add(of string, good, tried int) {
	if t[of] == nil {
		t[of] = &Yield{Of: of}
	}
	t[of].Good += good
	t[of].Tried += tried
}

func (t tally) list() []Yield {
	out := []Yield{}
	for _, y := range t {
		out = append(out, *y)
	}
	sort.Slice(out, func(i, k int) bool { return out[i].Of < out[k].Of })
	return out
}

// lastParts is each part of each print as it was last judged.
func (e *Entries) lastParts() []Part {
	at := map[[2]string]int{}
	var out []Part
	for _, p := range e.Parts {
		key := [2]string{p.Print, p.Name}
		if i, ok := at[key]; ok {
			out[i] = p
			continue
		}
		at[key] = len(out)
		out = append(out, p)
	}
	return out
}

// GoodParts is the parts of a revision's master that were printed and can be used, by
// their names, whichever run or plate they came from: good parts of a failed run count.
func (e *Entries) GoodParts(code string) map[string]bool {
	runs := map[string]bool{}
	for _, p := range e.Prints {
		runs[p.ID] = p.Code == code
	}
	out := map[string]bool{}
	for _, p := range e.lastParts() {
		if runs[p.Print] && p.Outcome != "failed" {
			out[p.Name] = true
		}
	}
	return out
}

// PrintTimes is how long prints took as a share of what the plan had said: the middle
// one and the spread of what was seen, widened while there are few. ok is false before
// the first print whose time is known.
//
// Geometric mean; the range is the larger of what was seen and a factor of
// 1 + 0.2/√n, a guess at how much one printer's runs differ (no source).
func (e *Entries) PrintTimes() (factor unit.Range, n int, ok bool) {
	sum, low, high := 0.0, math.Inf(1), math.Inf(-1)
	for _, p := range e.Prints {
		if p.Minutes <= 0 || p.PlannedMin <= 0 {
			continue
		}
		x := math.Log(p.Minutes / p.PlannedMin)
		sum, low, high, n = sum+x, min(low, x), max(high, x), n+1
	}
	if n == 0 {
		return unit.Range{}, 0, false
	}
	mid, spread := sum/float64(n), math.Log(1+0.2/math.Sqrt(float64(n)))
	return unit.Between(math.Exp(min(low, mid-spread)), math.Exp(mid), math.Exp(max(high, mid+spread))), n, true
}

func counted(n int, what string) string { return fmt.Sprintf("%d %s", n, strings.TrimSpace(what)) }
