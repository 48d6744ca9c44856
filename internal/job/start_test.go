package job_test

import (
	"context"
	"fmt"
	"path/filepath"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/job"
)

// Whatever a person answers, they stand before pieces that can be built.
func TestEveryBeginningBuilds(t *testing.T) {
	s := flow.NewSketcher("test")
	for _, set := range job.Sets {
		for _, printer := range material.Names(material.Printers) {
			for _, boxes := range []int{1, 40} {
				a := job.Answers{Art: set.Art, Title: "Ysoline and Bertrand", Needed: unit.Date{Year: 2027, Month: 5, Day: 8}, Printer: printer, Boxes: boxes}
				if boxes > 1 {
					a.Names = []string{"Ysoline", "Bertrand", "Maximiliana", "Oda"}
				}
				dir := filepath.Join(t.TempDir(), "gifts")
				if err := job.Begin(dir, a); err != nil {
					t.Fatalf("%+v: %v", a, err)
				}
				j, in, err := job.Load(context.Background(), filepath.Join(dir, "job.toml"))
				if err != nil {
					t.Fatalf("%+v: %v", a, err)
				}
				if c := j.Choices; c.Title != a.Title || c.Needed != a.Needed || c.Boxes != boxes || c.Printer.Class != printer || c.Pieces[len(c.Pieces)-1].Count != 2*boxes {
					t.Errorf("%+v gives %q, %v, %d boxes, %q, %d pieces", a, c.Title, c.Needed, c.Boxes, c.Printer.Class, c.Pieces[len(c.Pieces)-1].Count)
				}
				r, err := s.Sketch(context.Background(), in)
				if err != nil {
					t.Fatalf("%+v: %v", a, err)
				}
				for _, f := range r.Plan.Findings {
					if f.Severity == finding.Stop {
						t.Errorf("%s, %s, %d boxes: %s", set.Name, printer, boxes, f)
					}
				}
				if len(r.Plan.Plates) == 0 {
					t.Errorf("%s, %s: no plates", set.Name, printer)
				}
			}
		}
	}
}

func TestBeginRefuses(t *testing.T) {
	full := t.TempDir()
	if err := job.Start(filepath.Join(full, "gifts")); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		dir string
		a   job.Answers
	}{
		{full, job.Answers{Set: "names"}},
		{"new", job.Answers{Set: "no such"}},
		{"new", job.Answers{Art: "no such"}},
		{"new", job.Answers{Set: "leaf", Printer: "no such"}},
		{"new", job.Answers{Set: "leaf", Boxes: 1e6}},
		{"new", job.Answers{Set: "leaf", Title: fmt.Sprintf("%100s", "x") + fmt.Sprintf("%0100d", 0)}},
		{"new", job.Answers{Set: "names", Names: []string{"a\x00b"}}},
	} {
		dir := c.dir
		if dir == "new" {
			dir = filepath.Join(t.TempDir(), "new")
		}
		if err := job.Begin(dir, c.a); err == nil {
			t.Errorf("%+v in %s: no refusal", c.a, c.dir)
		}
	}
}
