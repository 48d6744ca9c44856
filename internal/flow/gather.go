package flow

import (
	"fmt"
	"regexp"
	"strings"

	"mouldwright/internal/base/finding"
)

// whose is the row at the end of a finding's place: "piece[4].art[1].width_mm (Ysoline)".
var whose = regexp.MustCompile(` \(([^()]*)\)$`)

// figures are what may differ between two remarks that say the same.
var figures = regexp.MustCompile(`[0-9]+(\.[0-9]+)?|'[^']*'|marks?`)

// gather makes one remark of those that say the same of several names, so that a list
// of a hundred names is read in a minute. The first one's figures stand for all; how
// many names share it, and the first of them, come before. Of the designs given, a place
// such as "tag: Ulvhild" is one of a name too; elsewhere a key may follow the design.
func gather(list []finding.Finding, designs []string) []finding.Finding {
	type group struct {
		at    int // in the result
		place string
		names []string
	}
	groups := map[string]*group{}
	out := make([]finding.Finding, 0, len(list))
	for _, f := range list {
		place, name, ok := ofName(f.Where, designs)
		if !ok {
			out = append(out, f)
			continue
		}
		key := string(f.Severity) + "\n" + place + "\n" + figures.ReplaceAllString(f.What, "#")
		g := groups[key]
		if g == nil {
			groups[key] = &group{at: len(out), place: place, names: []string{name}}
			out = append(out, f)
			continue
		}
		g.names = append(g.names, name)
	}
	for _, g := range groups {
		if len(g.names) < 2 {
			continue
		}
		f := &out[g.at]
		f.Where = g.place
		f.What = fmt.Sprintf("%d names, %s the first: %s", len(g.names), g.names[0], f.What)
	}
	return out
}

// ofName splits a finding's place into what all names share and whose it is.
func ofName(where string, designs []string) (place, name string, ok bool) {
	if m := whose.FindStringSubmatch(where); m != nil {
		name = m[1]
		if _, after, cut := strings.Cut(name, ": "); cut {
			name = after
		}
		return strings.TrimSuffix(where, m[0]), name, true
	}
	for _, d := range designs {
		if name, ok = strings.CutPrefix(where, d+": "); ok {
			return d, name, true
		}
	}
	return "", "", false
}
