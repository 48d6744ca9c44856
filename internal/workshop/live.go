package workshop

import (
	"context"
	"errors"
	"sync"
	"time"

	"mouldwright/internal/build"
	"mouldwright/internal/flow"
)

// live sketches the job after each change. One sketch runs at a time; a newer text
// cancels the one of an older.
type live struct {
	sketcher *flow.Sketcher
	done     func() // told after each sketch

	mu    sync.Mutex
	run   *sketchRun
	stale bool // what is no part of the digest has changed
}

// sketchRun is the sketch of one text.
type sketchRun struct {
	digest string // of its inputs
	cancel context.CancelFunc
	hurry  chan struct{} // closed when someone waits for it
	once   sync.Once
	ready  chan struct{} // closed when result or err is there
	result *flow.Result
	err    error
}

// pause is how long a sketch that nobody waits for lets the piece on the screen go
// first.
const pause = 80 * time.Millisecond

// want begins the sketch of a text, unless it is there or under way.
func (l *live) want(in *flow.Input, digest string) *sketchRun {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.run != nil && l.run.digest == digest && !l.stale && !errors.Is(l.run.failed(), context.Canceled) {
		return l.run
	}
	if l.run != nil {
		l.run.cancel()
	}
	l.stale = false
	ctx, cancel := context.WithCancel(context.Background())
	r := &sketchRun{digest: digest, cancel: cancel, hurry: make(chan struct{}), ready: make(chan struct{})}
	l.run = r
	go func() {
		select {
		case <-time.After(pause):
		case <-r.hurry:
		case <-ctx.Done():
		}
		own := *in // others are at work on it
		build.Moment(&own.Past)
		r.result, r.err = l.sketcher.Sketch(ctx, &own)
		close(r.ready)
		if ctx.Err() == nil {
			l.done()
		}
	}()
	return r
}

// forget lets the next want sketch anew, although the inputs are the same.
func (l *live) forget() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.stale = true
}

// failed is the error of a sketch that has ended.
func (r *sketchRun) failed() error {
	select {
	case <-r.ready:
		return r.err
	default:
		return nil
	}
}

// wait waits for a sketch.
func (r *sketchRun) wait(ctx context.Context) (*flow.Result, error) {
	r.once.Do(func() { close(r.hurry) })
	select {
	case <-r.ready:
		return r.result, r.err
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// last is the latest sketch that has ended; nil while there is none.
func (l *live) last() *sketchRun {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.run == nil {
		return nil
	}
	select {
	case <-l.run.ready:
		return l.run
	default:
		return nil
	}
}

// stop ends what runs.
func (l *live) stop() {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.run != nil {
		l.run.cancel()
	}
}
