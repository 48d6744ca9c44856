package main

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/build"
	"mouldwright/internal/flow"
	"mouldwright/internal/job"
	"mouldwright/internal/output"
	"mouldwright/internal/record"
)

type buildCommand struct {
	Job   string `arg:"" type:"job" help:"The job file, or its folder."`
	Out   string `short:"o" placeholder:"OUT" help:"Folder for the results: a new one, or the results of an earlier build. Without it: out beside the job file, or again beside it for parts printed again."`
	Paper string `enum:"A4,Letter" default:"A4" help:"Paper of the sheets: A4 or Letter."`
	JSON  bool   `name:"json" help:"Print the plan as JSON instead of words."`

	Layers bool  `help:"Also write the layer images of every plate, as a zip of PNG files with an index."`
	Only   []int `placeholder:"3,7" help:"Print just these parts again: only their plates are made, of the same revision. Numbers as in part_numbers in plan.json and on the plates' sheet."`
}

// loadNow reads a job with what happened before, as of now.
func loadNow(ctx context.Context, path string) (*job.Job, *flow.Input, error) {
	j, in, err := job.Load(ctx, path)
	if err != nil {
		return nil, nil, err
	}
	in.Past, err = record.PastOf(ctx, path, record.Options{Version: version})
	build.Moment(&in.Past)
	return j, in, err
}

func (c *buildCommand) Run(t *terminal) error {
	j, in, err := loadNow(t.ctx, c.Job)
	if err != nil {
		return err
	}
	if len(c.Only) > 0 {
		c.Out = cmp.Or(c.Out, filepath.Join(filepath.Dir(c.Job), "again"))
		if err := keepWhole(c.Out); err != nil {
			return err
		}
	}
	c.Out = cmp.Or(c.Out, filepath.Join(filepath.Dir(c.Job), "out"))
	out, err := output.Open(c.Out)
	if err != nil {
		return err
	}
	defer out.Abandon()
	p := newProgress(t.stderr)
	built := &record.Built{JobText: j.Text}
	r, err := build.Into(t.ctx, in, out, build.Options{Version: version, Paper: c.Paper, Progress: p.show, Built: built, Layers: c.Layers, Only: c.Only})
	p.clear()
	if err != nil {
		return j.Placed(err)
	}
	if finding.Worst(r.Plan.Findings) == finding.Stop {
		return t.stopped(r, c.JSON)
	}
	if err := out.Commit(); err != nil {
		return err
	}
	if len(c.Only) > 0 {
		return t.made(r, c, built.Made) // the revision is the one that was built whole
	}
	// The results are whole; that they could not be remembered is no reason to refuse them.
	if err := build.Remember(t.ctx, c.Job, built, version); err != nil {
		fmt.Fprintln(t.stderr, "care: this revision is not in the record: "+err.Error())
	}
	return t.made(r, c, built.Made)
}

// made prints what a build found and every file that it made.
func (t *terminal) made(r *flow.Result, c *buildCommand, files []record.File) error {
	if err := t.tell(r, c.JSON); err != nil || c.JSON {
		return err
	}
	fmt.Fprintln(t.stdout)
	for _, f := range files {
		fmt.Fprintln(t.stdout, filepath.Join(c.Out, filepath.FromSlash(f.Name)))
	}
	return nil
}

// tell prints what a build or check found: findings to stderr, results to stdout.
func (t *terminal) tell(r *flow.Result, asJSON bool) error {
	if asJSON {
		e := json.NewEncoder(t.stdout)
		e.SetIndent("", "  ")
		return e.Encode(&r.Plan)
	}
	t.say(r.Plan.Findings)
	for _, line := range summary(&r.Plan) {
		fmt.Fprintln(t.stdout, line)
	}
	return nil
}

// stopped prints the findings of a plan that must not go on.
func (t *terminal) stopped(r *flow.Result, asJSON bool) error {
	if asJSON {
		if err := t.tell(r, true); err != nil {
			return err
		}
		return errFinding
	}
	t.say(r.Plan.Findings)
	fmt.Fprintln(t.stderr, "mouldwright: nothing was written; mend what says stop first")
	return errFinding
}
