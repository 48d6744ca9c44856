package flow_test

import (
	"bytes"
	"context"
	"math"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/formattest"
	"mouldwright/internal/base/format/stl"
	"mouldwright/internal/flow"
	"mouldwright/internal/job"
)

const oneBall = `title = "x"
needed = 2027-03-14
[chocolate.dark]
[[piece]]
name = "ball"
chocolate = "dark"
outline = "mesh"
file = "ball.stl"
width_mm = 30
`

// A ball of 30 mm is undercut below its equator by almost its radius, by as much as it
// is wide on either side: rubber around it would stretch to almost twice its length.
// Its volume is that of the cylinder around its lower half less the half ball,
// pi r³ (1 - 2/3).
func TestUndercutInThePlan(t *testing.T) {
	var file bytes.Buffer
	if err := stl.Write(&file, formattest.Sphere(5, 20_000), ""); err != nil {
		t.Fatal(err)
	}
	for text, lets := range map[string]bool{oneBall: false, oneBall + "[mould]\nstretch_safety = 1\n": true} {
		j, err := job.Read("job.toml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		in := &flow.Input{Choices: j.Choices, Assumed: j.Assumed, Files: map[string][]byte{"ball.stl": file.Bytes()}}
		r, err := flow.NewSketcher("test").Sketch(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Plan.Pieces) != 1 || len(r.Plan.Pieces[0].Undercuts) != 1 {
			t.Fatalf("%+v", r.Plan.Pieces)
		}
		u := r.Plan.Pieces[0].Undercuts[0]
		// What lies less than a tenth of a millimetre over the ground is no hollow: at the
		// foot of the ball that is a disc of sqrt(2 r h) = 1.7 mm. Samples are 0.12 mm.
		if u.DepthMM < 15-1.7-0.3 || u.DepthMM > 15.2 || math.Abs(u.VolumeMM3/(math.Pi*15*15*15/3)-1) > 0.02 {
			t.Errorf("%+v", u)
		}
		if math.Abs(u.Stretch-u.DepthMM/15) > 0.02 || u.LetsGo != lets {
			t.Errorf("stretched by %g of %g allowed, lets go: %v", u.Stretch, u.Allowed, u.LetsGo)
		}
		want, n := finding.Care, 0
		if lets {
			want = finding.Note
		}
		for _, f := range r.Plan.Findings {
			if strings.Contains(f.What, "hollow underneath") {
				n++
				if f.Severity != want || f.At.Piece != "ball" || f.Where != "piece[1].file" || !strings.Contains(f.What, "mould.stretch_safety") {
					t.Errorf("%+v", f)
				}
			}
		}
		if n != 1 {
			t.Errorf("%d findings about it", n)
		}
	}
}
