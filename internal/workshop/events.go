package workshop

import (
	"encoding/json"
	"fmt"
	"net/http"
	"sync"
	"time"
)

// hub hands events to every open page. A page that does not read loses the oldest
// ones: each event only says that something is to be fetched anew.
type hub struct {
	mu    sync.Mutex
	pages map[chan event]bool
}

type event struct {
	name string
	data any
}

// Bounds of the event streams.
const (
	maxPages = 64
	waiting  = 16
	beat     = 15 * time.Second
)

func (h *hub) send(name string, data any) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for p := range h.pages {
		select {
		case p <- event{name, data}:
		default:
			select {
			case <-p:
			default:
			}
			select {
			case p <- event{name, data}:
			default:
			}
		}
	}
}

func (h *hub) join() (chan event, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if len(h.pages) >= maxPages {
		return nil, false
	}
	p := make(chan event, waiting)
	if h.pages == nil {
		h.pages = map[chan event]bool{}
	}
	h.pages[p] = true
	return p, true
}

func (h *hub) leave(p chan event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.pages, p)
}

func (s *Server) getEvents(w http.ResponseWriter, r *http.Request) error {
	p, ok := s.hub.join()
	if !ok {
		return refusal{http.StatusTooManyRequests, Mistake{Found: "too many open pages", Do: "close some"}}
	}
	defer s.hub.leave(p)
	c := http.NewResponseController(w)
	w.Header().Set("Content-Type", "text/event-stream")
	tick := time.NewTicker(beat)
	defer tick.Stop()
	write := func(format string, args ...any) error {
		c.SetWriteDeadline(time.Now().Add(s.limits.Write))
		if _, err := fmt.Fprintf(w, format, args...); err != nil {
			return err
		}
		return c.Flush()
	}
	err := write("retry: 1000\n\n")
	for err == nil {
		select {
		case <-r.Context().Done():
			return nil
		case <-s.closing:
			return nil
		case <-tick.C:
			err = write(": still here\n\n")
		case e := <-p:
			var data []byte
			if data, err = json.Marshal(e.data); err == nil {
				err = write("event: %s\ndata: %s\n\n", e.name, data)
			}
		}
	}
	return nil // the page is gone
}
