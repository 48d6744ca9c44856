package workshop

import (
	"context"
	"sync"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow"
)

// outlook works out the forecast of every design while nobody asks for anything, so
// that the remarks name what will not come out before its page is opened. Of a piece
// with names it looks at the first and at the longest, whose letters are the smallest.
type outlook struct {
	sketcher *flow.Sketcher
	tell     func() // after each forecast that said something new

	mu     sync.Mutex
	known  map[string][]finding.Finding // by ForecastKey
	cancel context.CancelFunc
	of     string   // the inputs that keys are of
	keys   []string // of what is looked at
}

// outlookPause is how long the job must rest before the outlook begins.
const outlookPause = 1500 * time.Millisecond

// maxKnown bounds the forecasts whose remarks are kept.
const maxKnown = 2000

// begin starts over with a job; an outlook under way is given up.
func (o *outlook) begin(in *flow.Input) {
	ctx, cancel := context.WithCancel(context.Background())
	o.mu.Lock()
	if o.cancel != nil {
		o.cancel()
	}
	o.cancel = cancel
	o.mu.Unlock()
	go func() {
		defer cancel()
		select {
		case <-time.After(outlookPause):
		case <-ctx.Done():
			return
		}
		for _, p := range looked(in) {
			key, err := o.sketcher.ForecastKey(in, p.design, p.row)
			if err != nil || o.has(key) {
				continue
			}
			f, err := o.sketcher.Foresee(ctx, in, p.design, p.row)
			if ctx.Err() != nil {
				return
			}
			if err != nil || f.Piece == nil {
				continue // its page says why
			}
			o.keep(key, f.Findings)
		}
	}()
}

func (o *outlook) stop() {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.cancel != nil {
		o.cancel()
	}
}

func (o *outlook) has(key string) bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	_, ok := o.known[key]
	return ok
}

// keep remembers what a forecast said.
func (o *outlook) keep(key string, list []finding.Finding) {
	o.mu.Lock()
	_, was := o.known[key]
	if len(o.known) >= maxKnown {
		clear(o.known)
	}
	o.known[key] = list
	o.mu.Unlock()
	if !was && len(list) > 0 {
		o.tell()
	}
}

// remarks is what is known of a job, in the order of its designs.
func (o *outlook) remarks(in *flow.Input, digest string) []Remark {
	var out []Remark
	for _, key := range o.keysOf(in, digest) {
		o.mu.Lock()
		list := o.known[key]
		o.mu.Unlock()
		for _, f := range list {
			m := Remark{Finding: f, Stage: "pieces"}
			m.Key, m.Row = keyOfFinding(f.Where)
			out = append(out, m)
		}
	}
	return out
}

// keysOf is the keys of what is looked at, worked out once for the same inputs: they are
// hashes over all files.
func (o *outlook) keysOf(in *flow.Input, digest string) []string {
	o.mu.Lock()
	of, keys := o.of, o.keys
	o.mu.Unlock()
	if of == digest {
		return keys
	}
	keys = nil
	for _, p := range looked(in) {
		key, err := o.sketcher.ForecastKey(in, p.design, p.row)
		if err != nil {
			return nil
		}
		keys = append(keys, key)
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	o.of, o.keys = digest, keys
	return keys
}

// lookedAt is one piece of an outlook.
type lookedAt struct{ design, row int }

func looked(in *flow.Input) []lookedAt {
	var out []lookedAt
	longest := 0
	for i, r := range in.Rows {
		if len([]rune(r.Label)) > len([]rune(in.Rows[longest].Label)) {
			longest = i
		}
	}
	for i, p := range in.Choices.Pieces {
		if !p.Names {
			out = append(out, lookedAt{i, -1})
			continue
		}
		if len(in.Rows) > 0 {
			out = append(out, lookedAt{i, 0})
		}
		if longest > 0 {
			out = append(out, lookedAt{i, longest})
		}
	}
	return out
}
