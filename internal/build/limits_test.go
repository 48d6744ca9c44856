package build

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

var programDir string // removed after the tests

func TestMain(m *testing.M) {
	var err error
	if programDir, err = os.MkdirTemp("", "mouldwright-test-"); err != nil {
		panic(err)
	}
	code := m.Run()
	os.RemoveAll(programDir)
	os.Exit(code)
}

// compiled builds the command line program, once for all tests.
var compiled = sync.OnceValues(func() (string, error) {
	file := filepath.Join(programDir, "mouldwright")
	out, err := exec.Command("go", "build", "-o", file, "../../cmd/mouldwright").CombinedOutput()
	if err != nil {
		err = fmt.Errorf("%w\n%s", err, out)
	}
	return file, err
})

// program is the command line program.
func program(t testing.TB) string {
	t.Helper()
	file, err := compiled()
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// run runs the program and returns what it said, its exit code and what it used.
func run(t testing.TB, name string, args ...string) (says string, code int, used *syscall.Rusage) {
	t.Helper()
	cmd := exec.Command(name, args...)
	out, err := cmd.CombinedOutput()
	if _, exited := err.(*exec.ExitError); err != nil && !exited {
		t.Fatal(err)
	}
	return string(out), cmd.ProcessState.ExitCode(), cmd.ProcessState.SysUsage().(*syscall.Rusage)
}

// cpu is the computing time that a process took, on all cores together.
func cpu(u *syscall.Rusage) time.Duration {
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// peakMiB is the most memory a process held. Linux counts it in KiB.
func peakMiB(u *syscall.Rusage) float64 { return float64(u.Maxrss) / 1024 }

// plaques is a job of n different names and nothing else, at the example's own pitch.
func plaques(t testing.TB, n int) string {
	t.Helper()
	return orchard(t, nameList(n), edit{`(?s)\[\[piece\]\]\nname      = "crest".*(\[\[piece\]\]\nname      = "name plaque")`, "$1"})
}

// nameList makes up n different names.
func nameList(n int) string {
	syllables := strings.Fields("ba ke li mo ru ta ve si no da fe gi")
	list := "name\n"
	for k := range n {
		word := ""
		for rest := k + len(syllables); rest > 0; rest /= len(syllables) {
			word += syllables[rest%len(syllables)]
		}
		list += strings.ToUpper(word[:1]) + word[1:] + "\n"
	}
	return list
}

// TestManyNames builds a job of 200 different names and holds its memory to 1.5 GiB.
// Computing time is told, not judged: it depends on the machine and its load. See
// bench/ for the cost of a name.
func TestManyNames(t *testing.T) {
	if testing.Short() {
		t.Skip("left out with -short: 200 names take a minute")
	}
	const n, most = 200, 1536
	path := plaques(t, n)
	says, code, used := run(t, program(t), "build", path, "-o", filepath.Join(filepath.Dir(path), "out"))
	if code != 0 || !strings.Contains(says, fmt.Sprintf("%d name plaque", n)) {
		t.Fatalf("exit code %d\n%s", code, says)
	}
	t.Logf("%d names: %.0f MiB at the peak, %.2f s of computing a name", n, peakMiB(used), cpu(used).Seconds()/n)
	if peakMiB(used) > most {
		t.Errorf("%d names took %.0f MiB, allowed %d MiB", n, peakMiB(used), most)
	}
}

// TestExampleMemory builds the whole example in a container that has 512 MiB, where one
// can be made: it is killed when it takes more. Elsewhere the runtime is told to keep below
// it. The program finds a container's limit by itself.
func TestExampleMemory(t *testing.T) {
	if testing.Short() {
		t.Skip("left out with -short: the example takes half a minute")
	}
	const most = 512
	into := container(t, most<<20)
	if into == "" {
		t.Setenv("GOMEMLIMIT", "460MiB")
	}
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../examples/orchard")); err != nil {
		t.Fatal(err)
	}
	says, code, used := run(t, "sh", "-c", into+`exec "$@"`, "sh", program(t), "build", filepath.Join(dir, "job.toml"), "-o", filepath.Join(dir, "out"))
	if code != 0 {
		t.Fatalf("exit code %d\n%s", code, says)
	}
	t.Logf("%.0f MiB at the peak, %.0f s of computing", peakMiB(used), cpu(used).Seconds())
	if peakMiB(used) > most {
		t.Errorf("the example took %.0f MiB, allowed %d MiB", peakMiB(used), most)
	}
}

// container makes a control group of so many bytes, swap included where it is counted, and
// returns what a shell must do to get into it; nothing where none can be made.
func container(t *testing.T, bytes int) (into string) {
	t.Helper()
	for _, version := range []struct {
		dir    string
		limits []string // the first must be there
	}{
		{"/sys/fs/cgroup", []string{"memory.max", "memory.swap.max"}},
		{"/sys/fs/cgroup/memory", []string{"memory.limit_in_bytes", "memory.memsw.limit_in_bytes"}},
	} {
		group, err := os.MkdirTemp(version.dir, "mouldwright-test-")
		if err != nil {
			continue
		}
		t.Cleanup(func() { os.Remove(group) }) // empty by then
		if _, err := os.Stat(filepath.Join(group, version.limits[0])); err != nil {
			continue // a plain folder, none of the kernel's
		}
		size := fmt.Append(nil, bytes)
		if err := os.WriteFile(filepath.Join(group, version.limits[0]), size, 0); err != nil {
			continue
		}
		os.WriteFile(filepath.Join(group, version.limits[1]), size, 0) // not everywhere counted
		t.Logf("in the control group %s", group)
		return "echo $$ >" + group + "/cgroup.procs && "
	}
	t.Log("no control group can be made here: the runtime's own limit is used")
	return ""
}

// earlier makes a folder with a job in it and the results of an earlier build, and
// returns both. The job's own files lie elsewhere.
func earlier(t *testing.T, parent string) (out string, before map[string]string) {
	t.Helper()
	out = filepath.Join(parent, "out")
	for name, text := range map[string]string{"plan.json": "{}", "plates/plate-01.3mf": "earlier"} {
		file := filepath.Join(out, name)
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return out, contents(t, parent)
}

// contents is every file below a folder, hidden ones too.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	for _, name := range names(t, dir) {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		all[name] = string(data)
	}
	return all
}

// untouched wants a folder to hold what it held before, and nothing half-made.
func untouched(t *testing.T, parent string, before map[string]string) {
	t.Helper()
	after := contents(t, parent)
	for name, text := range before {
		if after[name] != text {
			t.Errorf("%s is not what it was", name)
		}
	}
	entries, err := os.ReadDir(parent)
	if err != nil {
		t.Fatal(err)
	}
	if len(after) != len(before) || len(entries) != 1 {
		t.Errorf("the folder holds %v, before only the files %v", entries, before)
	}
}

// TestInterrupted presses Ctrl-C while plates are being written.
func TestInterrupted(t *testing.T) {
	mouldwright, path, parent := program(t), orchard(t, guests, small...), t.TempDir()
	out, before := earlier(t, parent)
	cmd := exec.Command(mouldwright, "build", path, "-o", out)
	var says strings.Builder
	cmd.Stdout, cmd.Stderr = &says, &says
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	done := make(chan error, 1)
	go func() { done <- cmd.Wait() }()
	for begun := false; !begun; {
		select {
		case err := <-done:
			t.Fatalf("ended before a plate was seen: %v\n%s", err, says.String())
		case <-time.After(time.Millisecond):
		}
		plates, _ := filepath.Glob(filepath.Join(parent, ".out.making-*", "plates", "*"))
		begun = len(plates) > 0
	}
	if err := cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	<-done
	if code := cmd.ProcessState.ExitCode(); code != 130 || !strings.Contains(says.String(), "stopped") {
		t.Errorf("exit code %d, want 130\n%s", code, says.String())
	}
	untouched(t, parent, before)
}

// TestDiskFull builds into a file system of 600 kB, which is full after a few plates.
func TestDiskFull(t *testing.T) {
	mouldwright, path, parent := program(t), orchard(t, guests, small...), t.TempDir()
	mount(t, parent, "size=600k")
	out, before := earlier(t, parent)
	says, code, _ := run(t, mouldwright, "build", path, "-o", out)
	if code != 2 || !strings.Contains(says, "the disk is full") || !strings.Contains(says, "try: make room") {
		t.Errorf("exit code %d, want 2\n%s", code, says)
	}
	if !regexp.MustCompile(`plates/plate-0[2-9]`).MatchString(says) {
		t.Errorf("the disk was not full half-way:\n%s", says)
	}
	untouched(t, parent, before)
}

// TestReadOnly builds into a folder that cannot be written. The person root may write
// anywhere, so that a file system is mounted read-only for root.
func TestReadOnly(t *testing.T) {
	mouldwright, path, parent := program(t), orchard(t, guests, small...), t.TempDir()
	root := os.Getuid() == 0
	if root {
		mount(t, parent, "size=100k")
	}
	out, before := earlier(t, parent)
	if root {
		if says, err := exec.Command("mount", "-o", "remount,ro", parent).CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, says)
		}
	} else {
		if err := os.Chmod(parent, 0o555); err != nil {
			t.Fatal(err)
		}
		defer os.Chmod(parent, 0o755)
	}
	says, code, _ := run(t, mouldwright, "build", path, "-o", out)
	if code != 2 || !strings.Contains(says, out) || !strings.Contains(says, "name a folder that you may write to with -o") {
		t.Errorf("exit code %d, want 2\n%s", code, says)
	}
	untouched(t, parent, before)
}

// mount puts a file system in memory over a folder until the test ends.
func mount(t *testing.T, dir string, options ...string) {
	t.Helper()
	args := slices.Concat([]string{"-t", "tmpfs", "-o"}, options, []string{"tmpfs", dir})
	if says, err := exec.Command("mount", args...).CombinedOutput(); err != nil {
		t.Skipf("LEFT OUT: a small file system cannot be mounted here, which needs root: %v %s", err, says)
	}
	t.Cleanup(func() { exec.Command("umount", dir).Run() })
}
