package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/job"
	"mouldwright/internal/record"
)

type verifyCommand struct {
	What string `arg:"" placeholder:"FILE-OR-CODE" help:"A file that a build made, or a code as it stands on a part or a sheet."`
	Job  string `arg:"" type:"job" help:"The job file, or its folder."`
	JSON bool   `name:"json" help:"Print the answer as JSON instead of words."`
}

// maxVerified bounds a file that is verified: the largest plates are some 100 MB.
const maxVerified = 2 << 30

func (c *verifyCommand) Run(t *terminal) error {
	_, in, err := job.Load(t.ctx, c.Job)
	if err != nil {
		return err
	}
	r, err := record.OpenExisting(t.ctx, c.Job, record.Options{Version: version})
	if err != nil && err != record.ErrNone {
		return err
	}
	if r != nil {
		defer r.Close()
	}
	now := record.Present{Input: in, Program: version}
	var v record.Verdict
	info, err := os.Stat(c.What)
	switch {
	case err == nil && info.Mode().IsRegular() && info.Size() <= maxVerified:
		data, err := os.ReadFile(c.What)
		if err != nil {
			return &finding.Error{File: c.What, Found: "cannot be read", Err: err, Do: "see whether you may read it"}
		}
		v, err = record.VerifyFile(t.ctx, r, filepath.Base(c.What), data, now)
		if err != nil {
			return err
		}
	case err == nil:
		return &finding.Error{File: c.What, Found: "no ordinary file, or a very large one", Allowed: "a file that a build made", Do: "name one file out of the build's folder"}
	case errors.Is(err, fs.ErrNotExist) && len(c.What) <= 12 && filepath.Ext(c.What) == "":
		if v, err = record.VerifyCode(t.ctx, r, c.What, now); err != nil {
			return err
		}
	default:
		return &finding.Error{File: c.What, Found: "no such file, and no code", Allowed: "a file that a build made, or a code of seven symbols", Do: "look at the part again in slanting light, or see that the name is right"}
	}
	if c.JSON {
		e := json.NewEncoder(t.stdout)
		e.SetIndent("", "  ")
		if err := e.Encode(v); err != nil {
			return err
		}
	} else {
		fmt.Fprintf(t.stdout, "%s: %s\n", v.Kind, v.Words)
		for _, ch := range v.Changes {
			fmt.Fprintln(t.stdout, "  since then: "+ch)
		}
		if len(v.Same) > 0 && len(v.Other) > 0 {
			fmt.Fprintln(t.stdout, "  the same: "+strings.Join(v.Same, ", "))
			fmt.Fprintln(t.stdout, "  changed: "+strings.Join(v.Other, ", "))
		}
		for _, p := range v.Perhaps {
			fmt.Fprintln(t.stdout, "  perhaps: "+p)
		}
		if v.Do != "" {
			fmt.Fprintln(t.stdout, "  try: "+v.Do)
		}
	}
	if !v.AsPrinted() {
		return errFinding
	}
	return nil
}
