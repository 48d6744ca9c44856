package flow

import (
	"fmt"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/plate"
)

// Learned is how what happened differs from what is planned, as the record has it.
type Learned struct {
	Prints     int        // runs of the printer whose time is known
	PrintTimes unit.Range // their time as a share of what the plan had said, uncorrected
}

// PlanLearned is a number of the plan that the record corrects.
type PlanLearned struct {
	What   string     `json:"what" doc:"print times"`
	Factor unit.Range `json:"factor" doc:"by which the plan's own reckoning was multiplied"`
	From   string     `json:"from" doc:"what it is learned from"`
}

// learnTimes corrects the times of prints by those of earlier ones, when the job asks
// for it, and says so in the plan.
func (b *build) learnTimes(p *plate.Plates) {
	l := b.in.Past.Learned
	if p == nil || !b.c.Learn || l.Prints == 0 {
		return
	}
	for i := range p.Plates {
		p.Plates[i].PrintTimeMin = times(p.Plates[i].PrintTimeMin, l.PrintTimes)
	}
	for _, t := range []*unit.Range{&p.PrintTimeMin, &p.BoundMin, &p.ApartMin} {
		*t = times(*t, l.PrintTimes)
	}
	from := "one print in the record"
	if l.Prints > 1 {
		from = fmt.Sprintf("%d prints in the record", l.Prints)
	}
	b.r.Plan.Learned = append(b.r.Plan.Learned, PlanLearned{What: "print times", Factor: l.PrintTimes, From: from})
}

// times multiplies two ranges of positive numbers end by end.
func times(a, b unit.Range) unit.Range {
	return unit.Between(a.Low*b.Low, a.Likely*b.Likely, a.High*b.High)
}
