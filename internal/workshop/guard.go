package workshop

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"math/big"
	"net"
	"net/http"
	"net/netip"
	"strconv"
	"strings"
	"sync"
	"time"
)

// guard decides who may use the workshop:
//
//   - the request names this server as its Host, so that no foreign name that points
//     here (DNS rebinding) is served;
//   - no page of another origin sends it;
//   - it carries the cookie of a session. The person at this machine gets one for the
//     token in the opened address; a tablet on the home network gets one for the code
//     that this machine shows.
//
// Everything else is refused before a handler sees it.
type guard struct {
	port      string
	addresses []string        // of this machine on the home network
	hosts     map[string]bool // allowed values of Host
	token     string          // in the opened address
	home      bool            // tablets on the home network may pair
	now       func() time.Time
	origin    *http.CrossOriginProtection

	mu       sync.Mutex
	sessions map[string]session
	code     string // to be typed on a tablet
	wrong    int    // tries with another code since it was made
	locked   time.Time
	failures int // in all
}

type session struct{ tablet bool }

// Bounds of pairing: a code of six figures, five tries for each, a minute's rest then.
// After 50 wrong tries nobody can pair until the workshop is started anew: a guesser
// has a chance of 1 in 20,000 in all.
const (
	codeTries   = 5
	codeRest    = time.Minute
	maxFailures = 50
	maxSessions = 64
)

// newGuard allows the hosts; the first ones are this machine's own names.
func newGuard(port string, home bool, addresses []string) *guard {
	g := &guard{port: port, token: secret(), home: home, addresses: addresses, now: time.Now, origin: http.NewCrossOriginProtection(),
		hosts: map[string]bool{}, sessions: map[string]session{}, code: newCode()}
	for _, h := range append([]string{"localhost", "127.0.0.1", "::1"}, addresses...) {
		g.hosts[net.JoinHostPort(h, port)] = true
	}
	return g
}

func secret() string {
	b := make([]byte, 32)
	rand.Read(b) // never fails: it ends the program instead
	return base64.RawURLEncoding.EncodeToString(b)
}

func newCode() string {
	n, err := rand.Int(rand.Reader, big.NewInt(1e6))
	if err != nil {
		panic(err)
	}
	return fmt.Sprintf("%06d", n)
}

func (g *guard) portNumber() uint16 {
	n, _ := strconv.ParseUint(g.port, 10, 16)
	return uint16(n)
}

// cookie is the name of the session's cookie. Browsers do not part cookies by port,
// so that the port is in the name.
func (g *guard) cookie() string { return "mouldwright-" + g.port }

// admit checks host, origin and path of a request; it answers and returns false when
// one is foreign.
func (g *guard) admit(w http.ResponseWriter, r *http.Request) bool {
	if !g.hosts[strings.ToLower(r.Host)] {
		refuse(w, http.StatusMisdirectedRequest, Mistake{Found: "this workshop is not " + printable(r.Host), Do: "open the address that it showed when it was started"})
		return false
	}
	o := r.Header.Get("Origin")
	if o != "" && o != "http://"+r.Host || g.origin.Check(r) != nil || r.Header.Get("Sec-Fetch-Site") == "cross-site" && r.URL.Path != "/open" {
		refuse(w, http.StatusForbidden, Mistake{Found: "a request from another page", Do: "open the workshop in a window of its own"})
		return false
	}
	for part := range strings.FieldsFuncSeq(r.URL.Path, func(c rune) bool { return c == '/' || c == '\\' }) {
		if part == ".." {
			refuse(w, http.StatusBadRequest, Mistake{Found: "a path that leads out of its folder"})
			return false
		}
	}
	return true
}

// session finds the session of a request.
func (g *guard) session(r *http.Request) (session, bool) {
	c, err := r.Cookie(g.cookie())
	if err != nil {
		return session{}, false
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	s, ok := g.sessions[c.Value]
	return s, ok
}

// open makes a session and gives its cookie away.
func (g *guard) open(w http.ResponseWriter, s session) {
	id := secret()
	g.mu.Lock()
	if len(g.sessions) >= maxSessions {
		clear(g.sessions) // everyone opens the page anew
	}
	g.sessions[id] = s
	g.mu.Unlock()
	http.SetCookie(w, &http.Cookie{Name: g.cookie(), Value: id, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
}

// tokenIs compares in constant time.
func (g *guard) tokenIs(t string) bool {
	return subtle.ConstantTimeCompare([]byte(t), []byte(g.token)) == 1
}

// pair tries a code; wait is how long no other will be taken.
func (g *guard) pair(code string) (ok bool, wait time.Duration) {
	g.mu.Lock()
	defer g.mu.Unlock()
	now := g.now()
	switch {
	case !g.home || g.failures >= maxFailures:
		return false, time.Hour
	case now.Before(g.locked):
		return false, g.locked.Sub(now)
	}
	code = strings.ReplaceAll(strings.TrimSpace(code), " ", "")
	if subtle.ConstantTimeCompare([]byte(code), []byte(g.code)) == 1 {
		g.code, g.wrong = newCode(), 0
		return true, 0
	}
	g.failures++
	if g.wrong++; g.wrong >= codeTries {
		g.code, g.wrong, g.locked = newCode(), 0, now.Add(codeRest)
	}
	return false, 0
}

// shown is the code as the page shows it, and how many tablets have a session.
func (g *guard) shown() (code string, tablets int) {
	g.mu.Lock()
	defer g.mu.Unlock()
	for _, s := range g.sessions {
		if s.tablet {
			tablets++
		}
	}
	return g.code, tablets
}

// fromHere reports whether a request comes from this machine.
func fromHere(r *http.Request) bool {
	a, err := netip.ParseAddrPort(r.RemoteAddr)
	return err == nil && a.Addr().Unmap().IsLoopback()
}

// headers are those of every answer. Nothing is fetched from anywhere else, no script
// or style stands in a page, and no other page may hold this one.
func headers(h http.Header) {
	h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cache-Control", "no-store")
}

// printable shortens foreign text and takes out what would not show.
func printable(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return '?'
		}
		return r
	}, s)
	if len(s) > 80 {
		s = s[:80] + "..."
	}
	return `"` + s + `"`
}
