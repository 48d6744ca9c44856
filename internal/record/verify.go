package record

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/stl"
	"mouldwright/internal/base/format/threemf"
	"mouldwright/internal/flow"
)

// Verdict is what a file or a code is.
type Verdict struct {
	Kind    string   `json:"kind" enum:"current,older,other job,damaged,misread,unknown"`
	Words   string   `json:"words" doc:"what it is, in a sentence"`
	Do      string   `json:"do,omitempty" doc:"what to do"`
	Code    string   `json:"code,omitempty" doc:"of the revision that it belongs to"`
	Changes []string `json:"changes" doc:"older: what has changed since"`
	Perhaps []string `json:"perhaps" doc:"misread: what it may have been, the likeliest first"`
	Same    []string `json:"same" doc:"older: parts of it that are the same in the present revision, but for the engraved code"`
	Other   []string `json:"other" doc:"older: parts of it that have changed since, where that is known"`
}

func newVerdict() Verdict {
	return Verdict{Changes: []string{}, Perhaps: []string{}, Same: []string{}, Other: []string{}}
}

// AsPrinted tells whether what was asked about may be printed or used as it is.
func (v Verdict) AsPrinted() bool {
	return v.Kind == "current" || v.Kind == "older" && len(v.Same) > 0 && len(v.Other) == 0
}

// Present is the job as it is now.
type Present struct {
	Input   *flow.Input
	Program string // version
}

func (p Present) digest() string { return fmt.Sprintf("%x", flow.Digest(p.Input, p.Program)) }

// Code is the short code of its revision.
func (p Present) Code() string { return flow.Code(flow.Digest(p.Input, p.Program)) }

// VerifyCode says what a code is that was read off a part or a sheet. r may be nil: then
// only the present revision is known.
func VerifyCode(ctx context.Context, r *Record, code string, now Present) (Verdict, error) {
	e, err := known(ctx, r)
	if err != nil {
		return Verdict{}, err
	}
	v := newVerdict()
	clean, ok := flow.ParseCode(code)
	if !ok {
		v.Kind, v.Perhaps = "misread", plausible(code, e, now)
		v.Words = fmt.Sprintf("%.40q cannot be a code: ", code)
		if clean == "" {
			v.Words += "a code is six letters and figures and a check symbol"
			if len(v.Perhaps) == 0 {
				v.Kind = "unknown"
			}
		} else {
			v.Words += "its check symbol does not belong to it"
		}
		v.Do = "look at it again, in slanting light"
		return v, nil
	}
	v.Code = clean
	if clean == now.Code() {
		v.Kind, v.Words = "current", clean+" is the job as it is now"
		return v, nil
	}
	for i := range slices.Backward(e.Revisions) {
		if o := &e.Revisions[i]; o.Code == clean {
			return e.older(v, o, clean+" is the revision of "+o.At.Local().Format("2 January 2006, 15:04"), "", now), nil
		}
	}
	v.Kind, v.Words = "unknown", clean+" is well read, and no revision that this record has: another job's, or one that was built elsewhere"
	v.Do = "look into the records of your other jobs"
	return v, nil
}

// known is what a record has about revisions; nothing where there is none.
func known(ctx context.Context, r *Record) (*Entries, error) {
	if r == nil {
		return &Entries{}, nil
	}
	return r.All(ctx)
}

// older is the verdict on a revision: file is the one of its files that was asked about,
// or empty for its code.
func (e *Entries) older(v Verdict, o *Revision, words, file string, now Present) Verdict {
	v.Code = o.Code
	if o.Digest == now.digest() {
		v.Kind, v.Words = "current", words
		return v
	}
	v.Kind, v.Words = "older", words+", not the job as it is now"
	v.Changes = append(v.Changes, changes(e.madeOf(o), madeNow(now.Input, now.Program))...)
	v.Do = "build the job and take the new files"
	e.tellSame(&v, o, file, now)
	return v
}

var (
	codeInName = regexp.MustCompile(`(?:^|[-_ ])([0-9A-HJKMNP-TV-Z]{7})[-_ .]`)
	inputsSum  = regexp.MustCompile(`inputs with SHA-256 ([0-9a-f]{64})`)
)

// stamp is what a file says of itself.
type stamp struct {
	code, digest, title string
	broken              error // why the file cannot be read
	made                bool  // it is one of ours
}

// VerifyFile says what a file is. r may be nil.
func VerifyFile(ctx context.Context, r *Record, name string, data []byte, now Present) (Verdict, error) {
	e, err := known(ctx, r)
	if err != nil {
		return Verdict{}, err
	}
	v := newVerdict()
	sum := fmt.Sprintf("%x", sha256.Sum256(data))
	for i := range slices.Backward(e.Files) {
		f := &e.Files[i]
		if f.SHA256 != sum || f.Role != "made" {
			continue
		}
		for k := range e.Revisions {
			if o := &e.Revisions[k]; o.ID == f.Revision {
				return e.older(v, o, fmt.Sprintf("%s is %s of revision %s, byte for byte", name, f.Name, o.Code), f.Name, now), nil
			}
		}
	}
	s := stampOf(name, data)
	v.Code = s.code
	ours := e.revisionOf(s)
	switch {
	case ours != nil && s.broken != nil:
		v.Kind, v.Words = "damaged", fmt.Sprintf("%s bears the code %s of a revision of this job, and cannot be read: %v", name, ours.Code, s.broken)
		v.Do = "take the file again from where it was built"
	case ours != nil && e.madeBy(ours):
		v.Kind, v.Words = "damaged", fmt.Sprintf("%s says that it is of revision %s, and its bytes are none that were built", name, ours.Code)
		v.Do = "take the file again from where it was built"
	case s.digest != "" && s.digest == now.digest():
		v.Kind, v.Words = "current", name+" says that it is of the job as it is now; it was not built here, so that its bytes cannot be compared"
	case s.broken != nil && s.made:
		v.Kind, v.Words, v.Do = "damaged", fmt.Sprintf("%s cannot be read: %v", name, s.broken), "take the file again from where it was built"
	case s.made && s.title != "" && !strings.HasPrefix(s.title, now.Input.Choices.Title):
		v.Kind, v.Words, v.Do = "other job", fmt.Sprintf("%s is of another job: %s, revision %s", name, s.title, s.code), "look beside that job"
	case s.made:
		v.Kind, v.Words = "other job", fmt.Sprintf("%s is of revision %s, which this record does not have: another job's, or one that was built elsewhere", name, s.code)
	default:
		v.Kind, v.Words = "unknown", name+" bears no mark of this program"
	}
	return v, nil
}

func (e *Entries) revisionOf(s stamp) *Revision {
	for i := range e.Revisions {
		if o := &e.Revisions[i]; s.digest != "" && o.Digest == s.digest || s.digest == "" && s.code != "" && o.Code == s.code {
			return o
		}
	}
	return nil
}

// madeBy says whether the record knows the files of a revision.
func (e *Entries) madeBy(o *Revision) bool {
	return slices.ContainsFunc(e.Files, func(f File) bool { return f.Revision == o.ID && f.Role == "made" })
}

// stampOf reads what a file says of itself: 3MF by its metadata, STL by its first line,
// a plan by its keys; anything by a code in its name, when the check symbol is right.
func stampOf(name string, data []byte) (s stamp) {
	if m := codeInName.FindStringSubmatch(name); m != nil {
		if c, ok := flow.ParseCode(m[1]); ok {
			s.code, s.made = c, true
		}
	}
	switch {
	case bytes.HasPrefix(data, []byte("PK")) || strings.HasSuffix(strings.ToLower(name), ".3mf"):
		m, err := threemf.Read(name, data, format.Usual())
		if err != nil {
			s.broken = err
			meta, _ := threemf.ReadMetadata(name, data, format.Usual())
			s.take(meta)
			return s
		}
		s.take(m.Metadata)
		s.title = m.Title
	case strings.HasSuffix(strings.ToLower(name), ".stl"):
		head := string(data[:min(len(data), 80)])
		if code, ok := strings.CutPrefix(head, "mouldwright "); ok {
			c, _, _ := strings.Cut(strings.TrimRight(code, "\x00 "), " ")
			if c, ok := flow.ParseCode(c); ok {
				s.code, s.made = c, true
			}
		}
		if _, err := stl.Read(name, data, format.Usual()); err != nil && s.made {
			s.broken = err
		}
	case bytes.HasPrefix(bytes.TrimSpace(data), []byte("{")):
		var p struct{ Title, Revision, Digest string }
		if err := json.Unmarshal(data, &p); err == nil && p.Revision != "" {
			s = stamp{code: p.Revision, digest: p.Digest, title: p.Title, made: true}
		} else if err != nil && s.made {
			s.broken = err
		}
	case len(data) == 0 && s.made:
		s.broken = errors.New("it is empty")
	}
	return s
}

func (s *stamp) take(meta []threemf.Meta) {
	for _, m := range meta {
		if m.Name == threemf.Revision {
			s.code, s.made = m.Value, true
		}
		if d := inputsSum.FindStringSubmatch(m.Value); d != nil {
			s.digest = d[1]
		}
	}
}

// alike are symbols that are taken for each other on a part that was printed small, in
// groups; common experience, no source. Crockford's O, I and L are read as 0 and 1 before.
var alike = []string{"0DQC", "1TJ7", "2Z", "5S", "8B3", "6GC", "VYX", "EF", "PRF", "MNH", "KXH", "4A", "9PQG", "WVM"}

// maxPerhaps bounds what a misread code may have been.
const maxPerhaps = 8

// plausible is what a misread code may have been: revisions of this job that differ in
// one symbol, in two neighbours changed for each other, or in two that look alike; then
// codes with a right check symbol that differ in one symbol that looks alike.
func plausible(code string, e *Entries, now Present) []string {
	read := strings.ToUpper(strings.NewReplacer("-", "", " ", "", "o", "0", "O", "0", "i", "1", "I", "1", "l", "1", "L", "1").Replace(code))
	out := []string{}
	add := func(c string) {
		if len(out) < maxPerhaps && !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	ours := []string{now.Code()}
	for i := range slices.Backward(e.Revisions) {
		ours = append(ours, e.Revisions[i].Code)
	}
	for _, c := range ours {
		if near(read, c) {
			add(c)
		}
	}
	for i := range read {
		for _, group := range alike {
			if !strings.ContainsRune(group, rune(read[i])) {
				continue
			}
			for _, other := range group {
				if c, ok := flow.ParseCode(read[:i] + string(other) + read[i+1:]); ok && other != rune(read[i]) {
					add(c)
				}
			}
		}
	}
	return out
}

// near says whether one code can be read for another.
func near(read, code string) bool {
	if len(read) != len(code) {
		// One symbol was missed, or read twice.
		long, short := read, code
		if len(long) < len(short) {
			long, short = short, long
		}
		for i := range long {
			if long[:i]+long[i+1:] == short {
				return true
			}
		}
		return false
	}
	differ, all := 0, true
	for i := range read {
		if read[i] == code[i] {
			continue
		}
		differ++
		all = all && slices.ContainsFunc(alike, func(g string) bool {
			return strings.IndexByte(g, read[i]) >= 0 && strings.IndexByte(g, code[i]) >= 0
		})
	}
	if differ <= 1 || differ == 2 && all {
		return true
	}
	for i := 1; i < len(read); i++ {
		if read[:i-1]+string(read[i])+string(read[i-1])+read[i+1:] == code {
			return true
		}
	}
	return false
}
