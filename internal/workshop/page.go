package workshop

import (
	"bytes"
	"compress/gzip"
	"embed"
	"errors"
	"io"
	"io/fs"
	"log"
	"net/http"
	"net/netip"
	"os"
	"path"
	"path/filepath"
	"strings"
	"sync"
	"time"
)

// page holds the stand-in page, and in dist the page itself when it has been built.
// Without Node the program builds and tests all the same.
//
//go:embed page
var page embed.FS

// pageFile is one file of the page.
type pageFile struct {
	plain, packed []byte // packed is nil where packing gains nothing
	kind          string
	forever       bool // its name changes with its content
}

var pageFiles = sync.OnceValue(func() map[string]pageFile {
	files := map[string]pageFile{}
	dir, err := fs.Sub(page, "page/dist")
	if err != nil {
		panic(err)
	}
	err = fs.WalkDir(dir, ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := fs.ReadFile(dir, name)
		if err == nil {
			files["/"+name] = newPageFile(name, data)
		}
		return err
	})
	if err != nil && !errors.Is(err, fs.ErrNotExist) { // without Node there is no page/dist
		panic(err)
	}
	if index, ok := files["/index.html"]; ok {
		files["/"] = index
	} else {
		data, err := page.ReadFile("page/standin.html")
		if err != nil {
			panic(err)
		}
		files["/"] = newPageFile("standin.html", data)
	}
	return files
})

func newPageFile(name string, data []byte) pageFile {
	f := pageFile{plain: data, kind: contentTypes[path.Ext(name)], forever: strings.HasPrefix(name, "assets/")}
	if f.kind == "" {
		f.kind = "application/octet-stream"
	}
	switch path.Ext(name) {
	case ".html", ".js", ".css", ".svg", ".json", ".txt", ".webmanifest":
		var b bytes.Buffer
		z, _ := gzip.NewWriterLevel(&b, gzip.BestCompression)
		z.Write(data)
		z.Close()
		f.packed = b.Bytes()
	}
	return f
}

// getPage serves the page. It is the same for everyone and holds nothing of the job,
// so that a tablet can be let in by it.
func (s *Server) getPage(w http.ResponseWriter, r *http.Request) error {
	f, ok := pageFiles()[r.URL.Path]
	if !ok && s.otherMethod(r) {
		return refusal{http.StatusMethodNotAllowed, Mistake{Found: "no " + r.Method + " at " + printable(r.URL.Path)}}
	} else if !ok {
		return refusal{http.StatusNotFound, Mistake{Found: "nothing is at " + printable(r.URL.Path)}}
	}
	h := w.Header()
	h.Set("Content-Type", f.kind)
	if f.forever {
		h.Set("Cache-Control", "private, max-age=31536000, immutable")
	}
	data := f.plain
	if f.packed != nil {
		h.Set("Vary", "Accept-Encoding")
		if strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
			h.Set("Content-Encoding", "gzip")
			data = f.packed
		}
	}
	_, err := w.Write(data)
	return err
}

// otherMethod reports whether a path is answered to another method than GET, for which
// the page stands behind every path.
func (s *Server) otherMethod(r *http.Request) bool {
	for _, m := range [...]string{"POST", "PUT", "DELETE"} {
		other := *r
		other.Method = m
		if _, pattern := s.mux.Handler(&other); pattern != "" {
			return true
		}
	}
	return false
}

// getOpen exchanges the token of the opened address for a session.
func (s *Server) getOpen(w http.ResponseWriter, r *http.Request) error {
	if !fromHere(r) || !s.guard.tokenIs(r.URL.Query().Get("token")) {
		return refusal{http.StatusForbidden, Mistake{Found: "an address that is no longer good", Do: "take the one that the workshop showed when it was last started"}}
	}
	s.guard.open(w, session{})
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}

// postPair lets a tablet in.
func (s *Server) postPair(w http.ResponseWriter, r *http.Request) error {
	var q PairRequest
	if err := s.readJSON(w, r, &q); err != nil {
		return err
	}
	ok, wait := s.guard.pair(q.Code)
	switch {
	case wait > 0:
		return refusal{http.StatusTooManyRequests, Mistake{Found: "no code is taken now", Do: "look at the code again in " + wait.Round(time.Second).String() + ", or start the workshop anew with --home-network"}}
	case !ok:
		return refusal{http.StatusForbidden, Mistake{Found: "not the code that the machine shows", Do: "read it again; it changes after each use"}}
	}
	s.guard.open(w, session{tablet: true})
	s.tellState("home")
	return answer(w, Paired{Paired: true})
}

// homeFor is the visible sign that the workshop is open to the home network; the code
// is only for who sits at this machine.
func (s *Server) homeFor(r *http.Request) *Home {
	if !s.guard.home {
		return nil
	}
	h := &Home{Addresses: []string{}}
	for _, a := range s.guard.addresses {
		h.Addresses = append(h.Addresses, "http://"+netip.AddrPortFrom(netip.MustParseAddr(a), s.guard.portNumber()).String()+"/")
	}
	code, tablets := s.guard.shown()
	h.Tablets = tablets
	if se, ok := s.guard.session(r); ok && !se.tablet && fromHere(r) {
		h.Code = code
	}
	return h
}

func silent() *log.Logger { return log.New(io.Discard, "", 0) }

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

func absolute(path string) string {
	if a, err := filepath.Abs(path); err == nil {
		return a
	}
	return path
}
