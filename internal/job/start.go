package job

import (
	"embed"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"mouldwright/internal/base/finding"
)

//go:embed starter
var starterFiles embed.FS

// Start makes a new folder with a first job in it. The folder must not exist or must
// be empty.
func Start(dir string) error {
	list, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return &finding.Error{File: dir, Found: "cannot be used", Err: err, Do: "name a new folder"}
	}
	if len(list) > 0 {
		return &finding.Error{File: dir, Found: "is not empty", Allowed: "a new or an empty folder", Do: "name another folder"}
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return &finding.Error{File: dir, Found: "cannot be made", Err: err, Do: "name a folder that you may write to"}
	}
	names, err := starterFiles.ReadDir("starter")
	if err != nil {
		return err
	}
	for _, n := range names {
		data, err := starterFiles.ReadFile("starter/" + n.Name())
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(dir, n.Name()), data, 0o644); err != nil {
			return &finding.Error{File: dir, Found: "cannot be written", Err: err}
		}
	}
	return nil
}
