package flow

import (
	"regexp"
	"strings"

	"mouldwright/internal/base/finding"
)

// numbered is a place that ends with a number: "mould of tray 2".
var numbered = regexp.MustCompile(`^(.* )([0-9]+)$`)

// gatherLike makes one remark of those that say the same of several things, such as
// pieces or trays: "crest: printer.layer_mm" and "bee: printer.layer_mm". The first one's
// figures and place stand for all, and the others are named. Only what asks for the same
// remedy, or for the same in the same words, is joined; of longer words what all begin with
// stays.
func gatherLike(list []finding.Finding) []finding.Finding {
	type group struct {
		at     int
		things []string
		what   string
	}
	groups := map[string]*group{}
	out := make([]finding.Finding, 0, len(list))
	for _, f := range list {
		thing, key, ok := strings.Cut(f.Where, ": ")
		if !ok {
			m := numbered.FindStringSubmatch(f.Where)
			if m == nil {
				out = append(out, f)
				continue
			}
			thing, key = f.Where, m[1]
		}
		same := figures.ReplaceAllString(f.Do, "#")
		if f.Remedy.Key != "" {
			same = f.Remedy.Key + "=" + f.Remedy.Value
		}
		id := strings.Join([]string{string(f.Severity), key, figures.ReplaceAllString(f.What, "#"), same}, "\n")
		g := groups[id]
		if g == nil {
			groups[id] = &group{at: len(out), things: []string{thing}, what: f.What}
			out = append(out, f)
			continue
		}
		g.things = append(g.things, thing)
		first := &out[g.at]
		first.What = g.what + "; nearly the same of " + inWords(g.things[1:])
		if f.Remedy.Key != "" {
			first.Do = begun(first.Do, f.Do)
		}
	}
	return out
}

// inWords joins names: "a, b and c".
func inWords(list []string) string {
	if len(list) == 1 {
		return list[0]
	}
	return strings.Join(list[:len(list)-1], ", ") + " and " + list[len(list)-1]
}

// begun is what two texts begin with alike, up to a comma.
func begun(a, b string) string {
	if a == b {
		return a
	}
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	if i := strings.LastIndex(a[:n], ", "); i > 0 {
		return a[:i]
	}
	return a
}
