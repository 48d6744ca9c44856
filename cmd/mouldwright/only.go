package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
)

// keepWhole refuses to put the plates of some parts in the place of a whole build.
func keepWhole(out string) error {
	text, err := os.ReadFile(filepath.Join(out, "plan.json"))
	if err != nil {
		return nil // nothing to lose, or output.Open says why not
	}
	var p struct{ Only []int }
	if err := json.Unmarshal(text, &p); err == nil && len(p.Only) > 0 {
		return nil
	}
	return &finding.Error{File: out, Found: "it holds the results of a whole build", Allowed: "a new folder, or one made with --only", Do: "another folder after -o, such as again"}
}

// summaryOnly words the plates of some parts.
func summaryOnly(p *flow.Plan) []string {
	lines := []string{fmt.Sprintf("%s, revision %s: %s again", p.Title, p.Revision, plural(len(p.Only), "part"))}
	for i, q := range p.Plates {
		lines = append(lines, fmt.Sprintf("plate %d: %s, %s, %s of resin", i+1, plural(len(q.Parts), "part"), unit.DurationRange(q.PrintTimeMin), unit.Volume(q.ResinML*1000)))
	}
	return lines
}
