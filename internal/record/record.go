// Package record is the person's memory of what really happened: revisions that were
// built, plates printed and what came of each part, cure tests, pours, moulds and their
// uses, kitchen batches, boxes, what is at home.
//
//	Write(entries)  -> rows in job.record, a SQLite file beside the job file
//	All, List       <- the same rows, in the order of writing
//	Past            <- what a build needs to know of them: flow.Past
//	Trace, Yields   <- answers to questions about many of them
//	Verify          <- which revision a file or a code belongs to
//
// The design never lives here, and history never lives in the job file. Every row is
// written once and for good; a mistake is struck out by a Withdrawal. An entry that
// Write has taken is on the disk: killing the process does not lose it. Photos lie as
// files beside, under the names of their digests.
//
// Read schema in sql/ first, then entries_*.go, which are the same tables as Go types.
package record

import (
	"context"
	"crypto/rand"
	"database/sql"
	"path/filepath"
	"strings"
	"time"
)

// Record is an open record. Several may be open on one file at once, in one process or
// in many.
type Record struct {
	job     string // path of the job file
	version string // of the program, written into every entry
	db      *sql.DB
	now     func() time.Time
}

// Path is where the record of a job file lies: job.toml has job.record.
func Path(job string) string { return base(job) + ".record" }

// PhotoDir is the folder of a job's photos: job.photos.
func PhotoDir(job string) string { return base(job) + ".photos" }

// BackupDir is the folder of a record's backups: job.backups.
func BackupDir(job string) string { return base(job) + ".backups" }

func base(job string) string { return strings.TrimSuffix(job, filepath.Ext(job)) }

// Close ends the use of a record.
func (r *Record) Close() error { return r.db.Close() }

// Seen changes whenever someone else, in this process or another, has written into the
// record; it tells a window that it has something to fetch. It is only comparable with
// itself on one Record.
func (r *Record) Seen(ctx context.Context) (int, error) {
	n := 0
	err := r.db.QueryRowContext(ctx, "SELECT coalesce(max(seq), 0) FROM entry").Scan(&n)
	return n, r.explain(err)
}

// instant is how times are kept: UTC with milliseconds.
const instant = "2006-01-02T15:04:05.000Z"

func kept(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(instant)
}

// newID is a new entry's name: 26 symbols that no other entry will have, on any machine.
func newID() string { return strings.ToLower(rand.Text()) }
