package record

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"

	"mouldwright/internal/flow"
)

// Whether a part of an earlier revision is the same in the present one: prices, free
// hours and the like change the revision and leave every part as it was.

func (p Present) shape() string { return fmt.Sprintf("%x", flow.ShapeDigest(p.Input, p.Program)) }

// Same is which parts of an earlier revision are the same in the present one, but for
// the engraved code.
type Same struct {
	Known bool     // false: it was built before such things were kept, or by another program
	Same  []string // parts, by their names
	Other []string // parts that have changed, or are no longer there
}

// All tells whether every part is the same.
func (s Same) All() bool { return s.Known && len(s.Other) == 0 && len(s.Same) > 0 }

// SameParts compares a revision with the present job: by what shapes it, or, where the
// present job or one shaped like it was built, part by part. plate 0 is all plates.
func (e *Entries) SameParts(old *Revision, plate int, now Present) Same {
	laid := e.laid(old.ID)
	if len(laid) == 0 || old.Shape == "" || old.Program != now.Program {
		return Same{}
	}
	shape := now.shape()
	var present map[string]string
	if old.Shape != shape {
		i := slices.IndexFunc(e.Revisions, func(v Revision) bool {
			return v.Program == now.Program && (v.Digest == now.digest() || v.Shape == shape) && len(e.laid(v.ID)) > 0
		})
		if i < 0 {
			return Same{}
		}
		present = map[string]string{}
		for _, l := range e.laid(e.Revisions[i].ID) {
			present[l.Name] = l.Shape
		}
	}
	s := Same{Known: true}
	for _, l := range laid {
		switch {
		case plate > 0 && l.Plate != plate:
		case present == nil || present[l.Name] == l.Shape:
			s.Same = append(s.Same, l.Name)
		default:
			s.Other = append(s.Other, l.Name)
		}
	}
	return s
}

// laid is the parts of a revision as they lie on its plates.
func (e *Entries) laid(revision string) (out []Laid) {
	for _, l := range e.Laids {
		if l.Revision == revision {
			out = append(out, l)
		}
	}
	return out
}

// GoodParts is the parts of the present master that were printed and can be used, by
// their names, whichever run, plate or revision they came from: good parts of a failed
// run count, and so do parts of an earlier revision that are the same in this one.
func (e *Entries) GoodParts(now Present) map[string]bool {
	same := map[string]map[string]bool{} // by the revision's code
	for i := range e.Revisions {
		o := &e.Revisions[i]
		for _, name := range e.SameParts(o, 0, now).Same {
			if same[o.Code] == nil {
				same[o.Code] = map[string]bool{}
			}
			same[o.Code][name] = true
		}
	}
	return e.goodParts(now.Code(), same)
}

// goodParts is those of a revision's code, and of others that name them as the same.
func (e *Entries) goodParts(code string, same map[string]map[string]bool) map[string]bool {
	runs := map[string]string{}
	for _, p := range e.Prints {
		runs[p.ID] = p.Code
	}
	out := map[string]bool{}
	for _, p := range e.lastParts() {
		of, ok := runs[p.Print]
		if ok && p.Outcome != "failed" && (of == code || same[of][p.Name]) {
			out[p.Name] = true
		}
	}
	return out
}

var plateInName = regexp.MustCompile(`^plates/plate-(\d+)-`)

// plateNumber is the number of the plate that a file of a build is; 0: it is no plate.
func plateNumber(file string) int {
	m := plateInName.FindStringSubmatch(file)
	if m == nil {
		return 0
	}
	n, _ := strconv.Atoi(m[1])
	return n
}

// tellSame adds to the verdict on an older revision which of its parts are the same now.
// file is the file of it that was asked about; empty: its code was.
func (e *Entries) tellSame(v *Verdict, o *Revision, file string, now Present) {
	plate := plateNumber(file)
	if file != "" && plate == 0 { // a sheet, the plan: it is of its own revision only
		return
	}
	s := e.SameParts(o, plate, now)
	v.Same, v.Other = append(v.Same, s.Same...), append(v.Other, s.Other...)
	switch {
	case s.All() && plate > 0:
		v.Words += fmt.Sprintf("; yet every part on this plate is the same in the present revision, but for the code engraved on it (%s)", o.Code)
		v.Do = "print it or use it as it is; new sheets come with the next build"
	case s.All():
		v.Words += "; yet every part of it is the same in the present revision, but for the engraved code"
		v.Do = "parts with this code can be used; new sheets come with the next build"
	case len(s.Same) > 0:
		v.Words += fmt.Sprintf("; of its %d parts %d are the same in the present revision", len(s.Same)+len(s.Other), len(s.Same))
		v.Do = "use those that are the same, and print the others from the new files"
	case !s.Known:
		v.Do = "build the job: then it can be told which parts are still the same"
	}
}

// PlaceWords is where on a plate a place is, in shares of its width and depth: the plate
// is divided into nine.
func PlaceWords(x, y float64) string {
	third := func(v float64) int { return min(max(int(v*3), 0), 2) }
	words := [3][3]string{{"front left", "front", "front right"}, {"left", "middle", "right"}, {"back left", "back", "back right"}}
	return words[third(y)][third(x)]
}

// partsOn names the parts of a revision's plate, of all plates with 0; none where the
// record does not know them.
func (e *Entries) partsOn(revision string, plate int) (names []string) {
	for _, l := range e.laid(revision) {
		if plate == 0 || l.Plate == plate {
			names = append(names, l.Name)
		}
	}
	return names
}
