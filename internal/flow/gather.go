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
// many names share it, and the first of them, come before.
func gather(list []finding.Finding) []finding.Finding {
	type group struct {
		at    int // in the result
		names []string
	}
	groups := map[string]*group{}
	out := make([]finding.Finding, 0, len(list))
	for _, f := range list {
		m := whose.FindStringSubmatch(f.Where)
		if m == nil {
			out = append(out, f)
			continue
		}
		_, name, ok := strings.Cut(m[1], ": ")
		if !ok {
			name = m[1]
		}
		key := string(f.Severity) + "\n" + strings.TrimSuffix(f.Where, m[0]) + "\n" + figures.ReplaceAllString(f.What, "#")
		g := groups[key]
		if g == nil {
			groups[key] = &group{at: len(out), names: []string{name}}
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
		f.Where = whose.ReplaceAllString(f.Where, "")
		f.What = fmt.Sprintf("%d names, %s the first: %s", len(g.names), g.names[0], f.What)
	}
	return out
}

// gatherPieces does the same for remarks whose place is a piece of a named design, such as
// "tag: Ulvhild": those of several names become one of the design.
func gatherPieces(list []finding.Finding, designs []string) []finding.Finding {
	marked := make([]finding.Finding, len(list))
	was := map[string]string{}
	for i, f := range list {
		marked[i] = f
		for _, d := range designs {
			if name, ok := strings.CutPrefix(f.Where, d+": "); ok && !strings.ContainsAny(name, "()") {
				marked[i].Where = d + " (" + name + ")"
				was[marked[i].Where] = f.Where
			}
		}
	}
	out := gather(marked)
	for i := range out {
		if w, ok := was[out[i].Where]; ok {
			out[i].Where = w
		}
	}
	return out
}
