package record

import (
	"fmt"
	"math"
	"sort"
	"strings"
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

// Yields counts standing entries. Where a part lay on its plate is what its revision kept;
// what was built before that was kept is left out of ByPlace.
func (e *Entries) Yields() Yields {
	design, plate, at := tally{}, tally{}, tally{}
	for _, b := range e.Batches {
		if b.Unit != "piece" {
			continue
		}
		lost := e.lost(b.ID, "piece")
		design.add(b.What, int(math.Round(b.Made)), int(math.Round(b.Made+lost)))
	}
	places := e.places()
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
		if where := places[laidAt{run.Code, run.Plate, p.Name}]; where != "" {
			at.add(where, good, 1)
		}
	}
	return Yields{design.list(), plate.list(), at.list()}
}

// laidAt is a part on a plate of a revision, by its code.
type laidAt struct {
	code  string
	plate int
	part  string
}

// places is where each part of each revision lay on its plate, in words.
func (e *Entries) places() map[laidAt]string {
	codes, out := map[string]string{}, map[laidAt]string{}
	for _, v := range e.Revisions {
		codes[v.ID] = v.Code
	}
	for _, l := range e.Laids {
		out[laidAt{codes[l.Revision], l.Plate, l.Name}] = l.Place
	}
	return out
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
	sort.Slice(out, func(i, k int) bool { // plate 9 before plate 10
		a, b := out[i].Of, out[k].Of
		if strings.HasPrefix(a, "plate ") && strings.HasPrefix(b, "plate ") && len(a) != len(b) {
			return len(a) < len(b)
		}
		return a < b
	})
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

func counted(n int, what string) string { return fmt.Sprintf("%d %s", n, strings.TrimSpace(what)) }
