package record

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"mouldwright/internal/base/finding"
)

// keepBackups is how many daily backups are kept; those before a change of form, and
// what a restore has replaced, are never removed.
const keepBackups = 60

// Backup is one backup of a record.
type Backup struct {
	Name string    `json:"name"`
	At   time.Time `json:"at"`
	Size int64     `json:"size"`
}

// Backups lists a job's backups, the newest last.
func Backups(job string) ([]Backup, error) {
	list, err := os.ReadDir(BackupDir(job))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	} else if err != nil {
		return nil, &finding.Error{File: BackupDir(job), Found: "cannot be read", Err: err, Do: "see whether you may read it"}
	}
	var out []Backup
	for _, e := range list {
		if info, err := e.Info(); err == nil && info.Mode().IsRegular() && strings.HasSuffix(e.Name(), ".record") && !strings.HasPrefix(e.Name(), ".") {
			out = append(out, Backup{e.Name(), info.ModTime().UTC(), info.Size()})
		}
	}
	slices.SortStableFunc(out, func(a, b Backup) int { return a.At.Compare(b.At) })
	return out, nil
}

// Backup makes a backup now and gives its path.
func (r *Record) Backup(ctx context.Context) (string, error) {
	name := "-" + r.now().Format("150405")
	return r.backupPath(name), r.explain(r.backup(ctx, name))
}

func (r *Record) backupPath(more string) string {
	return filepath.Join(BackupDir(r.job), r.now().Format(time.DateOnly)+more+".record")
}

// dailyBackup makes the backup of a day at its first opening, when there is anything to
// lose. A folder that cannot be written is no reason not to work.
func (r *Record) dailyBackup(ctx context.Context) error {
	if _, err := os.Stat(r.backupPath("")); err == nil {
		return nil
	}
	some := false
	if err := r.db.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM entry)").Scan(&some); err != nil || !some {
		return err
	}
	if err := r.backup(ctx, ""); err != nil {
		return err
	}
	dir := BackupDir(r.job)
	list, err := fs.Glob(os.DirFS(dir), "????-??-??.record")
	if err == nil && len(list) > keepBackups { // their names are in the order of their days
		for _, old := range list[:len(list)-keepBackups] {
			os.Remove(filepath.Join(dir, old))
		}
	}
	return nil
}

// backup copies the record as it stands into a file of its own, whole and compact.
func (r *Record) backup(ctx context.Context, more string) error {
	to := r.backupPath(more)
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return cannotWrite(to, err)
	}
	tmp := filepath.Join(filepath.Dir(to), "."+filepath.Base(to)+"."+newID()[:8])
	defer os.Remove(tmp)
	if _, err := r.db.ExecContext(ctx, "VACUUM INTO ?", tmp); err != nil {
		return err
	}
	f, err := os.OpenFile(tmp, os.O_RDWR, 0)
	if err == nil {
		err = f.Sync()
		f.Close()
	}
	if err == nil {
		err = os.Rename(tmp, to)
	}
	if err == nil {
		err = syncDir(filepath.Dir(to))
	}
	if err != nil {
		return cannotWrite(to, err)
	}
	return nil
}

// Restore puts a backup in the place of a job's record. name is one of Backups, or a
// path; empty takes the newest daily one. What stood there is kept among the backups,
// and its path is given. The record must not be open anywhere.
func Restore(ctx context.Context, job, name string, now time.Time) (replaced string, err error) {
	from, err := backupToRestore(job, name)
	if err != nil {
		return "", err
	}
	if err := looksLikeOne(from); err != nil {
		return "", err
	}
	path := Path(job)
	tmp := filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".restoring")
	defer os.Remove(tmp)
	if err := copyFile(from, tmp); err != nil {
		return "", cannotWrite(path, err)
	}
	if err := whole(ctx, tmp); err != nil {
		return "", damaged(from, err)
	}
	if _, err := os.Stat(path); err == nil {
		if err := alone(ctx, path); err != nil {
			return "", err
		}
		replaced = filepath.Join(BackupDir(job), now.Format("2006-01-02-150405")+"-replaced.record")
		if err := os.MkdirAll(filepath.Dir(replaced), 0o755); err != nil {
			return "", cannotWrite(replaced, err)
		}
		if err := os.Rename(path, replaced); err != nil {
			return "", cannotWrite(path, err)
		}
		for _, tail := range []string{"-wal", "-shm"} { // they belong to the file that was moved
			if err := os.Rename(path+tail, replaced+tail); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return "", cannotWrite(path, err)
			}
		}
	}
	if err := os.Rename(tmp, path); err != nil {
		return "", cannotWrite(path, err)
	}
	return replaced, syncDir(filepath.Dir(path))
}

func backupToRestore(job, name string) (string, error) {
	list, err := Backups(job)
	if err != nil {
		return "", err
	}
	var names []string
	for _, b := range list {
		if name == "" && !strings.Contains(b.Name, "-replaced") || b.Name == name || strings.TrimSuffix(b.Name, ".record") == name {
			names = append(names, b.Name)
		}
	}
	if len(names) > 0 {
		return filepath.Join(BackupDir(job), names[len(names)-1]), nil
	}
	if _, err := os.Stat(name); name != "" && err == nil {
		return name, nil
	}
	return "", &finding.Error{File: BackupDir(job), Found: "no such backup", Allowed: "one of the names that mouldwright record backup --list prints", Do: "take one of them"}
}

// whole asks SQLite whether a file is.
func whole(ctx context.Context, path string) error {
	db := connect(path, "DELETE", busyMS)
	defer db.Close()
	said := ""
	if err := db.QueryRowContext(ctx, "PRAGMA integrity_check(1)").Scan(&said); err != nil {
		return err
	}
	if said != "ok" {
		return errors.New(said)
	}
	return nil
}

// alone refuses when a record is open somewhere: leaving the write-ahead log needs the
// file for oneself. A damaged record cannot be asked, and is taken as not open.
func alone(ctx context.Context, path string) error {
	db := connect(path, "DELETE", 500)
	defer db.Close()
	_, err := db.ExecContext(ctx, "SELECT 1")
	r := &Record{job: strings.TrimSuffix(path, ".record") + ".toml"}
	if err = r.explain(err); err != nil && strings.Contains(err.Error(), "does not let go") {
		return &finding.Error{File: path, Found: "the record is open", Err: err, Do: "close the workshop and every other window first; nothing was changed"}
	}
	return nil
}

func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o644)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	if err == nil {
		err = out.Sync()
	}
	if closing := out.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return fmt.Errorf("%s: %w", to, err)
	}
	return nil
}
