package record

import (
	"bufio"
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"time"

	"mouldwright/internal/base/finding"
)

// linesName is the file of an export that carries everything, as do the tables beside it.
const linesName = "record.jsonl"

// maxLine bounds one line of an import; maxLines their number.
const (
	maxLine  = 8 << 20
	maxLines = 1_000_000
)

// line is one entry in an export.
type line struct {
	Kind      string          `json:"kind"`
	ID        string          `json:"id"`
	WrittenAt time.Time       `json:"written_at"`
	Version   string          `json:"version"`
	SHA256    string          `json:"sha256"`
	Entry     json.RawMessage `json:"entry"`
}

// Lines writes every entry, struck out or not, as JSON Lines in the order of writing.
func (r *Record) Lines(ctx context.Context, w io.Writer) error {
	e, err := r.All(ctx)
	if err != nil {
		return err
	}
	list := e.List()
	slices.SortFunc(list, func(a, b Entry) int { return a.head().Seq - b.head().Seq })
	b := bufio.NewWriter(w)
	enc := json.NewEncoder(b)
	for _, x := range list {
		k, _ := kindOf(x)
		h := x.head()
		if err := enc.Encode(line{k.table, h.ID, h.WrittenAt, h.Version, contentSum(k, x), content(x)}); err != nil {
			return err
		}
	}
	return b.Flush()
}

// Export writes the whole record into a new folder: record.jsonl, a CSV for every kind
// that has entries, and the photos.
func (r *Record) Export(ctx context.Context, dir string) error {
	if list, err := os.ReadDir(dir); err == nil && len(list) > 0 {
		return &finding.Error{File: dir, Found: "is not empty", Allowed: "a new folder, or an empty one", Do: "name another folder"}
	}
	tmp := dir + ".making"
	os.RemoveAll(tmp)
	defer os.RemoveAll(tmp)
	e, err := r.All(ctx)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Join(tmp, "photos"), 0o755); err != nil {
		return cannotWrite(dir, err)
	}
	if err := writeFile(filepath.Join(tmp, linesName), func(w io.Writer) error { return r.Lines(ctx, w) }); err != nil {
		return err
	}
	for _, k := range kinds {
		if reflect.ValueOf(e).Elem().Field(k.at).Len() == 0 {
			continue
		}
		if err := writeFile(filepath.Join(tmp, k.table+".csv"), func(w io.Writer) error { return e.table(k, w) }); err != nil {
			return err
		}
	}
	for i := range e.Photos {
		data, err := r.ReadPhoto(&e.Photos[i])
		if err != nil {
			return err
		}
		if err := writeFile(filepath.Join(tmp, "photos", e.Photos[i].File), func(w io.Writer) error { _, err := w.Write(data); return err }); err != nil {
			return err
		}
	}
	os.Remove(dir) // an empty one
	if err := os.Rename(tmp, dir); err != nil {
		return cannotWrite(dir, err)
	}
	return nil
}

func writeFile(path string, content func(io.Writer) error) error {
	f, err := os.Create(path)
	if err != nil {
		return cannotWrite(path, err)
	}
	err = content(f)
	if err == nil {
		err = f.Sync()
	}
	if closing := f.Close(); err == nil {
		err = closing
	}
	return err
}

// Imported is what came of an import.
type Imported struct {
	New   int // entries that were written
	There int // entries that were there already
}

// Import takes what Export wrote: a folder, or its record.jsonl alone. Of a folder without
// record.jsonl its tables are taken. All of it is taken, or nothing. What is there already
// is left alone; an entry whose content differs from the one of the same name, or from its
// own digest, refuses the whole.
func (r *Record) Import(ctx context.Context, path string) (Imported, error) {
	list, dir, err := readExport(path)
	if err != nil {
		return Imported{}, err
	}
	if dir != "" {
		if err := r.importPhotos(list, dir); err != nil {
			return Imported{}, err
		}
	}
	var n Imported
	return n, r.within(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, "PRAGMA defer_foreign_keys = 1"); err != nil {
			return err
		}
		for _, e := range list {
			if err := insert(ctx, tx, e); err != nil {
				return err
			}
			if e.head().Seq > 0 {
				n.New++
			} else {
				n.There++
			}
		}
		return nil
	})
}

// readExport reads all entries of an export; dir is its folder, if it is one.
func readExport(path string) (list []Entry, dir string, err error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, "", &finding.Error{File: path, Found: "cannot be read", Err: err, Do: "see whether you may read it"}
	}
	file := path
	if info.IsDir() {
		dir, file = path, filepath.Join(path, linesName)
		if _, err := os.Stat(file); errors.Is(err, fs.ErrNotExist) {
			list, err = readTables(dir)
			return list, dir, err
		}
	}
	f, err := os.Open(file)
	if err != nil {
		return nil, "", &finding.Error{File: file, Found: "cannot be read", Err: err, Allowed: "a folder that record export made", Do: "name such a folder, or its record.jsonl"}
	}
	defer f.Close()
	list, err = readLines(file, f)
	return list, dir, err
}

// readLines reads and checks all entries of an export before any is written.
func readLines(name string, r io.Reader) (out []Entry, err error) {
	s := bufio.NewScanner(r)
	s.Buffer(nil, maxLine)
	at := 0
	bad := func(found string, err error) error {
		return &finding.Error{File: name, Line: at, Found: found, Err: err, Do: "nothing was written"}
	}
	for s.Scan() {
		at++
		if len(bytes.TrimSpace(s.Bytes())) == 0 {
			continue
		}
		if at > maxLines {
			return nil, bad(fmt.Sprintf("more than %d lines", maxLines), nil)
		}
		var l line
		if err := strictly(s.Bytes(), &l); err != nil {
			return nil, bad("no entry of a record", err)
		}
		k, ok := kindNamed(l.Kind)
		if !ok {
			return nil, bad(fmt.Sprintf("an entry of a kind that this program does not know: %.40q", l.Kind), nil)
		}
		e := reflect.New(k.typ).Interface().(Entry)
		if err := strictly(l.Entry, e); err != nil {
			return nil, bad("a "+k.table+" that cannot be read", err)
		}
		if *e.head() != (Head{}) {
			return nil, bad("a "+k.table+" with a head inside", nil)
		}
		*e.head() = Head{ID: l.ID, WrittenAt: l.WrittenAt, Version: l.Version}
		if l.ID == "" || l.WrittenAt.IsZero() {
			return nil, bad("a "+k.table+" without id or instant", nil)
		}
		if err := check(e); err != nil {
			return nil, bad("", err)
		}
		if sum := contentSum(k, e); l.SHA256 != sum {
			return nil, bad("a "+k.table+" whose content is not what its digest says", nil)
		}
		out = append(out, e)
	}
	if err := s.Err(); errors.Is(err, bufio.ErrTooLong) {
		at++
		return nil, bad(fmt.Sprintf("a line of more than %d MB", maxLine>>20), nil)
	} else if err != nil {
		return nil, bad("cannot be read to its end", err)
	}
	return out, nil
}

func strictly(data []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return err
	}
	if _, err := d.Token(); err != io.EOF {
		return errors.New("more than one value")
	}
	return nil
}

// importPhotos brings the photos' files, before their entries.
func (r *Record) importPhotos(list []Entry, dir string) error {
	for _, e := range list {
		p, ok := e.(*Photo)
		if !ok {
			continue
		}
		if p.File != filepath.Base(p.File) || !strings.HasPrefix(p.File, p.SHA256) {
			return &finding.Error{File: dir, Key: "photo " + p.ID, Found: fmt.Sprintf("a file name that leads elsewhere: %.80q", p.File), Do: "nothing was written"}
		}
		path := filepath.Join(dir, "photos", p.File)
		info, err := os.Stat(path)
		if errors.Is(err, fs.ErrNotExist) {
			if _, err := r.ReadPhoto(p); err == nil {
				continue
			}
		}
		if err != nil || info.Size() > MaxPhoto {
			return &finding.Error{File: path, Found: "the photo cannot be read", Err: err, Do: "nothing was written"}
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return &finding.Error{File: path, Found: "the photo cannot be read", Err: err, Do: "put the photo back where it was, or withdraw its entry"}
		}
		if sum := digestOf(data); sum != p.SHA256 {
			return &finding.Error{File: path, Found: "the photo is not what its entry says", Do: "take the export again; nothing was written"}
		}
		if err := r.putPhoto(p.File, data); err != nil {
			return err
		}
	}
	return nil
}
