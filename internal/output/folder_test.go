package output

import (
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

func TestAbandonLeavesEarlierResults(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "out")
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
	write(t, f, "plan.json", "half")
	f.Abandon()
	if got := read(t, filepath.Join(dir, "plan.json")); got != "first" || names(t, parent) != "out" {
		t.Errorf("after Abandon: plan.json %q, beside it %q", got, names(t, parent))
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
