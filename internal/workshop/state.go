package workshop

import (
	"errors"
	"net/http"
	"path/filepath"
	"slices"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow"
	"mouldwright/internal/job"
)

func (s *Server) getState(w http.ResponseWriter, r *http.Request) error {
	return answer(w, s.state(r))
}

// state gathers what the page must know.
func (s *Server) state(r *http.Request) State {
	d := s.theDesk()
	st := State{Rows: []Row{}, Assumed: []flow.Assumed{}, Findings: []Remark{}, Mistakes: []Mistake{}, Stages: stages(nil, nil), Home: s.homeFor(r)}
	if d == nil {
		st.Folder, st.File = filepath.Base(filepath.Dir(absolute(s.path))), filepath.Base(s.path)
		st.Build = fillBuild(s.builds.now())
		return st
	}
	d.mu.Lock()
	st.Begun, st.Version, st.Folder, st.File = true, d.version, filepath.Base(d.dir), d.file
	st.Undo, st.Redo, st.Clash = len(d.past), len(d.future), d.clash
	st.Mistakes = append(st.Mistakes, d.mistakes...)
	st.Inputs = d.digest
	d.mu.Unlock()
	u := d.usable()
	in := u.in
	if in != nil {
		var last *flow.Result
		if run := s.live.last(); run != nil && run.err == nil {
			last = run.result
		}
		choices, assumed := dealtCounts(in, last)
		st.Values = &Values{choices}
		st.Assumed = append(st.Assumed, assumed...)
		for _, row := range in.Rows {
			st.Rows = append(st.Rows, Row{Label: row.Label, Vars: row.Vars})
		}
	}
	if run := s.live.last(); run != nil {
		st.Sketched = run.digest
		if run.err == nil {
			st.Findings, st.Stages = remarks(run.result), stages(in, run.result)
			if in != nil {
				at := 0
				for at < len(st.Findings) && st.Findings[at].Stage == "pieces" {
					at++
				}
				st.Findings = slices.Insert(st.Findings, at, s.outlook.remarks(in, u.digest)...)
			}
		} else if run.digest == u.digest && len(st.Mistakes) == 0 {
			st.Mistakes = append(st.Mistakes, mistakes(run.err)...)
		}
	}
	st.Stages = append(st.Stages, Stage{Stage: "record", Words: s.recordWords(r.Context(), d)})
	st.Build = s.buildState(u)
	return st
}

// remarks says where each finding belongs.
func remarks(r *flow.Result) []Remark {
	out := []Remark{}
	for i, f := range r.Plan.Findings {
		m := Remark{Finding: f, Stage: pageOf(r.Stages[i])}
		m.Key, m.Row = keyOfFinding(f.Where)
		out = append(out, m)
	}
	return out
}

// keyOfFinding reads a finding's place: "piece[4].art[1].text (Ysoline)" is about a
// key for one name, "crest: shell.thickness_mm" about a key of all pieces.
func keyOfFinding(where string) (key, row string) {
	if i := strings.LastIndex(where, " ("); i > 0 && strings.HasSuffix(where, ")") {
		where, row = where[:i], where[i+2:len(where)-1]
	}
	if i := strings.LastIndex(where, ": "); i > 0 {
		where = where[i+2:]
	}
	if where != "" && job.HasKey(where) {
		return where, row
	}
	return "", row
}

// afterEdit answers with the state, whatever came of an edit.
func (s *Server) afterEdit(w http.ResponseWriter, r *http.Request, err error) error {
	switch {
	case errors.Is(err, errStale):
		return s.stale(w, r)
	case err != nil:
		return asRefusals(err)
	}
	s.listen(s.theDesk())
	s.changed("page")
	return answer(w, s.state(r))
}

// stale answers 409 with the state as it is.
func (s *Server) stale(w http.ResponseWriter, r *http.Request) error {
	s.listen(s.theDesk())
	s.tellState("page") // of the clash
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(http.StatusConflict)
	return answer(w, s.state(r))
}

// asRefusals makes an answer of what a job's reader says.
func asRefusals(err error) error {
	var one *finding.Error
	if _, many := err.(interface{ Unwrap() []error }); many || errors.As(err, &one) {
		return refusals(mistakes(err))
	}
	return err
}

func (s *Server) postEdit(w http.ResponseWriter, r *http.Request) error {
	var q EditRequest
	d, err := s.asked(w, r, &q)
	if err != nil {
		return err
	}
	return s.afterEdit(w, r, d.edit(r.Context(), q.Version, q.Edits))
}

func (s *Server) postUndo(w http.ResponseWriter, r *http.Request) error { return s.goStep(w, r, true) }
func (s *Server) postRedo(w http.ResponseWriter, r *http.Request) error { return s.goStep(w, r, false) }

func (s *Server) goStep(w http.ResponseWriter, r *http.Request, back bool) error {
	var q StepRequest
	d, err := s.asked(w, r, &q)
	if err != nil {
		return err
	}
	return s.afterEdit(w, r, d.step(r.Context(), q.Version, back))
}

func (s *Server) postSettle(w http.ResponseWriter, r *http.Request) error {
	var q SettleRequest
	d, err := s.asked(w, r, &q)
	if err != nil {
		return err
	}
	if q.Take != "mine" && q.Take != "theirs" {
		return refusal{http.StatusBadRequest, Mistake{Found: "take " + printable(q.Take), Allowed: "mine or theirs"}}
	}
	return s.afterEdit(w, r, d.settle(r.Context(), q.Version, q.Take == "mine"))
}

// asked reads a request about the job on the desk.
func (s *Server) asked(w http.ResponseWriter, r *http.Request, q any) (*Desk, error) {
	if err := s.readJSON(w, r, q); err != nil {
		return nil, err
	}
	d := s.theDesk()
	if d == nil {
		return nil, refusal{http.StatusNotFound, Mistake{Found: "there is no job yet", Do: "begin one"}}
	}
	return d, nil
}
