package build

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"mouldwright/internal/flow"
	"mouldwright/internal/job"
	"mouldwright/internal/output"
	"mouldwright/internal/record"
)

const leaf = `title = "Two leaves"
needed = 2027-02-14
pitch_mm = 0.15

[printer]
pixel_mm = 0.08

[chocolate.dark]

[[piece]]
name = "heart"
count = 2
chocolate = "dark"
outline = "heart"
width_mm = 30
height_mm = 9

[[piece]]
name = "coin"
count = 2
chocolate = "dark"
outline = "round"
width_mm = 24
height_mm = 7
`

// inputOf reads a job's text.
func inputOf(t *testing.T, text string) *flow.Input {
	t.Helper()
	j, err := job.Read("job.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return &flow.Input{Choices: j.Choices, Files: map[string][]byte{}}
}

// remembered builds a text and keeps it.
func remembered(t *testing.T, path, text string) (*flow.Plan, record.Present) {
	t.Helper()
	in := inputOf(t, text)
	out, err := output.Open(filepath.Join(t.TempDir(), "out"))
	if err != nil {
		t.Fatal(err)
	}
	defer out.Abandon()
	b := record.Built{JobName: path, JobText: []byte(text), Input: in}
	r, err := Into(context.Background(), in, out, Options{Version: "1.0", Paper: "A4", Built: &b})
	if err != nil || b.Plan == nil {
		t.Fatalf("%v, %v", err, r)
	}
	if err := Remember(t.Context(), path, &b, "1.0"); err != nil {
		t.Fatal(err)
	}
	return b.Plan, record.Present{Input: in, Program: "1.0"}
}

// A part that was printed before a price or the free hours changed counts for the present
// master, without a build; one printed before a coin grew counts if it does not carry
// coins, once the present job was built.
func TestGoodPartsOfEarlierRevisions(t *testing.T) {
	stillPx = 64
	path := filepath.Join(t.TempDir(), "job.toml")
	plan, _ := remembered(t, path, leaf)
	r, err := record.Open(t.Context(), path, record.Options{Version: "1.0"})
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	parts := 0
	for i, pl := range plan.Plates {
		told, err := r.Told(t.Context(), "print", []string{fmt.Sprint("plate=", i+1), "minutes=210", "good=" + strings.Join(pl.Parts, ";")}, nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := r.Write(t.Context(), told...); err != nil {
			t.Fatal(err)
		}
		if p := told[0].(*record.Print); p.PlannedMin != pl.PrintTimeMin.Likely || p.ResinML != pl.ResinML {
			t.Errorf("the plan's numbers are not with the print: %+v", p)
		}
		parts += len(pl.Parts)
	}
	good := func(now record.Present) int {
		e, err := r.Standing(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return len(e.GoodParts(now))
	}
	verdict := func(now record.Present) record.Verdict {
		v, err := record.VerifyCode(t.Context(), r, plan.Revision, now)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	everything := leaf
	// What changes the revision and no part of it.
	for _, edit := range []string{"learn = false\n", "[[price]]\nwhat = \"dark chocolate\"\nprice = 9\n", "[calendar]\nmonday = []\n", "[silicone]\ncure_h = 20\n", "[kitchen]\nroom_c = 18\n", "[resin]\nexposure_s = 3\n", "[plate]\ngap_mm = 6\n"} {
		text := strings.Replace(leaf, "pitch_mm", edit+"pitch_mm", 1)
		if strings.HasPrefix(edit, "[") {
			text = leaf + edit
		}
		now := record.Present{Input: inputOf(t, text), Program: "1.0"}
		v := verdict(now)
		if v.Kind != "older" || len(v.Same) != parts || len(v.Other) != 0 || !v.AsPrinted() || good(now) != parts {
			t.Errorf("after %s: %+v, %d parts are good", edit, v, good(now))
		}
		everything = strings.Replace(everything, leaf, text, 1)
		if strings.HasPrefix(edit, "[") && !strings.Contains(everything, edit) {
			everything += edit
		}
	}
	// The parts really are the same when all of that is changed at once.
	q, err := flow.Build(t.Context(), inputOf(t, everything), flow.Options{Version: "1.0", Only: []int{1}})
	if err != nil || q.Master == nil {
		t.Fatal(err)
	}
	for _, p := range q.Master.Parts {
		if fmt.Sprintf("%x", p.Shape) != shapeOf(t, r, p.Name) {
			t.Errorf("%s is another part", p.Name)
		}
	}
	if v := verdict(record.Present{Input: inputOf(t, leaf), Program: "1.1"}); v.AsPrinted() || len(v.Same) > 0 {
		t.Errorf("by another program: %+v", v)
	}
	taller := strings.Replace(leaf, "height_mm = 7", "height_mm = 7.4", 1)
	now := record.Present{Input: inputOf(t, taller), Program: "1.0"}
	if v := verdict(now); v.AsPrinted() || good(now) != 0 {
		t.Errorf("not built yet: %+v", v)
	}
	_, now = remembered(t, path, taller)
	v := verdict(now)
	if v.AsPrinted() || len(v.Other) == 0 || good(now) != len(v.Same) || len(v.Same)+len(v.Other) != parts {
		t.Errorf("a taller coin: %+v, %d parts are good", v, good(now))
	}
	if i := slices.IndexFunc(v.Other, func(s string) bool { return strings.Contains(s, "tile") }); i < 0 {
		t.Errorf("the tile with the coin is not among %v", v.Other)
	}
}

// shapeOf is what the record has of a part of its first revision.
func shapeOf(t *testing.T, r *record.Record, name string) string {
	t.Helper()
	e, err := r.All(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range e.Laids {
		if l.Revision == e.Revisions[0].ID && l.Name == name {
			return l.Shape
		}
	}
	return ""
}
