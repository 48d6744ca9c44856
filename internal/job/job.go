// Package job reads the job file, checks it, and edits it with its comments kept.
//
//	text of a job file --Read--> flow.Choices, places of all keys, what was assumed
//	job file on disk   --Load--> the same with art, fonts and name list: flow.Input
//
// The rules of the file stand as field tags beside the choices of each stage (see
// binder in bind.go); nothing is written twice.
package job

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"sort"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow"
)

// Limits of a job. Our choice, so that a wrong file ends in words.
const (
	// MaxText bounds a job file: 2,000 names written into it are about 100 kB.
	MaxText = 4 << 20
	// maxFile bounds one art file: a binary STL of 20 million triangles.
	maxFile = 1 << 30
	// maxFiles bounds all art of a job together.
	maxFiles = 2 << 30
)

// Job is a checked job file.
type Job struct {
	Name     string // file name as the person wrote it
	Text     []byte
	Choices  flow.Choices
	Assumed  []flow.Assumed
	Measured []flow.Measured   // by the job's coupons, in Choices already
	Found    []finding.Finding // what their readings lack
	ix       index
}

// Read checks a job file's text. The error joins a finding.Error for every mistake.
func Read(name string, text []byte) (*Job, error) {
	if len(text) > MaxText {
		return nil, &finding.Error{File: name, Found: fmt.Sprintf("%d bytes", len(text)), Allowed: fmt.Sprintf("at most %d bytes", MaxText), Do: "move long lists of names into a CSV file"}
	}
	var tree map[string]any
	if err := toml.Unmarshal(text, &tree); err != nil {
		var d *toml.DecodeError
		e := &finding.Error{File: name, Found: "not TOML: " + strings.TrimPrefix(err.Error(), "toml: "), Do: "see toml.io for the form of such a file"}
		if errors.As(err, &d) {
			e.Line, e.Column = d.Position()
		}
		return nil, e
	}
	j := &Job{Name: name, Text: text, ix: indexKeys(text)}
	b := &binder{file: name, ix: j.ix}
	b.table("", reflect.ValueOf(&j.Choices).Elem(), tree)
	if len(b.errs) == 0 {
		b.crossCheck(&j.Choices)
	}
	if len(b.errs) > 0 {
		return nil, b.joined()
	}
	j.Assumed, j.Measured, j.Found = flow.TakeMeasured(&j.Choices, b.assumed)
	return j, nil
}

func (b *binder) joined() error {
	sort.SliceStable(b.errs, func(i, k int) bool {
		x, y := b.errs[i].(*finding.Error), b.errs[k].(*finding.Error)
		return x.Line < y.Line || x.Line == y.Line && x.Column < y.Column
	})
	if n := len(b.errs) - maxErrors; n > 0 {
		b.errs = append(b.errs[:maxErrors], &finding.Error{File: b.file, Found: fmt.Sprintf("%d more mistakes", n), Do: "mend these first"})
	}
	return errors.Join(b.errs...)
}

// Where gives the line and column at which a key stands, or those of what surrounds it.
func (j *Job) Where(key string) (line, column int) {
	p := (&binder{ix: j.ix}).find(key)
	return p.line, p.column
}

// Placed adds to an error about a key the place in the job file where that key stands.
func (j *Job) Placed(err error) error {
	e, ok := err.(*finding.Error)
	if !ok || e.File != "" || e.Key == "" {
		return err
	}
	at := *e
	at.File = j.Name
	at.Line, at.Column = j.Where(e.Key)
	return &at
}

// Load reads a job file and everything it names. Files are looked for beside the
// job file and below, never outside.
func Load(ctx context.Context, path string) (*Job, *flow.Input, error) {
	text, err := readLimited(path, MaxText)
	if err != nil {
		return nil, nil, err
	}
	j, err := Read(path, text)
	if err != nil {
		return nil, nil, err
	}
	root, err := os.OpenRoot(filepath.Dir(path))
	if err != nil {
		return nil, nil, &finding.Error{File: path, Found: "cannot open its folder", Err: err, Do: "see whether you may read it"}
	}
	defer root.Close()
	in, err := j.Input(ctx, root.FS())
	return j, in, err
}

// readLimited reads a file of bounded size with an error that names it.
func readLimited(path string, limit int64) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, &finding.Error{File: path, Found: "no such file", Do: "mouldwright new DIR makes a job to start from"}
	case err != nil:
		return nil, &finding.Error{File: path, Found: "cannot be read", Err: err, Do: "see whether you may read it"}
	case info.IsDir():
		return nil, &finding.Error{File: path, Found: "a folder", Allowed: "a job file", Do: "name the job file inside it, such as " + filepath.Join(path, "job.toml")}
	case info.Size() > limit:
		return nil, &finding.Error{File: path, Found: fmt.Sprintf("%d bytes", info.Size()), Allowed: fmt.Sprintf("at most %d bytes", limit), Do: "see that this is the file you meant"}
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, &finding.Error{File: path, Found: "cannot be read", Err: err, Do: "see whether you may read it"}
	}
	return text, nil
}

// Input reads art, fonts and names through files, which must not reach outside the
// job's folder.
func (j *Job) Input(ctx context.Context, files fs.FS) (*flow.Input, error) {
	in := &flow.Input{Choices: j.Choices, Assumed: j.Assumed, Measured: j.Measured, Found: j.Found, Files: map[string][]byte{}}
	total := int64(0)
	for _, want := range j.filesNamed() {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if _, done := in.Files[want.name]; done {
			continue
		}
		data, err := j.readArt(files, want, maxFiles-total)
		if err != nil {
			return nil, err
		}
		total += int64(len(data))
		in.Files[want.name] = data
	}
	rows, err := j.rows(in.Files)
	in.Rows = rows
	return in, err
}

// namedFile is a file that the job names, and the key that names it.
type namedFile struct{ name, key string }

func (j *Job) filesNamed() []namedFile {
	var out []namedFile
	c := &j.Choices
	if c.Names.File != "" {
		out = append(out, namedFile{c.Names.File, "names.file"})
	}
	if c.Box.File != "" {
		out = append(out, namedFile{c.Box.File, "box.file"})
	}
	for i, p := range c.Pieces {
		key := fmt.Sprintf("piece[%d]", i+1)
		if p.File != "" {
			out = append(out, namedFile{p.File, key + ".file"})
		}
		for k, a := range p.Art {
			at := fmt.Sprintf("%s.art[%d]", key, k+1)
			if a.File != "" {
				out = append(out, namedFile{a.File, at + ".file"})
			}
			if flow.IsFontFile(a.Font) {
				out = append(out, namedFile{a.Font, at + ".font"})
			}
		}
	}
	return out
}

func (j *Job) readArt(files fs.FS, want namedFile, left int64) ([]byte, error) {
	line, column := j.Where(want.key)
	e := &finding.Error{File: j.Name, Line: line, Column: column, Key: want.key}
	clean := filepath.ToSlash(filepath.Clean(want.name))
	if filepath.IsAbs(want.name) || !fs.ValidPath(clean) {
		e.Found, e.Allowed, e.Do = "\""+want.name+"\" lies outside the job's folder", "files beside the job file or in folders below it", "copy the file beside the job file"
		return nil, e
	}
	f, err := files.Open(clean)
	if err != nil {
		e.Found, e.Do = "cannot read \""+want.name+"\"", "put the file beside the job file, or mend its name"
		if errors.Is(err, fs.ErrNotExist) {
			e.Found = "no file \"" + want.name + "\""
		} else {
			e.Err = err
		}
		return nil, e
	}
	defer f.Close()
	info, err := f.Stat()
	limit := min(int64(maxFile), left)
	switch {
	case err != nil:
		e.Found, e.Err, e.Do = "cannot read \""+want.name+"\"", err, "see whether you may read it"
		return nil, e
	case !info.Mode().IsRegular():
		e.Found, e.Allowed, e.Do = "\""+want.name+"\" is no ordinary file", "a file", "name a file, not a folder"
		return nil, e
	case info.Size() == 0:
		e.Found, e.Do = "\""+want.name+"\" is empty", "save it again from the program that made it"
		return nil, e
	case info.Size() > limit:
		e.Found, e.Allowed, e.Do = fmt.Sprintf("\"%s\" has %d bytes", want.name, info.Size()), fmt.Sprintf("at most %d bytes", limit), "save it smaller, with fewer points or pixels"
		return nil, e
	}
	if kept, ok := f.(interface{ Bytes() []byte }); ok { // by a caller that reads a job again and again
		return kept.Bytes(), nil
	}
	data := make([]byte, info.Size())
	if _, err := io.ReadFull(f, data); err != nil {
		e.Found, e.Err, e.Do = "cannot read \""+want.name+"\" to its end", err, "copy the file anew"
		return nil, e
	}
	return data, nil
}
