package workshop

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/record"
	"mouldwright/internal/sheet/picture"
)

// maxVerified bounds a file that is compared: the largest plates are some 100 MB.
const maxVerified = 512 * mb

// asking opens the record, if there is one, and the job as it is now.
func (s *Server) asking(r *http.Request) (*record.Record, record.Present, error) {
	u, err := s.job()
	if err != nil {
		return nil, record.Present{}, err
	}
	rec, err := s.recordOf(r.Context(), u.desk, false)
	if err != nil && !errors.Is(err, record.ErrNone) {
		return nil, record.Present{}, err
	}
	return rec, record.Present{Input: u.in, Program: s.version}, nil
}

func (s *Server) getVerify(w http.ResponseWriter, r *http.Request) error {
	rec, now, err := s.asking(r)
	if err != nil {
		return err
	}
	v, err := record.VerifyCode(r.Context(), rec, r.URL.Query().Get("code"), now)
	if err != nil {
		return err
	}
	return answer(w, v)
}

func (s *Server) postVerify(w http.ResponseWriter, r *http.Request) error {
	rec, now, err := s.asking(r)
	if err != nil {
		return err
	}
	s.upload.Lock() // one at a time: each is read whole into memory
	defer s.upload.Unlock()
	body := &patient{r: http.MaxBytesReader(w, r.Body, maxVerified), c: http.NewResponseController(w), each: s.limits.Upload}
	data, err := io.ReadAll(body)
	name := r.URL.Query().Get("name")
	if large := (*http.MaxBytesError)(nil); errors.As(err, &large) {
		return refusal{http.StatusRequestEntityTooLarge, Mistake{File: name, Found: "too large", Allowed: fmt.Sprintf("at most %d MB", maxVerified/mb), Do: "ask on the command line: mouldwright verify"}}
	} else if err != nil {
		return err
	}
	v, err := record.VerifyFile(r.Context(), rec, name, data, now)
	if err != nil {
		return err
	}
	return answer(w, v)
}

func (s *Server) getTrace(w http.ResponseWriter, r *http.Request) error {
	asked := r.URL.Query().Get("asked")
	_, rec, err := s.openRecord(r, false)
	if errors.Is(err, record.ErrNone) {
		return answer(w, (&record.Entries{}).Trace(asked))
	} else if err != nil {
		return err
	}
	e, err := rec.Standing(r.Context())
	if err != nil {
		return err
	}
	return answer(w, e.Trace(asked))
}

// getDifference draws a piece before and after a revision, and where its heights changed.
func (s *Server) getDifference(w http.ResponseWriter, r *http.Request) error {
	_, rec, err := s.openRecord(r, false)
	if err != nil {
		return err
	}
	e, err := rec.All(r.Context())
	if err != nil {
		return err
	}
	before, after := e.HeightsBeforeAfter(r.PathValue("revision"), r.URL.Query().Get("piece"))
	if before == nil || after == nil {
		return refusal{http.StatusNotFound, Mistake{Found: "there are no heights of that piece before and after that revision"}}
	}
	a, err := before.Field()
	if err != nil {
		return err
	}
	b, err := after.Field()
	if err != nil {
		return err
	}
	d := record.Difference(a, b)
	if !slices.ContainsFunc(d.Z, func(z float32) bool { return z != 0 }) {
		return &finding.Error{Found: "nothing changed that can be seen at this distance of samples", Do: "look at the lists of what changed"}
	}
	img, err := picture.Change(r.Context(), a, b, d, 1560)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/png")
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	return picture.WritePNG(w, img)
}
