package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/job"
	"mouldwright/internal/record"
)

type recordCommand struct {
	Show    recordShow    `cmd:"" help:"Tell what is in the record."`
	Add     recordAdd     `cmd:"" help:"Write down what happened: a cure test, a print, a pour, a mould, a batch, a box, stock."`
	Trace   recordTrace   `cmd:"" help:"From a box to the lots of everything in it, or from a lot to boxes and receivers."`
	Check   recordCheck   `cmd:"" help:"Look for any damage."`
	Export  recordExport  `cmd:"" help:"Write everything as JSON Lines and CSV, with the photos, into a new folder."`
	Import  recordImport  `cmd:"" help:"Take in what an export wrote; what is there already is left alone."`
	Backup  recordBackup  `cmd:"" help:"Make a backup now, or list the backups."`
	Restore recordRestore `cmd:"" help:"Put a backup in the place of the record, which is kept aside."`
}

func recordOptions() record.Options { return record.Options{Version: version} }

// withRecord opens the record of a job for a command. make: there need not be one.
func withRecord(t *terminal, path string, create bool, do func(*record.Record) error) error {
	open := record.OpenExisting
	if create {
		open = record.Open
	}
	r, err := open(t.ctx, path, recordOptions())
	if err == record.ErrNone {
		return &finding.Error{File: record.Path(path), Found: "there is no record yet", Do: "build the job, or write something down with mouldwright record add"}
	} else if err != nil {
		return err
	}
	defer r.Close()
	return do(r)
}

type recordShow struct {
	Job  string `arg:"" type:"job" help:"The job file, or its folder."`
	JSON bool   `name:"json" help:"Print every entry as a line of JSON."`
}

func (c *recordShow) Run(t *terminal) error {
	return withRecord(t, c.Job, false, func(r *record.Record) error {
		if c.JSON {
			return r.Lines(t.ctx, t.stdout)
		}
		e, err := r.Standing(t.ctx)
		if err != nil {
			return err
		}
		for _, line := range e.Words() {
			fmt.Fprintln(t.stdout, line)
		}
		return nil
	})
}

type recordAdd struct {
	Kind   string   `arg:"" help:"What: cure-test, print, pour, weighing, mould, mould-use, batch, box, stock, stock-move, point, task, withdrawal and so on."`
	Job    string   `arg:"" type:"job" help:"The job file, or its folder."`
	Fields []string `arg:"" optional:"" placeholder:"KEY=VALUE" help:"Its fields; the instant is now unless at= says otherwise."`
}

func (c *recordAdd) Run(t *terminal) error {
	j, _, err := job.Load(t.ctx, c.Job)
	if err != nil {
		return err
	}
	return withRecord(t, c.Job, true, func(r *record.Record) error {
		list, err := r.Told(t.ctx, c.Kind, c.Fields, ownWords(c.Kind, j))
		if err != nil {
			return err
		}
		if err := r.Write(t.ctx, list...); err != nil {
			return err
		}
		fmt.Fprintf(t.stdout, "%s %s\n", c.Kind, record.ID(list[0]))
		return nil
	})
}

// ownWords are the job's own words for fields that a person leaves out.
func ownWords(kind string, j *job.Job) map[string]string {
	own := j.Choices
	switch kind {
	case "cure-test":
		return map[string]string{"resin": own.Resin.Called(), "treatment": own.Pour.Treatment, "coating": own.Pour.Coating, "silicone": own.Silicone.Called()}
	case "print":
		return map[string]string{"resin": own.Resin.Called()}
	case "weighing":
		return map[string]string{"silicone": own.Silicone.Called()}
	case "pour":
		return map[string]string{"silicone": own.Silicone.Called()}
	}
	return nil
}

type recordTrace struct {
	Asked string `arg:"" help:"Lot of a box, of a batch, of an ingredient, or a receiver's name."`
	Job   string `arg:"" type:"job" help:"The job file, or its folder."`
	JSON  bool   `name:"json" help:"Print the answer as JSON."`
}

func (c *recordTrace) Run(t *terminal) error {
	return withRecord(t, c.Job, false, func(r *record.Record) error {
		e, err := r.Standing(t.ctx)
		if err != nil {
			return err
		}
		tr := e.Trace(c.Asked)
		if c.JSON {
			out := json.NewEncoder(t.stdout)
			out.SetIndent("", "  ")
			return out.Encode(tr)
		}
		if tr.What == "nothing" {
			return &finding.Error{Found: fmt.Sprintf("no box, batch, lot or receiver %q", c.Asked), Do: "mouldwright record show lists what there is"}
		}
		fmt.Fprintf(t.stdout, "%s %s\n", tr.What, c.Asked)
		for _, b := range tr.Boxes {
			fmt.Fprintf(t.stdout, "box %s, for %s, %s: %s\n", b.Lot, b.Receiver, b.At.Local().Format(time.DateOnly), strings.Join(b.Holds, ", "))
		}
		for _, b := range tr.Batches {
			fmt.Fprintf(t.stdout, "batch %s, %s, %s: %s\n", b.Lot, b.What, b.At.Local().Format(time.DateOnly), strings.Join(b.From, ", "))
		}
		for _, l := range tr.Lots {
			fmt.Fprintf(t.stdout, "lot %s of %s\n", l.Lot, l.What)
		}
		return nil
	})
}

type recordCheck struct {
	Job string `arg:"" type:"job" help:"The job file, or its folder."`
}

func (c *recordCheck) Run(t *terminal) error {
	list, err := record.Check(t.ctx, c.Job, recordOptions())
	if err == record.ErrNone {
		return withRecord(t, c.Job, false, nil)
	} else if err != nil {
		return err
	}
	for _, f := range list {
		fmt.Fprintf(t.stderr, "%s: %s\n", f.Severity, f)
	}
	if finding.Worst(list) == finding.Stop {
		return errFinding
	}
	fmt.Fprintln(t.stdout, "the record is sound")
	return nil
}

type recordExport struct {
	Job string `arg:"" type:"job" help:"The job file, or its folder."`
	Out string `short:"o" required:"" placeholder:"DIR" help:"A new folder."`
}

func (c *recordExport) Run(t *terminal) error {
	return withRecord(t, c.Job, false, func(r *record.Record) error {
		if err := r.Export(t.ctx, c.Out); err != nil {
			return err
		}
		fmt.Fprintln(t.stdout, c.Out)
		return nil
	})
}

type recordImport struct {
	From string `arg:"" help:"The folder that an export wrote, or its record.jsonl."`
	Job  string `arg:"" type:"job" help:"The job file, or its folder."`
}

func (c *recordImport) Run(t *terminal) error {
	if _, _, err := job.Load(t.ctx, c.Job); err != nil {
		return err
	}
	return withRecord(t, c.Job, true, func(r *record.Record) error {
		n, err := r.Import(t.ctx, c.From)
		if err != nil {
			return err
		}
		fmt.Fprintf(t.stdout, "%s taken in, %d were there already\n", entries(n.New), n.There)
		return nil
	})
}

func entries(n int) string {
	if n == 1 {
		return "1 entry"
	}
	return fmt.Sprintf("%d entries", n)
}

type recordBackup struct {
	Job  string `arg:"" type:"job" help:"The job file, or its folder."`
	List bool   `help:"List the backups instead."`
}

func (c *recordBackup) Run(t *terminal) error {
	if c.List {
		list, err := record.Backups(c.Job)
		for _, b := range list {
			fmt.Fprintf(t.stdout, "%s  %d bytes\n", strings.TrimSuffix(b.Name, ".record"), b.Size)
		}
		return err
	}
	return withRecord(t, c.Job, false, func(r *record.Record) error {
		path, err := r.Backup(t.ctx)
		if err == nil {
			fmt.Fprintln(t.stdout, path)
		}
		return err
	})
}

type recordRestore struct {
	Job    string `arg:"" type:"job" help:"The job file, or its folder."`
	Backup string `arg:"" optional:"" help:"Which backup, as backup --list names it; without it the newest."`
}

func (c *recordRestore) Run(t *terminal) error {
	replaced, err := record.Restore(t.ctx, c.Job, c.Backup, time.Now())
	if err != nil {
		return err
	}
	fmt.Fprintln(t.stdout, record.Path(c.Job))
	if replaced != "" {
		fmt.Fprintln(t.stderr, "what was there is kept as "+replaced)
	}
	return nil
}
