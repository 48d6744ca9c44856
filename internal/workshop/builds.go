package workshop

import (
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/build"
	"mouldwright/internal/flow"
	"mouldwright/internal/output"
	"mouldwright/internal/record"
)

// outName is the folder of the results, beside the job file.
const outName = "out"

// builds runs one build at a time.
type builds struct {
	version string
	tell    func(BuildState)
	keep    func(context.Context, *record.Built) error // remembers what was built

	begun int64 // lowest count of a state

	mu     sync.Mutex
	state  BuildState
	cancel context.CancelFunc
	ended  chan struct{}
	told   time.Time
}

// tellEvery spares the pages more progress than an eye can follow.
const tellEvery = 100 * time.Millisecond

// start begins a build of in into dir; false when one is running.
func (b *builds) start(in *flow.Input, text []byte, dir, paper string) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.state.Running {
		return false
	}
	ctx, cancel := context.WithCancel(context.Background())
	b.cancel, b.ended = cancel, make(chan struct{})
	b.set(BuildState{Running: true, Stage: "piece"})
	b.tell(b.state)
	go func(ended chan struct{}) {
		defer close(ended)
		r, unkept, err := b.make(ctx, in, text, dir, paper)
		b.end(ctx, r, unkept, err)
	}(b.ended)
	return true
}

// set takes a state as the newest.
func (b *builds) set(s BuildState) {
	s.Count = max(b.state.Count+1, b.begun)
	b.state = s
}

// make makes everything. The results are whole when err is nil; unkept says that the
// record does not know of them.
func (b *builds) make(ctx context.Context, in *flow.Input, text []byte, dir, paper string) (r *flow.Result, unkept, err error) {
	out, err := output.Open(filepath.Join(dir, outName))
	if err != nil {
		return nil, nil, err
	}
	defer out.Abandon()
	built := &record.Built{JobText: text}
	own := *in // others are at work on it
	build.Moment(&own.Past)
	r, err = build.Into(ctx, &own, out, build.Options{Version: b.version, Paper: paper, Progress: b.progress, Built: built})
	if err != nil || finding.Worst(r.Plan.Findings) == finding.Stop {
		return r, nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	if err := out.Commit(); err != nil {
		return r, nil, err
	}
	return r, b.keep(context.WithoutCancel(ctx), built), nil
}

func (b *builds) progress(stage string, done, total int) {
	b.mu.Lock()
	defer b.mu.Unlock()
	next := b.state.Stage != stage
	b.set(BuildState{Running: true, Stage: stage, Done: done, Total: total})
	if now := time.Now(); next || now.Sub(b.told) >= tellEvery {
		b.told = now
		b.tell(b.state)
	}
}

func (b *builds) end(ctx context.Context, r *flow.Result, unkept, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	s := BuildState{}
	switch {
	case err != nil && ctx.Err() != nil:
		s.Outcome = "stopped"
	case err != nil:
		s.Outcome, s.Mistakes = "failed", mistakes(err)
	case finding.Worst(r.Plan.Findings) == finding.Stop:
		s.Outcome, s.Findings = "refused", r.Plan.Findings
	default:
		s.Outcome = "built"
		if unkept != nil {
			s.Mistakes = mistakes(unkept)
		}
	}
	b.cancel()
	b.set(s)
	b.tell(b.state)
}

// stop ends a build and waits until it has ended.
func (b *builds) stop() {
	b.mu.Lock()
	running, cancel, ended := b.state.Running, b.cancel, b.ended
	b.mu.Unlock()
	if running {
		cancel()
		<-ended
	}
}

func (b *builds) now() BuildState {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.state
}

// fillBuild makes empty lists of missing ones.
func fillBuild(b BuildState) BuildState {
	b.Findings, b.Mistakes = append([]finding.Finding{}, b.Findings...), append([]Mistake{}, b.Mistakes...)
	return b
}

// buildState is the build's state with what lies in the results' folder.
func (s *Server) buildState(u usable) BuildState {
	st := fillBuild(s.builds.now())
	if p, err := s.plans.read(u.desk); err == nil {
		st.Revision, st.Current = p.Revision, p.Digest == u.digest
	}
	return st
}

// planCache is the plan in the results' folder, read anew when it has changed.
type planCache struct {
	mu   sync.Mutex
	seen stamp
	plan *flow.Plan
}

const planFile = outName + "/plan.json"

func (c *planCache) read(d *Desk) (*flow.Plan, error) {
	info, err := d.root.Stat(planFile)
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.plan != nil && c.seen == stampOf(info) {
		return c.plan, nil
	}
	if info.Size() > 64*mb {
		return nil, &finding.Error{File: planFile, Found: "too large", Do: "build again"}
	}
	text, err := d.root.ReadFile(planFile)
	if err != nil {
		return nil, err
	}
	p := new(flow.Plan)
	if err := json.Unmarshal(text, p); err != nil {
		return nil, &finding.Error{File: planFile, Found: "cannot be read", Err: err, Do: "build again"}
	}
	c.plan, c.seen = p, stampOf(info)
	return p, nil
}

func (s *Server) postBuild(w http.ResponseWriter, r *http.Request) error {
	var q BuildRequest
	if err := s.readJSON(w, r, &q); err != nil {
		return err
	}
	u, err := s.job()
	switch {
	case err != nil:
		return err
	case q.Paper != "A4" && q.Paper != "Letter":
		return refusal{http.StatusBadRequest, Mistake{Found: "paper " + printable(q.Paper), Allowed: "A4 or Letter"}}
	case q.Version != u.desk.now():
		return s.stale(w, r)
	case u.version != q.Version:
		return refusal{http.StatusUnprocessableEntity, Mistake{Found: "the job file cannot be used as it is", Do: "mend its mistakes first"}}
	case !s.builds.start(u.in, u.text, u.desk.dir, q.Paper):
		return refusal{http.StatusConflict, Mistake{Found: "a build is running", Do: "wait for it, or stop it"}}
	}
	return answer(w, s.buildState(u))
}

func (s *Server) deleteBuild(w http.ResponseWriter, r *http.Request) error {
	u, err := s.job()
	if err != nil {
		return err
	}
	s.builds.stop()
	return answer(w, s.buildState(u))
}

func (s *Server) getPlan(w http.ResponseWriter, r *http.Request) error {
	u, err := s.job()
	if err != nil {
		return err
	}
	p, err := s.plans.read(u.desk)
	if errors.Is(err, fs.ErrNotExist) {
		return refusal{http.StatusNotFound, Mistake{Found: "nothing has been built yet", Do: "build the job"}}
	} else if err != nil {
		return err
	}
	out := BuiltPlan{Plan: *p, Current: p.Digest == u.digest, Files: []OutFile{}}
	if out.Files, err = outFiles(u.desk.root); err != nil {
		return err
	}
	return answer(w, out)
}

// outFiles lists what a build wrote.
func outFiles(root *os.Root) ([]OutFile, error) {
	files := []OutFile{}
	err := fs.WalkDir(root.FS(), outName, func(name string, e fs.DirEntry, err error) error {
		if err != nil || !e.Type().IsRegular() {
			return err
		}
		info, err := e.Info()
		if err == nil {
			files = append(files, OutFile{Name: strings.TrimPrefix(name, outName+"/"), Bytes: info.Size()})
		}
		return err
	})
	slices.SortFunc(files, func(a, b OutFile) int { return strings.Compare(a.Name, b.Name) })
	return files, err
}

func (s *Server) getOut(w http.ResponseWriter, r *http.Request) error {
	u, err := s.job()
	if err != nil {
		return err
	}
	out, err := u.desk.root.OpenRoot(outName)
	if err != nil {
		return refusal{http.StatusNotFound, Mistake{Found: "nothing has been built yet", Do: "build the job"}}
	}
	defer out.Close()
	return serveFile(w, r, out, r.PathValue("path"))
}
