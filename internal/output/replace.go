package output

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"mouldwright/internal/base/finding"
)

// Replace writes a file anew, whole or not at all, with the permissions it had.
func Replace(path string, content []byte) error {
	bad := func(err error) error {
		do := "make room on the disk, or see whether you may write to its folder; the file is as it was"
		if errors.Is(err, fs.ErrPermission) {
			do = "see whether you may write to its folder; the file is as it was"
		}
		return &finding.Error{File: path, Found: "cannot be saved", Err: err, Do: do}
	}
	info, err := os.Stat(path)
	if err != nil {
		return bad(err)
	}
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".saving-")
	if err != nil {
		return bad(err)
	}
	defer os.Remove(f.Name())
	_, err = f.Write(content)
	for _, then := range []func() error{f.Sync, func() error { return f.Chmod(info.Mode().Perm()) }, f.Close} {
		if e := then(); err == nil {
			err = e
		}
	}
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return bad(err)
	}
	syncDir(filepath.Dir(path))
	return nil
}
