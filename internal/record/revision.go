package record

import (
	"context"
	"database/sql"
	"maps"
	"slices"
	"strings"

	"mouldwright/internal/flow"
	"mouldwright/internal/job"
)

// Built is a build that is to be remembered.
type Built struct {
	JobName string // of the job file, for messages
	JobText []byte
	Input   *flow.Input
	Plan    *flow.Plan
	Made    []File // name, digest and size of every file that it made
	Heights []*Heights
	Plates  []*Plate
	Laid    []*Laid
}

// KeepRevision remembers a build as a revision: with what changed against the one
// before, its files' digests, and the heights of pieces that are new. Of the same inputs
// there is one revision; files that have other bytes than before, such as sheets that
// now know of a cure test, are added to it.
func (r *Record) KeepRevision(ctx context.Context, b Built) (*Revision, error) {
	var kept *Revision
	err := r.within(ctx, func(tx *sql.Tx) error {
		e := &Entries{}
		for _, k := range kinds {
			if slices.Contains([]string{"revision", "file", "heights", "laid"}, k.table) {
				if err := k.readInto(ctx, tx, e); err != nil {
					return err
				}
			}
		}
		i := slices.IndexFunc(e.Revisions, func(v Revision) bool { return v.Digest == b.Plan.Digest })
		var write []Entry
		if i >= 0 {
			kept = &e.Revisions[i]
		} else {
			kept = r.newRevision(e, b)
			write = append(write, kept)
			files := inputFiles(b.Input)
			for _, name := range slices.Sorted(maps.Keys(files)) {
				f := files[name]
				f.Revision = kept.ID
				write = append(write, &f)
			}
		}
		for _, f := range b.Made {
			f.Head, f.Revision, f.Role = Head{}, kept.ID, "made"
			if !slices.ContainsFunc(e.Files, func(o File) bool { return o.Revision == f.Revision && o.Name == f.Name && o.SHA256 == f.SHA256 }) {
				write = append(write, &f)
			}
		}
		for _, h := range b.Heights {
			if last := e.heightsOf(h.Piece, ""); last == nil || last.SHA256 != h.SHA256 {
				h.Revision = kept.ID
				write = append(write, h)
			}
		}
		if len(e.laid(kept.ID)) == 0 { // also of a revision from before they were kept
			for _, p := range b.Plates {
				p.Head, p.Revision = Head{}, kept.ID
				write = append(write, p)
			}
			for _, l := range b.Laid {
				l.Head, l.Revision = Head{}, kept.ID
				write = append(write, l)
			}
		}
		for _, w := range write {
			if err := check(w); err != nil {
				return err
			}
		}
		return r.writeAll(ctx, tx, write)
	})
	return kept, err
}

func (r *Record) newRevision(e *Entries, b Built) *Revision {
	v := &Revision{Head: Head{ID: newID()}, At: r.now(), Code: b.Plan.Revision, Digest: b.Plan.Digest, Program: b.Plan.Version, Title: b.Plan.Title,
		JobText: string(b.JobText), Names: strings.Join(labels(b.Input.Rows), "\n"), Shape: Present{b.Input, b.Plan.Version}.shape()}
	if n := len(e.Revisions); n > 0 {
		v.Before = e.Revisions[n-1].ID
		v.Changes = strings.Join(changes(e.madeOf(&e.Revisions[n-1]), madeNow(b.Input, b.Plan.Version)), "\n")
	}
	return v
}

func labels(rows []flow.Row) (out []string) {
	for _, row := range rows {
		out = append(out, row.Label)
	}
	return out
}

// madeOf is what a revision was made of.
func (e *Entries) madeOf(v *Revision) made {
	m := made{program: v.Program, files: map[string]File{}}
	if j, err := job.Read("job.toml", []byte(v.JobText)); err == nil {
		m.choices = &j.Choices
	}
	for _, f := range e.Files {
		if f.Revision == v.ID && f.Role == "input" {
			m.files[f.Name] = f
		}
	}
	if v.Names != "" {
		m.names = strings.Split(v.Names, "\n")
	}
	return m
}

// madeNow is what a build of an input would be made of.
func madeNow(in *flow.Input, program string) made {
	return made{program: program, choices: &in.Choices, files: inputFiles(in), names: labels(in.Rows)}
}

// heightsOf is a piece's heights as they were in a revision: the last ones that were
// kept up to it. An empty revision is the last one. nil: there are none.
func (e *Entries) heightsOf(piece, revision string) *Heights {
	upTo := -1
	for _, v := range e.Revisions {
		if v.ID == revision {
			upTo = v.Seq
		}
	}
	var last *Heights
	for i := range e.Heights {
		h := &e.Heights[i]
		// The heights of a revision are written after it, and before the next one.
		if h.Piece == piece && (revision == "" || h.Revision == revision || h.Seq < upTo) {
			last = h
		}
	}
	return last
}

// ChangedPieces names the pieces whose heights changed with a revision, and those that
// came with it.
func (e *Entries) ChangedPieces(revision string) (out []string) {
	for i := range e.Heights {
		if e.Heights[i].Revision == revision {
			out = append(out, e.Heights[i].Piece)
		}
	}
	return out
}

// HeightsBeforeAfter is a piece's heights before a revision changed them, and after; nil
// where there are none.
func (e *Entries) HeightsBeforeAfter(revision, piece string) (before, after *Heights) {
	for i := range e.Heights {
		h := &e.Heights[i]
		if h.Piece != piece {
			continue
		}
		if h.Revision == revision {
			return before, h
		}
		before = h
	}
	return nil, nil
}
