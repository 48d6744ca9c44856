package flow

import (
	"testing"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/plate"
)

// Prints that took a tenth longer make the plan's times a tenth longer, unless the job
// says not to learn.
func TestLearnTimes(t *testing.T) {
	for _, learn := range []bool{true, false} {
		b := &build{in: &Input{Past: Past{Learned: Learned{Prints: 3, PrintTimes: unit.Between(1, 1.25, 1.5)}}}, c: &Choices{Learn: learn}, r: &Result{}}
		p := &plate.Plates{Plates: []plate.Plate{{PrintTimeMin: unit.Between(100, 200, 300)}}, PrintTimeMin: unit.Between(100, 200, 300)}
		b.learnTimes(p)
		want, told := unit.Between(100, 200, 300), 0
		if learn {
			want, told = unit.Between(100, 200*1.25, 300*1.5), 1
		}
		if p.PrintTimeMin != want || p.Plates[0].PrintTimeMin != want || len(b.r.Plan.Learned) != told {
			t.Errorf("learn %v: %v, %v", learn, p.PrintTimeMin, b.r.Plan.Learned)
		}
	}
}
