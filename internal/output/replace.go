package output

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/rogpeppe/go-internal/lockedfile"

	"mouldwright/internal/base/finding"
)

// Hold keeps a file from other programs of this kind, on this machine, until release is
// called. It waits while another one holds it.
func Hold(path string) (release func(), err error) {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	return lockedfile.MutexAt(filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".lock")).Lock()
}

// Edit puts after in the place of a file's text, whole or not at all, if the file still
// holds before: what an open workshop or a text editor wrote meanwhile is not lost.
func Edit(path string, before, after []byte) error {
	release, err := Hold(path)
	if err != nil {
		return unsaved(path, err)
	}
	defer release()
	real, err := filepath.EvalSymlinks(path)
	if err != nil {
		return unsaved(path, err)
	}
	root, err := os.OpenRoot(filepath.Dir(real))
	if err != nil {
		return unsaved(path, err)
	}
	defer root.Close()
	now, err := root.ReadFile(filepath.Base(real))
	if err != nil {
		return unsaved(path, err)
	}
	if !bytes.Equal(now, before) {
		return &finding.Error{File: path, Found: "it was changed meanwhile", Do: "do the same again; the file is as the other one left it"}
	}
	if err := Replace(root, filepath.Base(real), 0o644, func(f *os.File) error {
		_, err := f.Write(after)
		return err
	}); err != nil {
		return unsaved(path, err)
	}
	return nil
}

func unsaved(path string, err error) error {
	return &finding.Error{File: path, Found: "cannot be saved", Err: err, Do: "make room on the disk, or see whether you may write to its folder; the file is as it was"}
}

// Replace puts a file of a folder in place, whole or not at all: content fills a new one
// beside it. An earlier file keeps its permissions, a new one gets perm. Whoever calls
// sees to it that nobody else replaces the same file at the same time.
func Replace(root *os.Root, name string, perm fs.FileMode, content func(*os.File) error) error {
	if info, err := root.Stat(name); err == nil {
		perm = info.Mode().Perm()
	}
	tmp := "." + name + ".saving"
	root.Remove(tmp) // left by a run that was cut off
	f, err := root.OpenFile(tmp, os.O_RDWR|os.O_CREATE|os.O_EXCL, perm)
	if err != nil {
		return err
	}
	err = content(f)
	for _, then := range []func() error{f.Sync, func() error { return f.Chmod(perm) }} {
		if err == nil {
			err = then()
		}
	}
	if closing := f.Close(); err == nil {
		err = closing
	}
	if err == nil {
		err = root.Rename(tmp, name)
	}
	if err != nil {
		root.Remove(tmp)
		return err
	}
	if dir, err := root.Open("."); err == nil { // the rename itself
		dir.Sync()
		dir.Close()
	}
	return nil
}
