package build

import (
	"bytes"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"mouldwright/internal/job"
	"mouldwright/internal/record"
)

// TestBuildKilledAtAnyInstant kills builds with SIGKILL, as a power cut does, at instants
// spread over their whole length and, more densely, over its end, where results are put in
// place. After each the folder holds one build, whole: the one of before or the new one.
// Two jobs that differ take turns, so that a mix of both would be seen. The next build
// goes through, and leaves nothing beside its results. MOULDWRIGHT_TORTURE asks for more.
func TestBuildKilledAtAnyInstant(t *testing.T) {
	kills := 6
	if n, err := strconv.Atoi(os.Getenv("MOULDWRIGHT_TORTURE")); err == nil {
		kills = n
	}
	mouldwright, dir, parent := program(t), filepath.Join(t.TempDir(), "gifts"), t.TempDir()
	if err := job.Start(dir); err != nil {
		t.Fatal(err)
	}
	path, out := filepath.Join(dir, "job.toml"), filepath.Join(parent, "out")
	t.Setenv("SOURCE_DATE_EPOCH", "1795000000") // one day, so that equal jobs give equal bytes
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range [][2]string{
		{"boxes  = 6", "boxes  = 1\npitch_mm = 0.1"}, {`"Ottoline", "Perrin", "Sunniva", "Tamsel", "Ulvhild", "Wenlow"`, `"Ottoline"`},
		{"# pixel_mm       = 0.035", "pixel_mm = 0.05"}, {"count     = 12", "count = 2"}, {"cavities  = 6", "cavities = 2"},
	} {
		if !bytes.Contains(text, []byte(e[0])) {
			t.Fatalf("the first job has no %q now, which this test makes smaller", e[0])
		}
		text = bytes.Replace(text, []byte(e[0]), []byte(e[1]), 1)
	}
	jobs := [2][]byte{text, bytes.Replace(text, []byte(`"First gifts"`), []byte(`"Other gifts"`), 1)}
	if bytes.Equal(jobs[0], jobs[1]) {
		t.Fatal("the first job has another title now")
	}
	build := func(which int) *exec.Cmd {
		t.Helper()
		if err := os.WriteFile(path, jobs[which], 0o644); err != nil {
			t.Fatal(err)
		}
		return exec.Command(mouldwright, "build", path, "-o", out)
	}
	var whole [2]map[string]string
	var takes time.Duration
	for which := range 2 {
		from := time.Now()
		if says, err := build(which).CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, says)
		}
		takes = time.Since(from)
		whole[which] = contents(t, out)
	}
	if maps.Equal(whole[0], whole[1]) {
		t.Fatal("both jobs give the same")
	}
	lies := 1
	seen := map[string]int{}
	for k := range kills {
		which := 1 - lies
		cmd := build(which)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		part := float64(k) / float64(kills-1)
		if k%2 == 0 {
			part = 0.9 + 0.2*part // the end, and a little more: the machine is not steady
		}
		time.Sleep(time.Duration(part * float64(takes)))
		cmd.Process.Kill()
		ended := cmd.Wait() == nil
		switch got := contents(t, out); {
		case maps.Equal(got, whole[which]):
			lies = which
			seen["the new one lies there"]++
		case ended:
			t.Errorf("kill %d: the build ended before, and its results are not there", k)
		case maps.Equal(got, whole[lies]):
			seen["the earlier one lies there"]++
		default:
			t.Errorf("kill %d, after %.0f %% of a build: the folder holds %s", k, 100*part, mixed(got, whole))
		}
	}
	if seen["the earlier one lies there"] == 0 {
		t.Errorf("no build was cut off: %v", seen)
	}
	if says, err := build(1 - lies).CombinedOutput(); err != nil {
		t.Fatalf("the build after the kills: %v\n%s", err, says)
	}
	if !maps.Equal(contents(t, out), whole[1-lies]) {
		t.Error("the build after the kills does not give what the same job gave before them")
	}
	if beside, err := os.ReadDir(parent); err != nil || len(beside) != 1 {
		t.Errorf("beside the results: %v, %v", beside, err)
	}
	if list, err := record.Check(t.Context(), path, record.Options{}); err != nil || len(list) > 0 {
		t.Errorf("the record after the kills: %v, %v", list, err)
	}
	t.Logf("%d kills of a build of %.1f s: %v", kills, takes.Seconds(), seen)
}

// mixed words a folder's files: whose each one is.
func mixed(got map[string]string, whole [2]map[string]string) string {
	var s []string
	for _, name := range slices.Sorted(maps.Keys(got)) {
		whose := "nobody's"
		for which, w := range whole {
			if got[name] == w[name] {
				whose = fmt.Sprintf("of job %d", which)
			}
		}
		s = append(s, name+" "+whose)
	}
	return strings.Join(s, ", ")
}
