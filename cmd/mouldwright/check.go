package main

import (
	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow"
	"mouldwright/internal/job"
	"mouldwright/internal/record"
)

type checkCommand struct {
	Job  string `arg:"" help:"The job file."`
	JSON bool   `name:"json" help:"Print the plan as JSON instead of words."`
}

func (c *checkCommand) Run(t *terminal) error {
	_, in, err := job.Load(t.ctx, c.Job)
	if err != nil {
		return err
	}
	if in.Past, err = record.PastOf(t.ctx, c.Job, record.Options{Version: version}); err != nil {
		return err
	}
	p := newProgress(t.stderr)
	r, err := flow.Build(t.ctx, in, flow.Options{Version: version, Progress: p.show})
	p.clear()
	if err != nil {
		return err
	}
	if finding.Worst(r.Plan.Findings) == finding.Stop {
		return t.stopped(r, c.JSON)
	}
	return t.tell(r, c.JSON, "")
}
