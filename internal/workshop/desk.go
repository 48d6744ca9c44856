package workshop

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"sync"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/shopping"
	"mouldwright/internal/job"
	"mouldwright/internal/output"
)

// Desk holds the job file: its text, what it means, and every text that came before.
// All changes of the file go through it, one at a time, and are on the disk before
// anyone hears of them.
type Desk struct {
	root    *os.Root // the job's folder
	dir     string
	file    string // name of the job file in it
	program string // version, part of the digest

	mu       sync.Mutex
	text     []byte
	version  string
	good     *flow.Input // of the last text that could be used
	goodFor  string      // its version
	digest   string      // of good: flow.Digest
	mistakes []Mistake   // why text cannot be used; empty when it can
	past     []step
	future   []step
	own      []Edit // of the page, since the text on the disk was last someone else's
	base     []byte // that text
	clash    *Clash
	seen     stamp     // of the job file, when text was read or written
	happened flow.Past // what the record has
	news     bool      // a change by someone else that nobody has been told of
	art      *artCache
}

// step is a text that was in place before another.
type step struct {
	text []byte
	own  []Edit    // that led away from it; none for a change by a text editor
	last time.Time // when the last of them was made
}

// dragPause parts two drags of one slider: edits of the same key that follow each
// other more quickly are one step back.
const dragPause = 700 * time.Millisecond

// drags says whether edits go on with what the step before began.
func (s step) drags(edits []Edit) bool {
	return len(s.own) == 1 && len(edits) == 1 && s.own[0].Do == "set" && edits[0].Do == "set" &&
		s.own[0].Key == edits[0].Key && time.Since(s.last) < dragPause
}

// Bounds of the history: texts and bytes kept.
const (
	maxSteps     = 1000
	maxStepBytes = 64 << 20
)

// errStale says that an edit was made on a text that is no longer in place.
var errStale = errors.New("the job has changed meanwhile")

// openDesk reads the job file at path. A text that cannot be used is no error: the
// desk then holds its mistakes.
func openDesk(ctx context.Context, path, program string) (*Desk, error) {
	real, err := filepath.EvalSymlinks(path)
	if err != nil {
		return nil, &finding.Error{File: path, Found: "cannot be opened", Err: err, Do: "name a job file"}
	}
	if real, err = filepath.Abs(real); err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(filepath.Dir(real))
	if err != nil {
		return nil, &finding.Error{File: path, Found: "cannot open its folder", Err: err, Do: "look whether it may be read"}
	}
	d := &Desk{root: root, dir: filepath.Dir(real), file: filepath.Base(real), program: program, art: newArtCache(root.FS())}
	text, st, err := d.read()
	if err != nil {
		root.Close()
		return nil, err
	}
	d.adopt(ctx, text, st)
	d.base = text
	return d, nil
}

func (d *Desk) close() { d.root.Close() }

// read takes the text from the disk.
func (d *Desk) read() ([]byte, stamp, error) {
	info, err := d.root.Stat(d.file)
	if err == nil && info.Size() > job.MaxText {
		err = &finding.Error{File: d.file, Found: fmt.Sprintf("%d bytes", info.Size()), Allowed: fmt.Sprintf("at most %d bytes", job.MaxText), Do: "move long lists of names into a CSV file"}
	}
	if err != nil {
		return nil, stamp{}, err
	}
	text, err := d.root.ReadFile(d.file)
	return text, stampOf(info), err
}

// adopt takes a text as the one in place.
func (d *Desk) adopt(ctx context.Context, text []byte, st stamp) {
	d.text, d.seen, d.version = text, st, versionOf(text)
	in, err := d.input(ctx, text)
	if err != nil {
		d.mistakes = mistakes(err)
		return
	}
	d.use(in)
}

// use takes what the text in place means.
func (d *Desk) use(in *flow.Input) {
	in.Past = d.happened
	d.good, d.goodFor, d.mistakes = in, d.version, nil
	d.digest = fmt.Sprintf("%x", flow.Digest(in, d.program))
}

// remember takes what the record has as what happened before, and tells whether that
// changes the plan: a clock does not. A weighed mass alone changes what is left to buy and
// nothing that is looked at while rubber is wet; late says that this may wait.
func (d *Desk) remember(past flow.Past) (changes, late bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	was, is := d.happened, past
	was.Now, is.Now = time.Time{}, time.Time{}
	if reflect.DeepEqual(was, is) {
		return false, false
	}
	takenBefore, taken := usedUp(was.Stock), usedUp(is.Stock)
	was.Stock, is.Stock = whatIsThere(was.Stock), whatIsThere(is.Stock)
	late = reflect.DeepEqual(was, is) && !reflect.DeepEqual(takenBefore, taken)
	d.happened = past
	if d.good != nil {
		in := *d.good // others may be at work on the old one
		in.Past = past
		d.good = &in
	}
	return true, late
}

// usedUp is the stock that this job used up.
func usedUp(list []shopping.Stock) (out []shopping.Stock) {
	for _, s := range list {
		if s.Done {
			out = append(out, s)
		}
	}
	return out
}

// whatIsThere is the stock that is there, whatever is left of it and since it was opened.
func whatIsThere(list []shopping.Stock) (out []shopping.Stock) {
	for _, s := range list {
		if !s.Done {
			s.Amount, s.Opened = 0, unit.Date{}
			out = append(out, s)
		}
	}
	return out
}

// input reads a text with all it names.
func (d *Desk) input(ctx context.Context, text []byte) (*flow.Input, error) {
	j, err := job.Read(d.file, text)
	if err != nil {
		return nil, err
	}
	return j.Input(ctx, d.art)
}

func versionOf(text []byte) string {
	sum := sha256.Sum256(text)
	return fmt.Sprintf("%x", sum[:8])
}

// Edit makes edits together or not at all. errStale: the text is not the version they
// were made on; they wait in the clash then.
func (d *Desk) edit(ctx context.Context, version string, edits []Edit) error {
	release, err := d.hold(ctx)
	if err != nil {
		return err
	}
	defer release()
	if version != d.version {
		d.clash = &Clash{Edits: edits, Keys: changedKeys(d.textOf(version), d.text)}
		return errStale
	}
	return d.apply(ctx, edits)
}

// apply edits the text in place.
func (d *Desk) apply(ctx context.Context, edits []Edit) error {
	text, err := applyEdits(d.text, edits)
	if err != nil {
		return err
	}
	if bytes.Equal(text, d.text) {
		return nil
	}
	in, err := d.input(ctx, text)
	if err != nil {
		return err
	}
	if err := d.save(text); err != nil {
		return err
	}
	if n := len(d.past); n > 0 && len(d.future) == 0 && d.past[n-1].drags(edits) {
		d.past[n-1].own, d.past[n-1].last = edits, time.Now()
	} else {
		d.push(step{text: d.text, own: edits, last: time.Now()})
	}
	d.own = append(d.own, edits...)
	d.text, d.version = text, versionOf(text)
	d.use(in)
	return nil
}

// push remembers a text that another replaces.
func (d *Desk) push(s step) {
	d.past, d.future = append(d.past, s), nil
	size := 0
	for i, p := range slices.Backward(d.past) {
		if size += len(p.text); size > maxStepBytes || len(d.past)-i > maxSteps {
			d.past = slices.Clone(d.past[i+1:])
			break
		}
	}
}

// step goes back (undo) or forward by one text.
func (d *Desk) step(ctx context.Context, version string, back bool) error {
	release, err := d.hold(ctx)
	if err != nil {
		return err
	}
	defer release()
	if version != d.version {
		return errStale
	}
	from, to := &d.past, &d.future
	if !back {
		from, to = to, from
	}
	if len(*from) == 0 {
		return &finding.Error{Found: "nothing to " + map[bool]string{true: "undo", false: "redo"}[back], Do: "change something first"}
	}
	s := (*from)[len(*from)-1]
	if err := d.save(s.text); err != nil {
		return err
	}
	*from = (*from)[:len(*from)-1]
	*to = append(*to, step{text: d.text, own: s.own})
	st := d.seen
	d.adopt(ctx, s.text, st)
	d.own, d.base = nil, s.text
	return nil
}

// settle ends a clash: mine puts its edits on top of the text in place, theirs drops
// them.
func (d *Desk) settle(ctx context.Context, version string, mine bool) error {
	release, err := d.hold(ctx)
	if err != nil {
		return err
	}
	defer release()
	switch {
	case version != d.version:
		return errStale
	case d.clash == nil:
		return nil
	case mine:
		if err := d.apply(ctx, d.clash.Edits); err != nil {
			return err
		}
	}
	d.clash = nil
	return nil
}

// hold keeps the job from other workshops until release is called, and takes up what
// they and text editors have written.
func (d *Desk) hold(ctx context.Context) (release func(), err error) {
	d.mu.Lock()
	unlock, err := output.Hold(filepath.Join(d.dir, d.file))
	if err != nil {
		d.mu.Unlock()
		return nil, d.unsaved(err)
	}
	d.seen = stamp{} // two writes can fall into one tick of the files' clock
	d.look(ctx)
	return func() {
		unlock()
		d.mu.Unlock()
	}, nil
}

// unsaved is the error of a job file that cannot be written.
func (d *Desk) unsaved(err error) error {
	return &finding.Error{File: d.file, Found: "cannot be saved", Err: err, Do: "make room on the disk, or see whether you may write to its folder; the job is as it was"}
}

// look takes up what a text editor has written.
func (d *Desk) look(ctx context.Context) {
	info, err := d.root.Stat(d.file)
	if err != nil {
		return // a file that is away is being replaced
	}
	art := d.art.changed()
	if stampOf(info) == d.seen && !art && len(d.mistakes) == 0 {
		return
	}
	text, st, err := d.read()
	if err != nil {
		return
	}
	if bytes.Equal(text, d.text) {
		d.seen = st
		was := d.mistakes
		if !art && len(was) == 0 {
			return
		}
		d.art.forget()
		d.adopt(ctx, text, st) // also when a file that was missing has come
		d.news = d.news || art || !slices.Equal(was, d.mistakes)
		return
	}
	before := d.text
	d.push(step{text: before})
	if lost := lostEdits(d.base, before, text, d.own); len(lost) > 0 {
		d.clash = &Clash{Edits: lost, Keys: changedKeys(d.base, text)}
	}
	d.art.forget()
	d.adopt(ctx, text, st)
	d.own, d.base, d.news = nil, text, true
}

// tidings takes up what has changed on the disk, and reports whether there is anything
// that nobody has been told of.
func (d *Desk) tidings(ctx context.Context) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.look(ctx)
	news := d.news
	d.news = false
	return news
}

// now is the version of the text in place.
func (d *Desk) now() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.version
}

// usable is what the last text that can be used means; its input is nil while there is
// none.
func (d *Desk) usable() usable {
	d.mu.Lock()
	defer d.mu.Unlock()
	return usable{d, d.good, d.text, d.goodFor, d.digest, d.mistakes}
}

// usable is a job that can be shown, the last one when the text in place cannot.
type usable struct {
	desk     *Desk
	in       *flow.Input
	text     []byte // in place, whether it can be used or not
	version  string // of the text that in is of
	digest   string // of its inputs
	mistakes []Mistake
}

// textOf finds a text that was in place, by its version; nil when it is forgotten.
func (d *Desk) textOf(version string) []byte {
	for _, list := range [][]step{d.past, d.future} {
		for _, s := range slices.Backward(list) {
			if versionOf(s.text) == version {
				return s.text
			}
		}
	}
	return nil
}

// save writes the text beside the job file, syncs it, and puts it in its place.
func (d *Desk) save(text []byte) error {
	if err := output.Replace(d.root, d.file, 0o644, func(f *os.File) error {
		_, err := f.Write(text)
		return err
	}); err != nil {
		return d.unsaved(err)
	}
	if info, err := d.root.Stat(d.file); err == nil {
		d.seen = stampOf(info)
	}
	return nil
}

// mistakes turns an error, or several joined, into what a page shows.
func mistakes(err error) []Mistake {
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		var all []Mistake
		for _, e := range joined.Unwrap() {
			all = append(all, mistakes(e)...)
		}
		return all
	}
	var e *finding.Error
	if !errors.As(err, &e) {
		return []Mistake{{Found: err.Error()}}
	}
	m := Mistake{File: e.File, Line: e.Line, Column: e.Column, Key: e.Key, Found: e.Found, Allowed: e.Allowed, Do: e.Do}
	if e.Err != nil {
		m.Found = join(m.Found, ": ", e.Err.Error())
	}
	return []Mistake{m}
}

func join(a, between, b string) string {
	if a == "" {
		return b
	}
	return a + between + b
}
