package record

import (
	"context"
	"database/sql"
	"embed"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"time"

	"mouldwright/internal/base/finding"

	_ "modernc.org/sqlite" // the driver "sqlite"
)

//go:embed sql/*.sql
var schemas embed.FS

// schemaVersion is the newest schema: the number of files in sql/.
const schemaVersion = 4

// applicationID marks a SQLite file as a record: "mldw" (PRAGMA application_id).
const applicationID = 0x6d6c6477

// busyMS is how long a writer waits for another one.
const busyMS = 5000

// Options is what a record is opened with.
type Options struct {
	Version string           // of the program
	Now     func() time.Time // nil: the machine's clock
	// BusyMS is how long to wait for another writer; 0: five seconds.
	BusyMS int
}

// ErrNone says that a job has no record yet.
var ErrNone = errors.New("there is no record yet")

// Open opens the record of a job file, making a new one where there is none. An older
// schema is brought up to date, after a backup. Of each day, the first opening with
// anything to lose makes a dated backup.
func Open(ctx context.Context, job string, opt Options) (*Record, error) {
	if _, err := os.Stat(Path(job)); errors.Is(err, fs.ErrNotExist) {
		if err := create(ctx, job); err != nil {
			return nil, err
		}
	}
	return OpenExisting(ctx, job, opt)
}

// OpenExisting opens a record that is there; ErrNone says that it is not.
func OpenExisting(ctx context.Context, job string, opt Options) (*Record, error) {
	if err := looksLikeOne(Path(job)); err != nil {
		return nil, err
	}
	r := &Record{job: job, version: opt.Version, now: opt.Now}
	if r.now == nil {
		r.now = time.Now
	}
	wait := opt.BusyMS
	if wait == 0 {
		wait = busyMS
	}
	r.db = connect(Path(job), "WAL", wait)
	if err := r.ready(ctx); err != nil {
		r.db.Close()
		return nil, r.explain(err)
	}
	return r, nil
}

func (r *Record) ready(ctx context.Context) error {
	v, err := userVersion(ctx, r.db)
	if err != nil {
		return err
	}
	if v > schemaVersion {
		return &finding.Error{File: Path(r.job), Found: fmt.Sprintf("a record of a newer program: its form is number %d", v), Allowed: fmt.Sprintf("up to number %d", schemaVersion),
			Do: "use the newer program; the record is as it was"}
	}
	if v < schemaVersion {
		if err := r.backup(ctx, fmt.Sprintf("-before-form-%d", schemaVersion)); err != nil {
			return err
		}
		if err := migrate(ctx, r.db, schemaVersion); err != nil {
			return err
		}
	}
	return r.dailyBackup(ctx)
}

// connect is a pool of connections, each with all its pragmas.
func connect(path, journal string, busyMS int) *sql.DB {
	q := url.Values{"_txlock": {"immediate"}, "_pragma": {
		fmt.Sprintf("busy_timeout(%d)", busyMS), "journal_mode(" + journal + ")", "synchronous(FULL)", "foreign_keys(1)", "trusted_schema(0)"}}
	u := url.URL{Scheme: "file", OmitHost: true, Path: filepath.ToSlash(path), RawQuery: q.Encode()}
	if !filepath.IsAbs(path) {
		u = url.URL{Scheme: "file", Opaque: (&url.URL{Path: filepath.ToSlash(path)}).EscapedPath(), RawQuery: q.Encode()}
	}
	db, err := sql.Open("sqlite", u.String())
	if err != nil {
		panic("record: " + err.Error()) // only an unknown driver
	}
	db.SetMaxOpenConns(4)
	return db
}

// create makes an empty record beside, whole, and then gives it its name. When someone
// else was quicker, theirs stands.
func create(ctx context.Context, job string) error {
	path := Path(job)
	tmp, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".making-")
	if err != nil {
		return cannotWrite(path, err)
	}
	tmp.Close()
	defer os.Remove(tmp.Name())
	db := connect(tmp.Name(), "DELETE", busyMS)
	_, err = db.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d", applicationID))
	if err == nil {
		err = migrate(ctx, db, schemaVersion)
	}
	if closing := db.Close(); err == nil {
		err = closing
	}
	if err == nil {
		err = os.Chmod(tmp.Name(), 0o644)
	}
	if err == nil {
		err = os.Link(tmp.Name(), path)
		if errors.Is(err, fs.ErrExist) {
			err = nil
		} else if err != nil { // a file system without links
			err = os.Rename(tmp.Name(), path)
		}
	}
	if err == nil {
		err = syncDir(filepath.Dir(path))
	}
	if err != nil {
		return cannotWrite(path, err)
	}
	return nil
}

// migrate brings a file from its schema to the one with number to, one step after the
// other, all in one transaction.
func migrate(ctx context.Context, db *sql.DB, to int) error {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	at := 0
	if err := tx.QueryRowContext(ctx, "PRAGMA user_version").Scan(&at); err != nil {
		return err
	}
	for ; at < to; at++ {
		step, err := schemas.ReadFile(fmt.Sprintf("sql/%d.sql", at+1))
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, string(step)); err != nil {
			return fmt.Errorf("sql/%d.sql: %w", at+1, err)
		}
	}
	if _, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA user_version = %d", at)); err != nil {
		return err
	}
	return tx.Commit()
}

func userVersion(ctx context.Context, db *sql.DB) (v int, err error) {
	return v, db.QueryRowContext(ctx, "PRAGMA user_version").Scan(&v)
}

// looksLikeOne reads the head of a file, so that a foreign one is never opened for
// writing. Offsets: the SQLite file format, section 1.3 (sqlite.org/fileformat2.html).
func looksLikeOne(path string) error {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return ErrNone
	}
	if err != nil {
		return &finding.Error{File: path, Found: "the record cannot be read", Err: err, Do: "see whether you may read it"}
	}
	defer f.Close()
	head := make([]byte, 100)
	if _, err := io.ReadFull(f, head); err != nil || string(head[:16]) != "SQLite format 3\x00" {
		return damaged(path, errors.New("its head is not that of a record"))
	}
	if binary.BigEndian.Uint32(head[68:]) != applicationID {
		return &finding.Error{File: path, Found: "a file of another program, not a record", Do: "move it elsewhere; it is as it was"}
	}
	return nil
}

func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
