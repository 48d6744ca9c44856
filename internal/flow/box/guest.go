package box

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"mouldwright/internal/base/finding"
)

// Columns of the name list that speak of the box; any other column is a variable of
// the pieces' texts alone.
const (
	colBoxes       = "boxes"
	colAllergies   = "allergies"
	colDislikes    = "dislikes"
	colVegan       = "vegan"
	colAlcoholFree = "alcohol_free"
	colOwn         = "own_piece"
)

// Avoid is one thing that a guest must not or will not eat.
type Avoid struct {
	Word   string   // as written
	Groups []string // keys of the groups that it means; none for a food of its own
	words  []string
}

// avoid reads one word or phrase.
func avoid(s string) Avoid {
	a := Avoid{Word: s, words: words(s)}
	if g, ok := asks[plain(s)]; ok {
		a.Groups = g
	} else {
		a.Groups = GroupsIn(s)
	}
	return a
}

// maxAvoid bounds what one guest avoids (our choice: more than all allergens and kinds).
const maxAvoid = 40

// NewGuest reads a row of the name list.
func NewGuest(person string, row int, vars map[string]string) (Guest, error) {
	g := Guest{Person: person, Row: row, Boxes: 1}
	refuse := func(col, found, allowed string) error {
		return &finding.Error{Key: "names", Found: fmt.Sprintf("%s: column %q: %s", person, col, found), Allowed: allowed, Do: "mend that entry of the name list"}
	}
	var err error
	if s := strings.TrimSpace(vars[colBoxes]); s != "" {
		if g.Boxes, err = strconv.Atoi(s); err != nil || g.Boxes < 0 || g.Boxes > 1000 {
			return g, refuse(colBoxes, strconv.Quote(s), "a whole number from 0 to 1000; empty is 1")
		}
	}
	for _, c := range []struct {
		col string
		to  *bool
	}{{colVegan, &g.Vegan}, {colAlcoholFree, &g.AlcoholFree}} {
		switch strings.ToLower(strings.TrimSpace(vars[c.col])) {
		case "", "no", "n", "false", "0", "-":
		case "yes", "y", "true", "1", "x", c.col, "alcohol-free", "alcohol free":
			*c.to = true
		default:
			return g, refuse(c.col, strconv.Quote(vars[c.col]), "yes or no; empty is no")
		}
	}
	switch strings.ToLower(strings.TrimSpace(vars[colOwn])) {
	case "", "yes", "y", "true", "1", "x":
	case "no", "n", "false", "0", "-":
		g.NoOwn = true
	default:
		return g, refuse(colOwn, strconv.Quote(vars[colOwn]), "yes or no; empty is yes")
	}
	for _, c := range []struct {
		col string
		to  *[]Avoid
	}{{colAllergies, &g.Allergies}, {colDislikes, &g.Dislikes}} {
		for _, s := range strings.FieldsFunc(vars[c.col], func(r rune) bool { return strings.ContainsRune(",;/+&", r) }) {
			s = strings.TrimSpace(s)
			switch strings.ToLower(s) {
			case "", "none", "no", "-", "nothing":
				continue
			case "vegan":
				g.Vegan = true
				continue
			}
			if len(*c.to) == maxAvoid {
				return g, refuse(c.col, "more than "+strconv.Itoa(maxAvoid)+" things", "at most "+strconv.Itoa(maxAvoid))
			}
			*c.to = append(*c.to, avoid(s))
		}
	}
	return g, nil
}

// in tells whether a thing to avoid stands in one of the texts.
func (a *Avoid) in(texts []string) bool {
	return slices.ContainsFunc(texts, func(t string) bool { return a.inWords(words(t)) })
}

// inWords tells whether all of its words are among these.
func (a *Avoid) inWords(ws []string) bool {
	for _, w := range a.words {
		if !slices.Contains(ws, w) {
			return false
		}
	}
	return len(a.words) > 0
}

// Spelling looks for words that keep nothing from anybody: an allergy that names no
// group and no food of the job. One that is nearly a known word is likely a slip of the
// pen, and must be mended.
func Spelling(guests []Guest, kinds []Kind) []finding.Finding {
	var known []string
	for i := range groups {
		known = append(append(append(known, groups[i].key), groups[i].names...), groups[i].brings...)
	}
	var texts []string
	for i := range kinds {
		texts = append(texts, kinds[i].texts()...)
	}
	for _, t := range texts {
		known = append(known, words(t)...)
	}
	slices.Sort(known)
	known = slices.Compact(known)
	var list []finding.Finding
	seen := map[string]bool{}
	for i := range guests {
		g := &guests[i]
		for k := range g.Allergies {
			a := &g.Allergies[k]
			if len(a.Groups) > 0 || a.in(texts) || seen[plain(a.Word)] {
				continue
			}
			seen[plain(a.Word)] = true
			f := finding.Finding{Severity: finding.Care, Where: "names", What: fmt.Sprintf("%s: the allergy %q is no allergen of the lists and in no recipe of this job, so nothing is kept away for it", g.Person, a.Word),
				Do: "look at its spelling, and ask whether it may be in a bought ingredient"}
			if near := nearest(a.words, known); near != "" {
				f.Severity, f.What = finding.Stop, fmt.Sprintf("%s: the allergy %q is not known; %q is", g.Person, a.Word, near)
				f.Do = fmt.Sprintf("write %s, or another word for what is meant", near)
			}
			list = append(list, f)
		}
	}
	return list
}

// nearest is a known word one slip away from one of the words, two for a long one.
func nearest(ws, known []string) string {
	for _, w := range ws {
		most := 1
		if len(w) > 6 {
			most = 2
		}
		if len([]rune(w)) < 4 {
			continue
		}
		for _, k := range known {
			if len(k) >= 4 && k != w && finding.Slips(w, k) <= most {
				return k
			}
		}
	}
	return ""
}
