package output

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// An edit goes through on the text that it was made on, and on no other; permissions and
// a link that leads to the file stay.
func TestEdit(t *testing.T) {
	dir := t.TempDir()
	path, link := filepath.Join(dir, "job.toml"), filepath.Join(t.TempDir(), "link.toml")
	if err := os.WriteFile(path, []byte("first"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(path, link); err != nil {
		t.Fatal(err)
	}
	if err := Edit(link, []byte("first"), []byte("second")); err != nil {
		t.Fatal(err)
	}
	err := Edit(path, []byte("first"), []byte("third"))
	if err == nil || !strings.Contains(err.Error(), "changed meanwhile") {
		t.Errorf("an edit of an earlier text: %v", err)
	}
	if got := read(t, path); got != "second" {
		t.Errorf("the file holds %q", got)
	}
	info, err := os.Lstat(path)
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("%v, %v", info.Mode(), err)
	}
	if to, err := os.Readlink(link); err != nil || to != path {
		t.Errorf("the link leads to %q, %v", to, err)
	}
	if got := names(t, dir); got != ".job.toml.lock job.toml" && got != "job.toml" {
		t.Errorf("the folder holds %q", got)
	}
}
