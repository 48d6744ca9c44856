package workshop

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"sync"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow"
	"mouldwright/internal/record"
)

// Options is what a workshop is opened with.
type Options struct {
	Version string // of the program
	Job     string // the job file, or where the first one shall be made
	Port    string // that the listener has
	Home    bool   // tablets on the home network may pair
	// Addresses are the host addresses on the home network; only with Home.
	Addresses []string
}

// Server answers the routes.
type Server struct {
	version  string
	path     string // of the job file
	guard    *guard
	hub      *hub
	sketcher *flow.Sketcher
	live     *live
	outlook  *outlook
	builds   *builds
	plans    planCache
	stacks   stackCache
	keeper   keeper
	coupons  couponBench
	limits   limits
	upload   sync.Mutex
	closing  chan struct{}
	mux      *http.ServeMux
	handler  http.Handler

	mu   sync.Mutex
	desk *Desk // nil before the beginning
}

// limits are the times that a request may take.
type limits struct {
	Header time.Duration // to send its head
	Body   time.Duration // to send a small body
	Upload time.Duration // to send each megabyte of a file
	Write  time.Duration // to take an answer, or an event
	Idle   time.Duration // between two requests
}

var usualLimits = limits{Header: 5 * time.Second, Body: 10 * time.Second, Upload: 20 * time.Second, Write: 60 * time.Second, Idle: 2 * time.Minute}

const (
	maxHeader = 16 << 10
	maxBody   = 1 << 20 // of JSON
	lookEvery = 300 * time.Millisecond
)

// New opens the job of a workshop, if there is one. Close ends it.
func New(ctx context.Context, opt Options) (*Server, error) {
	s := &Server{version: opt.Version, path: opt.Job, hub: &hub{}, sketcher: flow.NewSketcher(opt.Version), limits: usualLimits, closing: make(chan struct{}),
		guard: newGuard(opt.Port, opt.Home, opt.Addresses)}
	s.outlook = &outlook{sketcher: s.sketcher, known: map[string][]finding.Finding{}, tell: func() { s.tellState("sketch") }}
	s.live = &live{sketcher: s.sketcher, done: func() {
		s.tellState("sketch")
		if u, err := s.job(); err == nil {
			s.outlook.begin(u.in)
		}
	}}
	s.builds = &builds{version: opt.Version, begun: time.Now().UnixMilli(), tell: func(b BuildState) {
		if b.Running {
			s.hub.send("build", fillBuild(b))
			return
		}
		go s.tellBuild() // it asks the builds, which are telling
	}}
	s.builds.keep = s.keepRevision
	if exists(opt.Job) {
		d, err := openDesk(ctx, opt.Job, opt.Version)
		if err != nil {
			return nil, err
		}
		s.desk = d
		s.resketch()
	}
	s.handler = s.routed()
	go s.watch()
	return s, nil
}

// Close ends a running build, the event streams, and the watch on the files.
func (s *Server) Close() {
	close(s.closing)
	s.builds.stop()
	s.live.stop()
	s.outlook.stop()
	s.keeper.close()
	if d := s.theDesk(); d != nil {
		d.close()
	}
}

// Token is the secret of the opened address: /open?token=T.
func (s *Server) Token() string { return s.guard.token }

// Code is what a tablet has to type.
func (s *Server) Code() string {
	code, _ := s.guard.shown()
	return code
}

// HTTP is a server with the workshop's limits. Its error log is dropped: it would hold
// nothing but browsers that hung up.
func (s *Server) HTTP() *http.Server {
	return &http.Server{
		Handler: s, ReadHeaderTimeout: s.limits.Header, IdleTimeout: s.limits.Idle, MaxHeaderBytes: maxHeader,
		ErrorLog: silent(), ConnState: nil, BaseContext: func(net.Listener) context.Context { return context.Background() },
	}
}

// ServeHTTP guards and routes a request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	headers(w.Header())
	c := http.NewResponseController(w)
	// The deadline bounds the reading of a body. A request without one must not have
	// it: net/http goes on reading, to see whether the browser hung up, and would take
	// the passing of the deadline for that.
	if r.ContentLength != 0 {
		c.SetReadDeadline(time.Now().Add(s.limits.Body))
	}
	c.SetWriteDeadline(time.Now().Add(s.limits.Write))
	if s.guard.admit(w, r) {
		s.handler.ServeHTTP(w, r)
	}
}

// open are the paths that need no session: they are how one gets a session.
func open(path string) bool {
	return path == "/open" || path == "/api/pair" || !strings.HasPrefix(path, "/api/")
}

// routed is the table of routes behind the check of the session.
func (s *Server) routed() http.Handler {
	mux := http.NewServeMux()
	s.mux = mux
	for _, line := range routes {
		mux.HandleFunc(line.pattern, func(w http.ResponseWriter, r *http.Request) {
			if err := line.answer(s, w, r); err != nil {
				s.fail(w, r, err)
			}
		})
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if _, ok := s.guard.session(r); !ok && !open(r.URL.Path) {
			refuse(w, http.StatusForbidden, Mistake{Found: "this browser has not been let in", Do: "open the address that the workshop showed when it was started"})
			return
		}
		mux.ServeHTTP(w, r)
	})
}

// refusal is an error with its status.
type refusal struct {
	status int
	Mistake
}

func (r refusal) Error() string { return r.Found }

// fail words an error as an answer.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	var known refusal
	var many refusals
	var found *finding.Error
	switch {
	case r.Context().Err() != nil:
		// The page has given up waiting; nobody reads the answer.
		refuse(w, 499, Mistake{Found: "given up"})
	case errors.Is(err, context.Canceled):
		refuse(w, http.StatusConflict, Mistake{Found: "the job has changed meanwhile", Do: "ask again"})
	case errors.As(err, &many):
		refuse(w, http.StatusUnprocessableEntity, many...)
	case errors.As(err, &known):
		refuse(w, known.status, known.Mistake)
	case errors.As(err, &found):
		refuse(w, http.StatusUnprocessableEntity, mistakes(err)...)
	case errors.Is(err, record.ErrNone):
		refuse(w, http.StatusNotFound, Mistake{Found: err.Error()})
	default:
		refuse(w, http.StatusInternalServerError, Mistake{Found: err.Error()})
	}
}

// refusals are several mistakes at once.
type refusals []Mistake

func (r refusals) Error() string { return fmt.Sprintf("%d mistakes", len(r)) }

func refuse(w http.ResponseWriter, status int, list ...Mistake) {
	h := w.Header()
	h.Del("ETag")
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(Refusal{Mistakes: list}) // a client that went away is not told
}

func answer(w http.ResponseWriter, v any) error {
	w.Header().Set("Content-Type", "application/json")
	return json.NewEncoder(w).Encode(v)
}

// readJSON reads a small body strictly.
func (s *Server) readJSON(w http.ResponseWriter, r *http.Request, v any) error {
	bad := func(found string) error { return refusal{http.StatusBadRequest, Mistake{Found: found}} }
	if t, _, _ := strings.Cut(r.Header.Get("Content-Type"), ";"); t != "application/json" {
		return refusal{http.StatusUnsupportedMediaType, Mistake{Found: "a body of type " + printable(t), Allowed: "application/json"}}
	}
	d := json.NewDecoder(http.MaxBytesReader(w, r.Body, maxBody))
	d.DisallowUnknownFields()
	var large *http.MaxBytesError
	switch err := d.Decode(v); {
	case errors.As(err, &large):
		return refusal{http.StatusRequestEntityTooLarge, Mistake{Found: "a request of more than 1 MB"}}
	case err != nil:
		return bad("a body that cannot be read: " + err.Error())
	}
	if _, err := d.Token(); err != io.EOF {
		return bad("more than one value in the body")
	}
	return nil
}

func (s *Server) theDesk() *Desk {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.desk
}

// job is the last text that can be used.
func (s *Server) job() (usable, error) {
	d := s.theDesk()
	if d == nil {
		return usable{}, refusal{http.StatusNotFound, Mistake{Found: "there is no job yet", Do: "begin one"}}
	}
	u := d.usable()
	if u.in == nil {
		return u, refusals(u.mistakes)
	}
	return u, nil
}

// sketch is the last text that can be used, and the plan that a sketch makes of it.
func (s *Server) sketch(r *http.Request) (usable, *flow.Result, error) {
	u, err := s.job()
	if err != nil {
		return u, nil, err
	}
	res, err := s.live.want(u.in, u.digest).wait(r.Context())
	return u, res, err
}

// unchanged names the state of what is asked for (an ETag, RFC 9110, 8.8.3). Where the
// page has it already it answers so, and is true.
func (s *Server) unchanged(w http.ResponseWriter, r *http.Request, state string) bool {
	tag := `"` + state + `"`
	w.Header().Set("ETag", tag)
	w.Header().Set("Cache-Control", "private, no-cache")
	if r.Header.Get("If-None-Match") != tag {
		return false
	}
	w.WriteHeader(http.StatusNotModified)
	return true
}

// resketch begins the sketch of the job as it is now.
func (s *Server) resketch() {
	if u, err := s.job(); err == nil {
		s.live.want(u.in, u.digest)
	}
}

// changed tells every page and begins a new sketch.
func (s *Server) changed(by string) {
	s.resketch()
	s.tellState(by)
}

func (s *Server) tellState(by string) {
	e := StateEvent{By: by}
	if d := s.theDesk(); d != nil {
		e.Version = d.now()
	}
	s.hub.send("state", e)
}

func (s *Server) tellBuild() {
	if d := s.theDesk(); d != nil {
		s.hub.send("build", s.buildState(d.usable()))
	}
}

// listen tells the pages what has changed on the disk.
func (s *Server) listen(d *Desk) {
	if d.tidings(context.Background()) {
		s.changed("editor")
	}
}

// watch looks for changes that a text editor makes.
func (s *Server) watch() {
	t := time.NewTicker(lookEvery)
	defer t.Stop()
	for {
		select {
		case <-s.closing:
			return
		case <-t.C:
			d := s.theDesk()
			if d == nil {
				continue
			}
			s.listen(d)
			s.recall(context.Background(), d)
		}
	}
}
