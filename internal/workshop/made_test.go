package workshop

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mouldwright/internal/job"
)

// visit is a browser in a workshop of its own.
type visit struct {
	t      testing.TB
	s      *Server
	base   string // http://127.0.0.1:port
	dir    string // the job's folder
	client *http.Client
}

// letters is a small job: two designs, no names.
func letters(t testing.TB) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "gifts")
	if err := job.Begin(dir, job.Answers{Set: "letter"}); err != nil {
		t.Fatal(err)
	}
	return filepath.Join(dir, "job.toml")
}

// opened opens a workshop on a job file and lets a browser in.
func opened(t testing.TB, path string, change ...func(*Options)) *visit {
	v := listening(t, path, change...)
	if r := v.do("GET", "/open?token="+v.s.Token(), nil, nil); r.StatusCode != http.StatusOK {
		t.Fatalf("the opened address answers %s", r.Status)
	}
	return v
}

// listening opens a workshop that has let nobody in.
func listening(t testing.TB, path string, change ...func(*Options)) *visit {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	_, port, _ := net.SplitHostPort(l.Addr().String())
	opt := Options{Version: "test", Job: path, Port: port}
	for _, c := range change {
		c(&opt)
	}
	s, err := New(context.Background(), opt)
	if err != nil {
		t.Fatal(err)
	}
	h := s.HTTP()
	go h.Serve(l)
	t.Cleanup(func() {
		s.Close()
		h.Close()
	})
	jar, _ := cookiejar.New(nil)
	return &visit{t, s, "http://127.0.0.1:" + port, filepath.Dir(path), &http.Client{Jar: jar}}
}

// do sends a request; the answer's body is read and can be read again.
func (v *visit) do(method, path string, body any, head map[string]string) *http.Response {
	v.t.Helper()
	var r io.Reader
	switch b := body.(type) {
	case nil:
	case io.Reader:
		r = b
	case []byte:
		r = bytes.NewReader(b)
	default:
		data, err := json.Marshal(b)
		if err != nil {
			v.t.Fatal(err)
		}
		r = bytes.NewReader(data)
	}
	q, err := http.NewRequest(method, v.base+path, r)
	if err != nil {
		v.t.Fatal(err)
	}
	if r != nil {
		q.Header.Set("Content-Type", "application/json")
	}
	for k, x := range head {
		if k == "Host" {
			q.Host = x
		} else {
			q.Header.Set(k, x)
		}
	}
	a, err := v.client.Do(q)
	if err != nil {
		v.t.Fatalf("%s %s: %v", method, path, err)
	}
	defer a.Body.Close()
	data, err := io.ReadAll(a.Body)
	if err != nil {
		v.t.Fatalf("%s %s: %v", method, path, err)
	}
	a.Body = io.NopCloser(bytes.NewReader(data))
	return a
}

// want sends a request, wants a status, and reads the answer into out unless it is nil.
func (v *visit) want(status int, method, path string, body, out any) {
	v.t.Helper()
	a := v.do(method, path, body, nil)
	data, _ := io.ReadAll(a.Body)
	if a.StatusCode != status {
		v.t.Fatalf("%s %s answers %d, want %d: %.300q", method, path, a.StatusCode, status, data)
	}
	if out != nil {
		if err := json.Unmarshal(data, out); err != nil {
			v.t.Fatalf("%s %s: %v in %.200q", method, path, err, data)
		}
	}
}

// seen is State with its values as a page reads them.
type seen struct {
	State
	Values map[string]any `json:"values"`
}

func (v *visit) state() seen {
	v.t.Helper()
	var s seen
	v.want(200, "GET", "/api/state", nil, &s)
	return s
}

func (v *visit) edit(version string, edits ...Edit) seen {
	v.t.Helper()
	var s seen
	v.want(200, "POST", "/api/edit", EditRequest{version, edits}, &s)
	return s
}

// at reads a value of the state by a path of keys and indices.
func (s seen) at(path ...any) any {
	var v any = s.Values
	for _, p := range path {
		switch p := p.(type) {
		case string:
			v = v.(map[string]any)[p]
		case int:
			v = v.([]any)[p]
		}
	}
	return v
}

func (v *visit) text() string {
	v.t.Helper()
	data, err := os.ReadFile(filepath.Join(v.dir, "job.toml"))
	if err != nil {
		v.t.Fatal(err)
	}
	return string(data)
}

// writes is what a text editor does.
func (v *visit) writes(text string) {
	v.t.Helper()
	tmp := filepath.Join(v.dir, "job.toml~")
	if err := os.WriteFile(tmp, []byte(text), 0o644); err != nil {
		v.t.Fatal(err)
	}
	if err := os.Rename(tmp, filepath.Join(v.dir, "job.toml")); err != nil {
		v.t.Fatal(err)
	}
}

func names(t testing.TB, dir string) string {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var s []string
	for _, e := range list {
		s = append(s, e.Name())
	}
	return strings.Join(s, " ")
}
