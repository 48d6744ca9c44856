package workshop

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/bitmap"
	"mouldwright/internal/base/format/font"
	"mouldwright/internal/base/format/svg"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/job"
	"mouldwright/internal/output"
)

// fileKind is what may lie beside the job file, by its ending, and how large it may be.
type fileKind struct {
	kind string
	most int64
}

const mb = 1 << 20

var fileKinds = map[string]fileKind{
	".svg": {"vector", 16 * mb},
	".png": {"picture", 64 * mb}, ".jpg": {"picture", 64 * mb}, ".jpeg": {"picture", 64 * mb}, ".webp": {"picture", 64 * mb}, ".tif": {"picture", 64 * mb}, ".tiff": {"picture", 64 * mb},
	".stl": {"mesh", 512 * mb}, ".obj": {"mesh", 512 * mb}, ".ply": {"mesh", 512 * mb}, ".3mf": {"mesh", 512 * mb},
	".ttf": {"font", 32 * mb}, ".otf": {"font", 32 * mb}, ".ttc": {"font", 32 * mb},
	".csv": {"names", 4 * mb},
}

// maxListed bounds the list of files.
const maxListed = 500

// checkFileName accepts the name of a file right beside the job file.
func checkFileName(name string) (fileKind, error) {
	k, known := fileKinds[strings.ToLower(path.Ext(name))]
	refuse := func(found, do string) (fileKind, error) {
		return k, refusal{http.StatusBadRequest, Mistake{File: name, Found: found, Allowed: "letters, figures, spaces, - _ . and an ending such as .svg, .png, .stl, .ttf or .csv", Do: do}}
	}
	if !known {
		return refuse("a file of no known kind", "give it the ending of its kind")
	}
	base := strings.TrimSuffix(name, path.Ext(name))
	if !utf8.ValidString(name) || len(name) > 100 || strings.TrimSpace(base) != base || base == "" || strings.HasPrefix(name, ".") {
		return refuse("a name that cannot be used", "give it a short name")
	}
	for _, r := range name {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) && !strings.ContainsRune(" -_.", r) {
			return refuse(fmt.Sprintf("%q in the name", r), "take it out")
		}
	}
	switch first, _, _ := strings.Cut(strings.ToLower(base), "."); first {
	case "con", "prn", "aux", "nul", "com1", "com2", "com3", "com4", "lpt1", "lpt2", "lpt3":
		return refuse("a name that some systems keep for devices", "give it another name")
	}
	return k, nil
}

func (s *Server) getFiles(w http.ResponseWriter, r *http.Request) error {
	u, err := s.job()
	if err != nil {
		return err
	}
	list, err := fs.ReadDir(u.desk.root.FS(), ".")
	if err != nil {
		return err
	}
	out := Files{Files: []JobFile{}}
	for _, e := range list {
		k, err := checkFileName(e.Name())
		info, infoErr := e.Info()
		if err != nil || infoErr != nil || !info.Mode().IsRegular() {
			continue
		}
		_, used := u.in.Files[e.Name()]
		out.Files = append(out.Files, JobFile{Name: e.Name(), Kind: k.kind, Bytes: info.Size(), Used: used})
		if len(out.Files) == maxListed {
			break
		}
	}
	return answer(w, out)
}

// getFile gives a file of the job, as art to look at. An SVG may hold scripts; the
// answer's policy lets none of them run.
func (s *Server) getFile(w http.ResponseWriter, r *http.Request) error {
	u, err := s.job()
	if err != nil {
		return err
	}
	name := r.PathValue("name")
	if _, err := checkFileName(name); err != nil {
		return err
	}
	w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; sandbox")
	return serveFile(w, r, u.desk.root, name)
}

func (s *Server) getFonts(w http.ResponseWriter, r *http.Request) error {
	return answer(w, Fonts{Names: font.Names()})
}

// putFile takes a file in beside the job file. It is streamed to the disk and only
// put in place once it has been read as what its name says.
func (s *Server) putFile(w http.ResponseWriter, r *http.Request) error {
	u, err := s.job()
	if err != nil {
		return err
	}
	name := r.PathValue("name")
	k, err := checkFileName(name)
	if err != nil {
		return err
	}
	tooLarge := refusal{http.StatusRequestEntityTooLarge, Mistake{File: name, Found: "too large", Allowed: fmt.Sprintf("at most %d MB for a %s", k.most/mb, k.kind), Do: "make it smaller, or copy it into the job's folder yourself"}}
	if r.ContentLength > k.most {
		return tooLarge
	}
	s.upload.Lock() // one at a time: each is read whole into memory
	defer s.upload.Unlock()
	words := ""
	err = output.Replace(u.desk.root, name, 0o644, func(f *os.File) error {
		body := &patient{r: http.MaxBytesReader(w, r.Body, k.most), c: http.NewResponseController(w), each: s.limits.Upload}
		if _, err := io.Copy(f, body); err != nil {
			return err
		}
		if _, err := f.Seek(0, io.SeekStart); err != nil {
			return err
		}
		data, err := io.ReadAll(f)
		if err != nil {
			return err
		}
		words, err = readable(r.Context(), k.kind, name, data)
		return err
	})
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return tooLarge
	case err != nil:
		return err
	}
	s.listen(u.desk)
	s.changed("files")
	info, err := u.desk.root.Stat(name)
	if err != nil {
		return err
	}
	if u, err = s.job(); err != nil {
		return err
	}
	_, used := u.in.Files[name]
	return answer(w, JobFile{Name: name, Kind: k.kind, Bytes: info.Size(), Used: used, Words: words})
}

// patient reads a body as long as it keeps coming: each megabyte has its own deadline.
type patient struct {
	r    io.Reader
	c    *http.ResponseController
	each time.Duration
	left int
}

func (p *patient) Read(b []byte) (int, error) {
	if p.left <= 0 {
		p.c.SetReadDeadline(time.Now().Add(p.each))
		p.left = mb
	}
	n, err := p.r.Read(b)
	p.left -= n
	return n, err
}

// readable reads a file as the job would, within the readers' own limits, and says
// what is in it.
func readable(ctx context.Context, kind, name string, data []byte) (string, error) {
	if len(data) == 0 {
		return "", &finding.Error{File: name, Found: "the file is empty", Do: "save it again from the program that made it"}
	}
	switch kind {
	case "vector":
		d, _, err := svg.Read(ctx, name, data)
		if err != nil {
			return "", err
		}
		b := d.Outline.Bounds()
		if b.Empty() {
			return "", &finding.Error{File: name, Found: "nothing is painted in it", Allowed: "a drawing with filled or stroked shapes", Do: "fill or stroke its shapes, and save it again"}
		}
		return fmt.Sprintf("%.4g x %.4g mm, %d outlines", b.W(), b.H(), len(d.Outline)), nil
	case "picture":
		img, _, err := bitmap.Read(name, data)
		if err != nil {
			return "", err
		}
		return fmt.Sprintf("%d x %d pixels", img.W, img.H), nil
	case "mesh":
		m, err := artwork.ReadMesh(name, data)
		if err != nil {
			return "", err
		}
		return fmt.Sprintf("%d triangles", len(m.T)), nil
	case "font":
		f, err := font.Parse(name, data)
		if err != nil {
			return "", err
		}
		return f.Name, nil
	case "names":
		n, err := job.CheckNames(name, data)
		return fmt.Sprintf("%d rows", n), err
	}
	panic("workshop: no reader for " + kind)
}

// serveFile answers with an ordinary file of a folder, whole or in part.
func serveFile(w http.ResponseWriter, r *http.Request, root *os.Root, name string) error {
	none := refusal{http.StatusNotFound, Mistake{File: name, Found: "no such file"}}
	if !fs.ValidPath(name) {
		return none
	}
	f, err := root.Open(name)
	if err != nil {
		return none
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || !info.Mode().IsRegular() {
		return none
	}
	t, ok := contentTypes[strings.ToLower(path.Ext(name))]
	if !ok {
		t = "application/octet-stream"
	}
	w.Header().Set("Content-Type", t)
	w.Header().Set("Cache-Control", "private, no-cache")
	http.ServeContent(w, r, "", info.ModTime(), f)
	return nil
}

// contentTypes are the registered media types (IANA) of what is served.
var contentTypes = map[string]string{
	".3mf": "model/3mf", ".stl": "model/stl", ".obj": "model/obj",
	".pdf": "application/pdf", ".json": "application/json", ".csv": "text/csv; charset=utf-8", ".ics": "text/calendar; charset=utf-8",
	".svg": "image/svg+xml", ".png": "image/png", ".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".webp": "image/webp", ".tif": "image/tiff", ".tiff": "image/tiff",
	".ttf": "font/ttf", ".otf": "font/otf", ".ttc": "font/collection",
	".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".woff2": "font/woff2", ".txt": "text/plain; charset=utf-8", ".webmanifest": "application/manifest+json",
}
