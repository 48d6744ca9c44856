package main

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
)

// The page in docs is what the program says of its commands. After a change of one:
// UPDATE=1 go test -run Commands ./cmd/mouldwright, then read the difference.
func TestCommandsPage(t *testing.T) {
	const page = "../../docs/reference/commands.md"
	t.Setenv("COLUMNS", "90") // how wide help is set
	var b strings.Builder
	b.WriteString(`# The command line

JOB is the job file, or the folder whose ` + "`job.toml`" + ` it is. Results go to stdout, progress and
messages to stderr. The exit code is 0 when it is done, 1 when the work has a finding that must
be fixed, 2 for wrong usage or input that cannot be read, 130 when you stopped it. Nothing is
ever half-written.

This page is made from the program's own help; a test compares them.
`)
	c, err := kong.New(new(commands), kong.Name("mouldwright"), kong.NamedMapper("job", kong.MapperFunc(jobArgument)))
	if err != nil {
		t.Fatal(err)
	}
	for _, leaf := range c.Model.Leaves(true) {
		words := strings.Fields(leaf.FullPath())[1:]
		var out, messages bytes.Buffer
		if code := run(append(words, "--help"), &out, &messages); code != exitDone {
			t.Fatalf("%v --help ends with %d: %s", words, code, &messages)
		}
		fmt.Fprintf(&b, "\n## %s\n\n```\n%s```\n", strings.Join(words, " "), &out)
	}
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(page, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != b.String() {
		t.Errorf("%s is not what the commands say; run UPDATE=1 go test -run Commands ./cmd/mouldwright", page)
	}
}
