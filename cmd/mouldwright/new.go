package main

import (
	"fmt"
	"path/filepath"

	"mouldwright/internal/job"
)

type newCommand struct {
	Dir string `arg:"" help:"The new folder."`
}

func (c *newCommand) Run(t *terminal) error {
	if err := job.Start(c.Dir); err != nil {
		return err
	}
	path := filepath.Join(c.Dir, "job.toml")
	fmt.Fprintf(t.stdout, "%s\n", path)
	fmt.Fprintf(t.stderr, "edit it, then: mouldwright build %s, or mouldwright serve %s\n", path, path)
	return nil
}
