package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow"
	"mouldwright/internal/job"
	"mouldwright/internal/output"
)

type checkCommand struct {
	Job  string `arg:"" type:"job" help:"The job file, or its folder."`
	JSON bool   `name:"json" help:"Print the plan as JSON instead of words."`
	Mend string `placeholder:"N,…" help:"Change the job file by the remedies with these numbers, which a check prints, or by all of them; comments stay. Then check again."`
}

func (c *checkCommand) Run(t *terminal) error {
	j, in, err := loadNow(t.ctx, c.Job)
	if err != nil {
		return err
	}
	r, err := c.check(t, in)
	if err != nil {
		return j.Placed(err)
	}
	if c.Mend != "" {
		if r, err = c.mend(t, j, in.Past, r); err != nil {
			return err
		}
	}
	if finding.Worst(r.Plan.Findings) == finding.Stop {
		return t.stopped(r, c.JSON)
	}
	return t.tell(r, c.JSON)
}

func (c *checkCommand) check(t *terminal, in *flow.Input) (*flow.Result, error) {
	p := newProgress(t.stderr)
	defer p.clear()
	return flow.Build(t.ctx, in, flow.Options{Version: version, Progress: p.show})
}

// mend changes the job file by remedies of what was found, and checks it again. A file
// that would be worse stays as it is.
func (c *checkCommand) mend(t *terminal, j *job.Job, past flow.Past, r *flow.Result) (*flow.Result, error) {
	all := remedies(r.Plan.Findings)
	var chosen []finding.Remedy
	for _, word := range strings.Split(c.Mend, ",") {
		word = strings.TrimSpace(word)
		if word == "all" {
			chosen = append(chosen, all...)
			continue
		}
		n, err := strconv.Atoi(word)
		if err != nil || n < 1 || n > len(all) {
			return nil, &finding.Error{Key: "--mend", Found: strconv.Quote(word), Allowed: fmt.Sprintf("all, or numbers of remedies: this check has %d", len(all)), Do: "run the check without --mend to see them"}
		}
		chosen = append(chosen, all[n-1])
	}
	text, made, err := job.Mend(j.Text, chosen)
	if err != nil {
		return nil, err
	}
	if len(made) == 0 {
		fmt.Fprintln(t.stderr, "nothing to mend")
		return r, nil
	}
	next, err := job.Read(c.Job, text)
	if err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(filepath.Dir(c.Job))
	if err != nil {
		return nil, err
	}
	defer root.Close()
	in, err := next.Input(t.ctx, root.FS())
	if err != nil {
		return nil, err
	}
	in.Past = past
	after, err := c.check(t, in)
	if err != nil {
		return nil, err
	}
	if finding.Worst(after.Plan.Findings) == finding.Stop && finding.Worst(r.Plan.Findings) != finding.Stop {
		for _, f := range after.Plan.Findings {
			if f.Severity == finding.Stop {
				fmt.Fprintf(t.stderr, "%s: %s\n", f.Severity, f)
			}
		}
		return nil, &finding.Error{File: c.Job, Found: "with these remedies together the work would have to stop", Do: "mend fewer at a time; the file is as it was"}
	}
	if err := output.Edit(c.Job, j.Text, text); err != nil {
		return nil, err
	}
	for _, m := range made {
		fmt.Fprintf(t.stderr, "mended: %s\n", m)
	}
	return after, nil
}

// say prints findings, each with the number of its remedy.
func (t *terminal) say(list []finding.Finding) {
	all := remedies(list)
	for _, f := range list {
		fmt.Fprintf(t.stderr, "%s: %s\n", f.Severity, f)
		if n := slices.Index(all, f.Remedy); n >= 0 {
			m := job.Mending{Key: f.Remedy.Key, To: f.Remedy.Value}
			fmt.Fprintf(t.stderr, "  remedy %d: %s\n", n+1, m.Do())
		}
	}
	if len(all) > 0 {
		fmt.Fprintf(t.stderr, "check --mend 1 makes remedy 1, --mend all makes all of them\n")
	}
}

// remedies lists the mechanical remedies of findings, in their order, each once.
func remedies(list []finding.Finding) []finding.Remedy {
	var out []finding.Remedy
	for _, f := range list {
		if f.Remedy != (finding.Remedy{}) && !slices.Contains(out, f.Remedy) {
			out = append(out, f.Remedy)
		}
	}
	return out
}
