package build

import (
	"context"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow"
	"mouldwright/internal/job"
	"mouldwright/internal/output"
)

func init() { stillPx = 320 }

// edit replaces what a regular expression matches in the example's job file.
type edit struct{ pattern, with string }

// small cuts the example down: coarse samples, two cavities a design, trays and plates
// to fit, so that a tray still is larger than a plate.
var small = []edit{
	{`(?m)^boxes .*$`, "${0}\npitch_mm = 0.1"},
	{`(?m)^cavities .*$`, "cavities = 2"},
	{`(?s)\[printer\].*?\n\n`, "[printer]\nplate_width_mm = 110.0\nplate_depth_mm = 80.0\npixel_mm = 0.05\n\n"},
	master(""),
}

// master puts a small tray's rules, and more of them, in the place of the example's.
func master(more string) edit {
	return edit{`(?s)\[master\].*`, "[master]\nwidth_mm = 160\ndepth_mm = 130\ntolerance_mm = 0.03\n" + more}
}

// guests are rows of the example's list in five scripts, one of them right to left.
const guests = "name,table\nYsoline,1\nŻywomira,2\nאביטובה,3\nहेमचित्रा,4\nΘεανώρα,4\n"

// orchard puts the example, edited and with a list of its own, into a new folder, and
// returns the path of its job file.
func orchard(t testing.TB, list string, edits ...edit) string {
	t.Helper()
	const example = "../../examples/orchard"
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(example)); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join(example, "job.toml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range edits {
		pattern := regexp.MustCompile(e.pattern)
		if !pattern.Match(text) {
			t.Fatalf("the example has no %s to edit", e.pattern)
		}
		text = pattern.ReplaceAll(text, []byte(e.with))
	}
	for name, data := range map[string]string{"job.toml": string(text), "guests.csv": list} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(data), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return filepath.Join(dir, "job.toml")
}

// built builds a job into a new folder.
func built(t testing.TB, path string) (dir string, in *flow.Input, r *flow.Result) {
	t.Helper()
	ctx := context.Background()
	_, in, err := job.Load(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	dir = filepath.Join(t.TempDir(), "out")
	out, err := output.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer out.Abandon()
	r, err = Into(ctx, in, out, Options{Version: "test", Paper: "A4"})
	if err != nil {
		t.Fatal(err)
	}
	if finding.Worst(r.Plan.Findings) == finding.Stop {
		t.Fatalf("the job must not go on: %v", r.Plan.Findings)
	}
	if err := out.Commit(); err != nil {
		t.Fatal(err)
	}
	return dir, in, r
}
