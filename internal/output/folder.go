// Package output writes a build's files whole or not at all.
//
//	Open  --Create, Create, …--> a new folder beside the wanted one, held against others
//	Commit: every file synced, the folders swapped in one step
//	Abandon: the new folder removed, earlier results as they were
//
// A process that is killed leaves the earlier results or the new ones, whole. What it had
// half made is removed by the next Open.
package output

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"syscall"

	"mouldwright/internal/base/finding"
)

// entries are what a build makes in its folder. A folder that holds anything else is
// not replaced, since it may be the person's own.
var entries = map[string]bool{
	"plan.json": true, "plates": true, "sheets": true, "pictures": true,
	"calendar.ics": true, "shopping.csv": true,
}

// couponEntries are the same for coupons, so that neither replaces the other.
var couponEntries = map[string]bool{"coupons": true, "coupons.pdf": true}

// Folder is an output folder in the making.
type Folder struct {
	dir  string   // where it shall be
	tmp  string   // where it grows
	hold *os.File // says that tmp is in the making; the system lets go of it when we die

	noted func(name, sha256 string, bytes int)
}

// Note has every file told when it is whole: its name, digest and size.
func (f *Folder) Note(told func(name, sha256 string, bytes int)) { f.noted = told }

// Open checks that dir can be written and starts a new folder beside it. Work that
// an earlier run left half made is removed; while another one is at it, Open refuses.
func Open(dir string) (*Folder, error) { return open(dir, entries, "build") }

// OpenCoupons is Open for coupons: the results of a build are not replaced by them.
func OpenCoupons(dir string) (*Folder, error) { return open(dir, couponEntries, "making of coupons") }

func open(dir string, entries map[string]bool, maker string) (*Folder, error) {
	dir = filepath.Clean(dir)
	parent := filepath.Dir(dir)
	making := "." + filepath.Base(dir) + ".making-"
	beside, _ := os.ReadDir(parent) // none where there is no folder yet
	for _, e := range beside {
		if !strings.HasPrefix(e.Name(), making) {
			continue
		}
		left := filepath.Join(parent, e.Name())
		f, free := hold(left)
		if !free {
			return nil, busy(dir, maker)
		}
		os.RemoveAll(left)
		f.Close()
	}
	if err := recoverSwap(dir); err != nil {
		return nil, refuse(dir, "cannot put back earlier results", err)
	}
	if err := checkOwn(dir, entries, maker); err != nil {
		return nil, err
	}
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return nil, refuse(dir, "cannot make the folder", err)
	}
	tmp, err := os.MkdirTemp(parent, making)
	if err != nil {
		return nil, refuse(dir, "cannot be written", err)
	}
	if err := os.Chmod(tmp, 0o755); err != nil {
		os.RemoveAll(tmp)
		return nil, refuse(dir, "cannot be written", err)
	}
	held, free := hold(tmp)
	if _, err := os.Lstat(tmp); err != nil || !free { // another one began in the same instant and tidied
		return nil, busy(dir, maker)
	}
	return &Folder{dir: dir, tmp: tmp, hold: held}, nil
}

// recoverSwap mends a swap that was cut off between its two renames.
func recoverSwap(dir string) error {
	old := previous(dir)
	if _, err := os.Lstat(old); err != nil {
		return nil
	}
	if _, err := os.Lstat(dir); errors.Is(err, fs.ErrNotExist) {
		return os.Rename(old, dir)
	}
	return os.RemoveAll(old)
}

func previous(dir string) string {
	return filepath.Join(filepath.Dir(dir), "."+filepath.Base(dir)+".earlier")
}

func checkOwn(dir string, entries map[string]bool, maker string) error {
	list, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case errors.Is(err, syscall.ENOTDIR):
		return &finding.Error{File: dir, Found: "a file, not a folder", Do: "name another folder with -o"}
	case err != nil:
		return refuse(dir, "cannot be read", err)
	}
	var foreign []string
	for _, e := range list {
		if !entries[e.Name()] {
			foreign = append(foreign, e.Name())
		}
	}
	if len(foreign) > 0 {
		sort.Strings(foreign)
		return &finding.Error{File: dir, Found: "holds " + strings.Join(foreign[:min(3, len(foreign))], ", ") + ", which no " + maker + " made", Allowed: "a new folder, an empty one, or the results of an earlier " + maker, Do: "name another folder with -o"}
	}
	return nil
}

// Create opens a new file in the folder; name is relative, with forward slashes.
func (f *Folder) Create(name string) (*File, error) {
	path := filepath.Join(f.tmp, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return nil, refuse(f.dir, "cannot be written", err)
	}
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return nil, refuse(f.dir, "cannot be written", err)
	}
	return &File{f: file, dir: f.dir, name: name, noted: f.noted, sum: sha256.New()}, nil
}

// File is one file of an output folder; Close syncs it to the disk.
type File struct {
	f     *os.File
	dir   string
	name  string
	noted func(name, sha256 string, bytes int)
	sum   hash.Hash
	n     int
}

// Write appends bytes.
func (f *File) Write(b []byte) (int, error) {
	n, err := f.f.Write(b)
	if f.noted != nil {
		f.sum.Write(b[:n])
		f.n += n
	}
	return n, f.explain(err)
}

// Close syncs and closes the file.
func (f *File) Close() error {
	err := f.f.Sync()
	if e := f.f.Close(); err == nil {
		err = e
	}
	if err == nil && f.noted != nil {
		f.noted(f.name, fmt.Sprintf("%x", f.sum.Sum(nil)), f.n)
	}
	return f.explain(err)
}

func (f *File) explain(err error) error {
	if err == nil {
		return nil
	}
	if errors.Is(err, syscall.ENOSPC) {
		return &finding.Error{File: f.dir, Key: f.name, Found: "the disk is full", Do: "make room or name a folder on another disk with -o; earlier results are as they were", Err: err}
	}
	return &finding.Error{File: f.dir, Key: f.name, Found: "cannot be written", Err: err, Do: "make room on the disk, or see whether you may write there"}
}

// Commit puts the new folder in the place of the wanted one.
func (f *Folder) Commit() error {
	defer f.release()
	switch err := exchange(f.tmp, f.dir); {
	case err == nil: // the earlier results lie in tmp now
		syncDir(filepath.Dir(f.dir))
		if err := os.RemoveAll(f.tmp); err != nil {
			return refuse(f.dir, "earlier results cannot be removed", err)
		}
		return nil
	case !errors.Is(err, errors.ErrUnsupported) && !errors.Is(err, fs.ErrNotExist):
		return refuse(f.dir, "cannot be put in place", err)
	}
	// Nothing there to exchange, or a file system that cannot. Between two renames the
	// earlier results lie whole under another name, from which Open puts them back.
	old := previous(f.dir)
	if err := os.Rename(f.dir, old); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return refuse(f.dir, "earlier results cannot be moved aside", err)
	}
	if err := os.Rename(f.tmp, f.dir); err != nil {
		_ = os.Rename(old, f.dir) // should that fail too, Open puts them back
		return refuse(f.dir, "cannot be put in place", err)
	}
	syncDir(filepath.Dir(f.dir))
	if err := os.RemoveAll(old); err != nil {
		return refuse(f.dir, "earlier results cannot be removed", err)
	}
	return nil
}

// syncDir brings renames in a folder to the disk, where the system can.
func syncDir(dir string) {
	if d, err := os.Open(dir); err == nil {
		d.Sync()
		d.Close()
	}
}

// Abandon removes what was made so far. After Commit it does nothing.
func (f *Folder) Abandon() {
	os.RemoveAll(f.tmp)
	f.release()
}

// release lets go of the folder in the making.
func (f *Folder) release() {
	if f.hold != nil {
		f.hold.Close()
		f.hold = nil
	}
}

func busy(dir, maker string) error {
	return &finding.Error{File: dir, Found: "another " + maker + " is being written there", Allowed: "one at a time", Do: "wait until it has ended, or name another folder with -o"}
}

func refuse(dir, found string, err error) error {
	do := ""
	if errors.Is(err, fs.ErrPermission) || errors.Is(err, syscall.EROFS) {
		do = "name a folder that you may write to with -o"
	}
	return &finding.Error{File: dir, Found: found, Do: do, Err: fmt.Errorf("%w", err)}
}
