package workshop

import (
	"context"
	"net/http"
	"path/filepath"

	"mouldwright/internal/base/material"
	"mouldwright/internal/job"
)

func (s *Server) getBegin(w http.ResponseWriter, r *http.Request) error {
	b := Beginnings{Sets: []Set{}, Art: []string{}, Printers: material.Names(material.Printers)}
	for i, set := range job.Sets {
		if i < offered {
			b.Sets = append(b.Sets, Set{Name: set.Name, Title: set.Title, Words: set.Words})
		}
		b.Art = append(b.Art, set.Art)
	}
	return answer(w, b)
}

// offered is how many sets are offered as such; the others answer a question.
const offered = 3

// postBegin makes the first job where the workshop was told to look for one.
func (s *Server) postBegin(w http.ResponseWriter, r *http.Request) error {
	var q BeginRequest
	if err := s.readJSON(w, r, &q); err != nil {
		return err
	}
	if err := s.begin(r.Context(), q); err != nil {
		return asRefusals(err)
	}
	s.changed("page")
	return answer(w, s.state(r))
}

func (s *Server) begin(ctx context.Context, q BeginRequest) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.desk != nil || exists(s.path) {
		return refusal{http.StatusConflict, Mistake{File: filepath.Base(s.path), Found: "there is a job already", Do: "go on with it, or start the workshop in another folder"}}
	}
	a := job.Answers{Set: q.Set, Art: q.Art, Title: q.Title, Needed: q.Needed, Printer: q.Printer, Boxes: q.Boxes, Names: q.Names}
	if err := job.Begin(filepath.Dir(s.path), a); err != nil {
		return err
	}
	d, err := openDesk(ctx, s.path, s.version)
	s.desk = d
	return err
}
