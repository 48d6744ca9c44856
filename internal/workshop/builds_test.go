package workshop

import (
	"bytes"
	"context"
	"fmt"
	"hash/crc32"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/build"
	"mouldwright/internal/job"
	"mouldwright/internal/output"
	"mouldwright/internal/record"
)

func crc(b []byte) uint32 { return crc32.ChecksumIEEE(b) }

// coarseJob is a job that builds quickly.
func coarseJob(t testing.TB) string {
	t.Helper()
	path := letters(t)
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if text, err = job.SetKey(text, "pitch_mm", 0.07); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, text, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// A build in the workshop writes what a build on the command line writes.
func TestBuildEqualsTheCommandLine(t *testing.T) {
	path := coarseJob(t)
	v := opened(t, path)
	v.want(404, "GET", "/api/plan", nil, nil)
	next := v.events()
	s := v.state()
	v.want(400, "POST", "/api/build", BuildRequest{s.Version, "A3"}, nil)
	v.want(409, "POST", "/api/build", BuildRequest{"old", "A4"}, nil)
	v.want(200, "POST", "/api/build", BuildRequest{s.Version, "Letter"}, nil)
	stages := map[string]bool{}
	var last map[string]any
	for last = next("build"); last["running"] == true; last = next("build") {
		stages[last["stage"].(string)] = true
	}
	if last["outcome"] != "built" || last["current"] != true || last["revision"] == "" || !stages["piece"] || !stages["plate"] {
		t.Fatalf("the build ends with %v after the stages %v", last, stages)
	}
	_, in, err := job.Load(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "out")
	out, err := output.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	build.Moment(&in.Past)
	if _, err := build.Into(context.Background(), in, out, build.Options{Version: "test", Paper: "Letter"}); err != nil {
		t.Fatal(err)
	}
	if err := out.Commit(); err != nil {
		t.Fatal(err)
	}
	var p BuiltPlan
	v.want(200, "GET", "/api/plan", nil, &p)
	if !p.Current || len(p.Plan.Plates) == 0 || len(p.Files) < len(p.Plan.Plates)+2 {
		t.Errorf("current %v, %d plates, %d files", p.Current, len(p.Plan.Plates), len(p.Files))
	}
	for _, layer := range []int{1, p.Plan.Plates[0].Layers} {
		image, err := png.DecodeConfig(v.do("GET", fmt.Sprintf("/api/plate/1/layer/%d.png", layer), nil, nil).Body)
		if pr := in.Choices.Printer; err != nil || image.Width != int(math.Ceil(pr.PlateWidthMM/pr.PixelMM)) {
			t.Errorf("layer %d: %v, %d pixels wide", layer, err, image.Width)
		}
	}
	for _, none := range []string{"/api/plate/1/layer/0.png", "/api/plate/99/layer/1.png", "/api/plate/1/layer/1.jpg", "/api/plate/x/layer/1.png"} {
		v.want(404, "GET", none, nil, nil)
	}
	for _, f := range p.Files {
		got, _ := io.ReadAll(v.do("GET", "/api/out/"+f.Name, nil, nil).Body)
		want, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(f.Name)))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s: %d bytes here, %d bytes from the command line, or others", f.Name, len(got), len(want))
		}
	}
	s = v.edit(v.state().Version, Edit{Do: "set", Key: "boxes", Value: 8.0})
	if s.Build.Current || s.Build.Revision == "" {
		t.Errorf("after an edit: %+v", s.Build)
	}
	v.want(200, "GET", "/api/plan", nil, &p)
	if p.Current {
		t.Error("the plan of an earlier text is called current")
	}
}

func TestStoppedBuildLeavesEarlierResults(t *testing.T) {
	path := letters(t) // at the printer's own pitch: long enough to be stopped
	old := filepath.Join(filepath.Dir(path), "out", "plan.json")
	if err := os.MkdirAll(filepath.Dir(old), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(old, []byte(`{"revision":"EARLIER"}`), 0o644); err != nil {
		t.Fatal(err)
	}
	v := opened(t, path)
	next := v.events()
	var begun BuildState
	v.want(200, "POST", "/api/build", BuildRequest{v.state().Version, "A4"}, &begun)
	v.want(409, "POST", "/api/build", BuildRequest{v.state().Version, "A4"}, nil)
	next("build")
	var b BuildState
	v.want(200, "DELETE", "/api/build", nil, &b)
	if b.Count <= begun.Count { // else a page that hears of the stop first would go back to running
		t.Errorf("stopped has count %d, begun %d", b.Count, begun.Count)
	}
	if b.Running || b.Outcome != "stopped" || b.Revision != "EARLIER" || b.Current {
		t.Errorf("after a stop: %+v", b)
	}
	if n := names(t, v.dir); n != "job.toml out" {
		t.Errorf("the folder holds %s", n)
	}
	v.want(200, "DELETE", "/api/build", nil, &b) // nothing to stop is no mistake
}

func TestRefusedBuild(t *testing.T) {
	v := opened(t, letters(t))
	next := v.events()
	s := v.edit(v.state().Version, Edit{Do: "set", Key: "shell.cap_mm", Value: 10.0}, Edit{Do: "set", Key: "shell.thickness_mm", Value: 6.0})
	v.want(200, "POST", "/api/build", BuildRequest{s.Version, "A4"}, nil)
	last := next("build")
	for last["running"] == true {
		last = next("build")
	}
	if last["outcome"] != "refused" || len(last["findings"].([]any)) == 0 {
		t.Errorf("the build ends with %v", last)
	}
	if n := names(t, v.dir); n != ".job.toml.lock job.toml" {
		t.Errorf("the folder holds %s", n)
	}
}

// Results whose record cannot be written are whole, and the page is told.
func TestBuildWithoutARecord(t *testing.T) {
	path := coarseJob(t)
	v := opened(t, path)
	v.s.builds.keep = func(context.Context, *record.Built) error {
		return &finding.Error{File: "job.record", Found: "cannot be written", Do: "make room on the disk"}
	}
	next := v.events()
	v.want(200, "POST", "/api/build", BuildRequest{v.state().Version, "A4"}, nil)
	last := next("build")
	for last["running"] == true {
		last = next("build")
	}
	told, _ := last["mistakes"].([]any)
	if last["outcome"] != "built" || last["current"] != true || len(told) != 1 {
		t.Errorf("the build ends with %v", last)
	}
	v.want(200, "GET", "/api/plan", nil, nil)
}
