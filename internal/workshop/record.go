package workshop

import (
	"context"
	"errors"
	"io"
	"maps"
	"net/http"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/record"
)

// Recorded is what really happened, and what follows from it. Nothing is left out:
// entries that were struck out carry why.
type Recorded struct {
	record.Entries
	MouldStates []record.MouldState `json:"mould_states" doc:"each standing mould with what it has been through"`
	AtHome      []record.AtHome     `json:"at_home" doc:"stock that is left"`
	Backups     []record.Backup     `json:"backups" doc:"the newest last"`
	Now         string              `json:"now" doc:"code of the job as it is now"`
	Changed     map[string][]string `json:"changed" doc:"pieces whose heights a revision changed, by its id: there is a map of the difference"`
	Cut         []string            `json:"cut" doc:"revisions with more pieces than are compared"`
	HeightsKept int                 `json:"heights_kept" doc:"how many pieces of a revision are compared"`
	Good        []string            `json:"good" doc:"parts of the present revision that were printed and can be used"`
	Yields      record.Yields       `json:"yields"`
}

// keeper is the open record of the job on the desk, opened when it is first asked for.
type keeper struct {
	mu   sync.Mutex
	rec  *record.Record
	seen int // its last entry, when the desk last heard of it
	wait *time.Timer
}

// recordOf opens the record of a desk; make a new one only when something is written.
func (s *Server) recordOf(ctx context.Context, d *Desk, make bool) (*record.Record, error) {
	k := &s.keeper
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.rec != nil {
		return k.rec, nil
	}
	open := record.OpenExisting
	if make {
		open = record.Open
	}
	r, err := open(ctx, filepath.Join(d.dir, d.file), record.Options{Version: s.version})
	k.rec = r
	return r, err
}

func (k *keeper) close() {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.rec != nil {
		k.rec.Close()
		k.rec = nil
	}
}

// recall brings the desk what the record has, when it has anything new, and tells the
// pages. A record that cannot be read changes nothing here: the Record page says why.
func (s *Server) recall(ctx context.Context, d *Desk) {
	r, err := s.recordOf(ctx, d, false)
	if err != nil {
		return
	}
	n, err := r.Seen(ctx)
	s.keeper.mu.Lock()
	same := err != nil || n == s.keeper.seen
	s.keeper.seen = n
	s.keeper.mu.Unlock()
	if same {
		return
	}
	past, err := r.Past(ctx)
	if err != nil {
		return
	}
	changes, late := d.remember(past)
	if changes && !late {
		s.live.forget()
		s.changed("record")
		return
	}
	s.tellState("told")
	if late {
		s.keeper.later(rest, func() {
			select {
			case <-s.closing:
			default:
				s.live.forget()
				s.changed("record")
			}
		})
	}
}

// rest is how long nothing must be weighed until what is left to buy is worked out anew.
const rest = 20 * time.Second

// later does something after a pause, which begins again each time.
func (k *keeper) later(pause time.Duration, do func()) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.wait != nil {
		k.wait.Stop()
	}
	k.wait = time.AfterFunc(pause, do)
}

func (s *Server) getRecord(w http.ResponseWriter, r *http.Request) error {
	d, rec, err := s.openRecord(r, false)
	if err != nil && !errors.Is(err, record.ErrNone) {
		return err
	}
	return s.answerRecord(w, r, d, rec)
}

// answerRecord answers with all of a record; rec is nil where there is none yet.
func (s *Server) answerRecord(w http.ResponseWriter, r *http.Request, d *Desk, rec *record.Record) error {
	e := (&record.Entries{}).Standing()
	if rec != nil {
		var err error
		if e, err = rec.All(r.Context()); err != nil {
			return err
		}
	}
	stands, u := e.Standing(), d.usable()
	out := Recorded{MouldStates: stands.MouldStates(), AtHome: stands.AtHome(), Backups: []record.Backup{}, Changed: map[string][]string{}, Cut: []string{}, HeightsKept: record.MaxHeights, Good: []string{}}
	if u.in != nil {
		now := record.Present{Input: u.in, Program: s.version}
		out.Now = now.Code()
		out.Good = append(out.Good, slices.Sorted(maps.Keys(stands.GoodParts(now)))...)
	}
	out.Yields = stands.Yields()
	for i := range e.Revisions {
		v := &e.Revisions[i]
		for _, piece := range e.ChangedPieces(v.ID) {
			if before, _ := e.HeightsBeforeAfter(v.ID, piece); before != nil {
				out.Changed[v.ID] = append(out.Changed[v.ID], piece)
			}
		}
		if strings.Count(v.Names, "\n")+1 > record.MaxHeights {
			out.Cut = append(out.Cut, v.ID)
		}
		v.JobText, v.Names = "", "" // long, and no page shows them
	}
	for i := range e.Files {
		e.Files[i].Facts = "" // likewise
	}
	e.Heights, e.Laids, e.Plates = e.Heights[:0], e.Laids[:0], e.Plates[:0]
	out.Entries = *e
	list, err := record.Backups(filepath.Join(d.dir, d.file))
	out.Backups = append(out.Backups, list...)
	if err != nil {
		return err
	}
	return answer(w, out)
}

// postRecord writes entries. Revisions, their files and photos have doors of their own.
func (s *Server) postRecord(w http.ResponseWriter, r *http.Request) error {
	var q record.Entries
	if err := s.readJSON(w, r, &q); err != nil {
		return err
	}
	if len(q.Revisions)+len(q.Files)+len(q.Photos)+len(q.Heights)+len(q.Plates)+len(q.Laids) > 0 {
		return refusal{http.StatusBadRequest, Mistake{Found: "entries that only a build or a photo makes", Allowed: "what a person tells"}}
	}
	d, rec, err := s.openRecord(r, true)
	if err != nil {
		return err
	}
	if err := rec.Write(r.Context(), q.List()...); err != nil {
		return err
	}
	s.recall(r.Context(), d)
	return s.answerRecord(w, r, d, rec)
}

func (s *Server) openRecord(r *http.Request, make bool) (*Desk, *record.Record, error) {
	d := s.theDesk()
	if d == nil {
		return nil, nil, refusal{http.StatusNotFound, Mistake{Found: "there is no job yet", Do: "begin one"}}
	}
	rec, err := s.recordOf(r.Context(), d, make)
	return d, rec, err
}

// postPhoto keeps a photo and gives its entry.
func (s *Server) postPhoto(w http.ResponseWriter, r *http.Request) error {
	_, rec, err := s.openRecord(r, true)
	if err != nil {
		return err
	}
	name := r.URL.Query().Get("name")
	s.upload.Lock() // one at a time: each is decoded whole in memory
	defer s.upload.Unlock()
	body := &patient{r: http.MaxBytesReader(w, r.Body, record.MaxPhoto), c: http.NewResponseController(w), each: s.limits.Upload}
	data, err := io.ReadAll(body)
	if large := (*http.MaxBytesError)(nil); errors.As(err, &large) {
		return refusal{http.StatusRequestEntityTooLarge, Mistake{File: name, Found: "too large", Allowed: "at most " + strconv.Itoa(record.MaxPhoto/mb) + " MB", Do: "save it smaller"}}
	} else if err != nil {
		return err
	}
	p, err := rec.AddPhoto(r.Context(), name, data, r.URL.Query().Get("words"))
	if err != nil {
		return err
	}
	return answer(w, p)
}

// getPhoto gives a photo's bytes, having compared them with its digest.
func (s *Server) getPhoto(w http.ResponseWriter, r *http.Request) error {
	_, rec, err := s.openRecord(r, false)
	if err != nil {
		return err
	}
	list, err := record.List[record.Photo](r.Context(), rec)
	if err != nil {
		return err
	}
	for i := range list {
		if list[i].ID != r.PathValue("photo") {
			continue
		}
		data, err := rec.ReadPhoto(&list[i])
		if err != nil {
			return err
		}
		w.Header().Set("Content-Type", contentTypes[filepath.Ext(list[i].File)])
		w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
		_, err = w.Write(data)
		return err
	}
	return &finding.Error{Found: "no such photo", Do: "open the record again: it may have been struck out"}
}

// keepRevision remembers a build.
func (s *Server) keepRevision(ctx context.Context, b *record.Built) error {
	d := s.theDesk()
	r, err := s.recordOf(ctx, d, true)
	if err != nil {
		return err
	}
	if _, err := r.KeepRevision(ctx, *b); err != nil {
		return err
	}
	s.recall(ctx, d)
	return nil
}

// recordWords says where the record stands.
func (s *Server) recordWords(ctx context.Context, d *Desk) string {
	r, err := s.recordOf(ctx, d, false)
	if errors.Is(err, record.ErrNone) {
		return "nothing yet"
	}
	words := ""
	if err == nil {
		words, err = r.Standings(ctx)
	}
	if err != nil {
		return "cannot be read"
	}
	return words
}
