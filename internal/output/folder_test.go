package output

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

func write(t *testing.T, f *Folder, name, text string) {
	t.Helper()
	w, err := f.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write([]byte(text)); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
}

func read(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func names(t *testing.T, dir string) string {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var s []string
	for _, e := range list {
		s = append(s, e.Name())
	}
	return strings.Join(s, " ")
}

func TestCommitReplacesWhole(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "out")
	for _, text := range []string{"first", "second"} {
		f, err := Open(dir)
		if err != nil {
			t.Fatal(err)
		}
		write(t, f, "plan.json", text)
		write(t, f, "plates/"+text+".3mf", text)
		if err := f.Commit(); err != nil {
			t.Fatal(err)
		}
		f.Abandon()
		if got := read(t, filepath.Join(dir, "plan.json")); got != text {
			t.Errorf("plan.json holds %q, want %q", got, text)
		}
	}
	if got := names(t, filepath.Join(dir, "plates")); got != "second.3mf" {
		t.Errorf("plates holds %q: files of the earlier build stayed", got)
	}
	if got := names(t, parent); got != "out" {
		t.Errorf("beside the folder: %q", got)
	}
}

// secondTime is a folder that has been made once, "first" its plan, opened again.
func secondTime(t *testing.T, dir string) *Folder {
	t.Helper()
	f, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	write(t, f, "plan.json", "first")
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}
	if f, err = Open(dir); err != nil {
		t.Fatal(err)
	}
	return f
}

func TestAbandonLeavesEarlierResults(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "out")
	f := secondTime(t, dir)
	write(t, f, "plan.json", "half")
	f.Abandon()
	if got := read(t, filepath.Join(dir, "plan.json")); got != "first" || names(t, parent) != "out" {
		t.Errorf("after Abandon: plan.json %q, beside it %q", got, names(t, parent))
	}
}

// While one build is being made, another one for the same folder is refused and harms
// nothing; what a dead one left half made is removed.
func TestOneAtATime(t *testing.T) {
	parent := filepath.Join(t.TempDir(), "gifts [2027] *?")
	dir := filepath.Join(parent, "out")
	first, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	write(t, first, "plan.json", "first")
	if first.hold == nil {
		t.Skip("LEFT OUT: this system has no lock for a folder")
	}
	if _, err := Open(dir); err == nil || !strings.Contains(err.Error(), "another build is being written there") {
		t.Errorf("a second build beside the first: %v", err)
	}
	if err := first.Commit(); err != nil {
		t.Fatal(err)
	}
	if got := read(t, filepath.Join(dir, "plan.json")); got != "first" || names(t, parent) != "out" {
		t.Errorf("plan.json %q, beside it %q", got, names(t, parent))
	}
	dead, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	write(t, dead, "plan.json", "half")
	dead.release() // as the system does for a process that is killed
	next, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	next.Abandon()
	if got := read(t, filepath.Join(dir, "plan.json")); got != "first" || names(t, parent) != "out" {
		t.Errorf("plan.json %q, beside it %q", got, names(t, parent))
	}
}

// A build that is put in place changes the folder in one step: whoever looks meanwhile
// always finds the whole of one of them.
func TestAlwaysThere(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "out")
	build := func(text string) {
		f, err := Open(dir)
		if err != nil {
			t.Fatal(err)
		}
		write(t, f, "plan.json", text)
		if err := f.Commit(); err != nil {
			t.Fatal(err)
		}
	}
	build("first")
	probe := filepath.Join(parent, "probe")
	if err := os.Mkdir(probe, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := exchange(probe, dir); errors.Is(err, errors.ErrUnsupported) {
		t.Skipf("LEFT OUT: folders cannot be exchanged here: %v", err)
	}
	if err := exchange(probe, dir); err != nil {
		t.Fatal(err)
	}
	stop, looked := make(chan struct{}), make(chan error)
	go func() {
		for looks := 0; ; looks++ {
			select {
			case <-stop:
				looked <- nil
				return
			default:
			}
			if _, err := os.Stat(dir); err != nil {
				looked <- fmt.Errorf("look %d: %w", looks, err)
				return
			}
		}
	}()
	for range 200 {
		build("next")
	}
	close(stop)
	if err := <-looked; err != nil {
		t.Error(err)
	}
}

func TestSwapCutOff(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "out")
	if err := os.MkdirAll(previous(dir), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(previous(dir), "plan.json"), []byte("first"), 0o644); err != nil {
		t.Fatal(err)
	}
	f, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	f.Abandon()
	if got := read(t, filepath.Join(dir, "plan.json")); got != "first" {
		t.Errorf("plan.json = %q", got)
	}
}

func TestForeignFolderIsRefused(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "wedding.doc"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	_, err := Open(dir)
	if err == nil || !strings.Contains(err.Error(), "wedding.doc") {
		t.Errorf("Open of a foreign folder: %v", err)
	}
	file := filepath.Join(dir, "wedding.doc")
	if _, err := Open(file); err == nil || !strings.Contains(err.Error(), "not a folder") {
		t.Errorf("Open of a file: %v", err)
	}
}

// TestDiskFull fills a real file system of 64 KiB.
func TestDiskFull(t *testing.T) {
	parent := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", parent).CombinedOutput(); err != nil {
		t.Skipf("left out: a small file system cannot be mounted here (needs root): %v %s", err, out)
	}
	defer exec.Command("umount", parent).Run()
	dir := filepath.Join(parent, "out")
	f := secondTime(t, dir)
	w, err := f.Create("plates/plate-1.3mf")
	if err != nil {
		t.Fatal(err)
	}
	_, err = w.Write(make([]byte, 1<<20))
	if closing := w.Close(); err == nil {
		err = closing
	}
	if err == nil || !strings.Contains(err.Error(), "disk is full") {
		t.Errorf("writing 1 MiB into 64 KiB: %v", err)
	}
	f.Abandon()
	if got := read(t, filepath.Join(dir, "plan.json")); got != "first" || names(t, parent) != "out" {
		t.Errorf("after a full disk: plan.json %q, beside it %q", got, names(t, parent))
	}
}
