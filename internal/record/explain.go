package record

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"syscall"

	"modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"

	"mouldwright/internal/base/finding"
)

// explain words what SQLite refuses. Errors that are clear already stay as they are.
func (r *Record) explain(err error) error {
	var known *finding.Error
	var e *sqlite.Error
	if err == nil || errors.As(err, &known) || errors.Is(err, context.Canceled) || !errors.As(err, &e) {
		return err
	}
	path := Path(r.job)
	switch e.Code() & 0xff {
	case lib.SQLITE_BUSY, lib.SQLITE_LOCKED:
		return &finding.Error{File: path, Found: "the record is being written by another program, which does not let go", Err: err, Do: "close the other one, and try again; nothing was written"}
	case lib.SQLITE_READONLY, lib.SQLITE_PERM:
		return cannotWrite(path, fmt.Errorf("%w: %w", fs.ErrPermission, err))
	case lib.SQLITE_CANTOPEN:
		return cannotWrite(path, err)
	case lib.SQLITE_CORRUPT, lib.SQLITE_NOTADB:
		return damaged(path, err)
	case lib.SQLITE_FULL:
		return &finding.Error{File: path, Found: "the disk is full", Err: err, Do: "make room, and try again; the record is as it was"}
	case lib.SQLITE_IOERR:
		return &finding.Error{File: path, Found: "the disk does not read or write the record", Err: err, Do: "look after the disk; copy the record and its backups elsewhere"}
	case lib.SQLITE_CONSTRAINT:
		return &finding.Error{File: path, Found: "an entry that does not fit what is there", Err: err, Do: "see that what it refers to is written first; nothing was written"}
	}
	return err
}

func damaged(path string, err error) error {
	return &finding.Error{File: path, Found: "the record is damaged", Err: err,
		Do: "mouldwright record check says where; mouldwright record restore puts the last backup in its place. It is as it was"}
}

func cannotWrite(path string, err error) error {
	do := "see whether there is room on the disk and whether you may write to its folder; the record is as it was"
	if errors.Is(err, fs.ErrPermission) || errors.Is(err, syscall.EROFS) {
		do = "copy the job's folder to where you may write; the record is as it was"
	}
	return &finding.Error{File: path, Found: "the record cannot be written", Err: err, Do: do}
}
