package record

import (
	"slices"
	"strings"

	"mouldwright/internal/flow"
)

// Learned is how long things really took, by the step: of prints, pours, cures and
// chilling as a share of what the plan had said, of everything else in minutes for each
// one. The latest comes last.
func (e *Entries) Learned() flow.Learned {
	var out flow.Learned // nil while nothing was learned, as without a record
	add := func(step string, minutes, of float64) {
		if minutes > 0 && of > 0 {
			if out == nil {
				out = flow.Learned{}
			}
			out[step] = append(out[step], minutes/of)
		}
	}
	for _, p := range e.Prints {
		add(flow.StepPrint, p.Minutes, p.PlannedMin)
	}
	for _, x := range e.TimerEnds {
		i := slices.IndexFunc(e.Timers, func(t Timer) bool { return t.ID == x.Timer })
		if i >= 0 && x.PlannedMin > 0 && strings.HasPrefix(e.Timers[i].Name, "cup ") {
			add(flow.StepPour, x.At.Sub(e.Timers[i].At).Minutes(), x.PlannedMin)
		}
	}
	for _, t := range e.Tooks {
		if slices.Contains(flow.Ratios, t.Step) {
			add(t.Step, t.Minutes, t.PlannedMin)
		} else {
			add(t.Step, t.Minutes, float64(max(1, t.Count)))
		}
	}
	return out
}
