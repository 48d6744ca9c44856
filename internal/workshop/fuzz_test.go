package workshop

import (
	"bytes"
	"context"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mouldwright/internal/job"
)

// tiny is a job whose requests are quickly answered: one small piece on a coarse printer.
// The fuzzer gives up an input that takes ten seconds, and a forecast at a real printer's
// pixel takes some of them on a machine that is busy with fuzzing.
const tiny = `title = "Tiny"
needed = 2027-02-14
[printer]
class = "small plate"
pixel_mm = 0.15
[chocolate.dark]
[filling.caramel]
density_g_ml = 1.3
[[piece]]
name = "letter"
count = 2
chocolate = "dark"
filling = "caramel"
outline = "round"
width_mm = 16
height_mm = 8
draft_deg = 10
  [[piece.art]]
  text = "A"
  font = "serif bold"
  width_mm = 7
  depth_mm = 0.8
`

// fuzzed is a workshop that every input finds alike: after a change the next one has a
// folder and a server anew, so that what fells the program fells it again.
type fuzzed struct {
	path    string
	s       *Server
	cookie  string
	coupons *couponBench // of the first: they are as fine for any job, and take half a second
}

func (z *fuzzed) anew(t testing.TB) {
	t.Helper()
	if z.s != nil {
		z.s.Close()
	}
	dir := filepath.Dir(z.path)
	if err := os.RemoveAll(dir); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(z.path, []byte(tiny), 0o644); err != nil {
		t.Fatal(err)
	}
	s, err := New(context.Background(), Options{Version: "test", Job: z.path, Port: "80"})
	if err != nil {
		t.Fatal(err)
	}
	z.s = s
	s.guard.hosts["w"] = true
	s.guard.open(httptest.NewRecorder(), session{})
	for id := range s.guard.sessions {
		z.cookie = s.guard.cookie() + "=" + id
	}
	// Something to undo.
	d, ctx := s.theDesk(), context.Background()
	if err := d.edit(ctx, d.now(), []Edit{{Do: "set", Key: "piece[1].count", Value: 3.0}}); err != nil {
		t.Fatal(err)
	}
	if z.coupons == nil {
		if _, err := s.coupons.want(ctx, d.usable().in, s.version); err != nil {
			t.Fatal(err)
		}
		z.coupons = &s.coupons
	} else {
		s.coupons.made, s.coupons.all, s.coupons.set, s.coupons.files = z.coupons.made, z.coupons.all, z.coupons.set, z.coupons.files
	}
}

// FuzzRequest sends anything at all, as the person at this machine. No request may end
// the program, be answered with a fault of the server's, or leave a job file that
// cannot be read.
func FuzzRequest(f *testing.F) {
	for _, line := range routes {
		method, path, _ := strings.Cut(line.pattern, " ")
		path = strings.NewReplacer("{design}", "1", "{item}", "0", "{name}", "a.svg", "{path...}", "plan.json", "{photo}", "1", "{revision}", "1",
			"{plate}", "1", "{image}", "1.png", "{parts}", "1", "{file}", "1.3mf").Replace(path)
		f.Add(method, path, []byte(`{}`))
	}
	f.Add("POST", "/api/edit", []byte(`{"version":"*","edits":[{"do":"set","key":"piece[1].width_mm","value":17.5}]}`))
	f.Add("POST", "/api/edit", []byte(`{"version":"*","edits":[{"do":"copy","key":"piece[1]"},{"do":"set","key":"piece[2].name","value":"other"},{"do":"unset","key":"printer.class"}]}`))
	f.Add("POST", "/api/edit", []byte(`{"version":"*","edits":[{"do":"add","key":"filling.plum","value":{"recipe":"honey ganache"}}]}`))
	f.Add("POST", "/api/undo", []byte(`{"version":"*"}`))
	f.Add("GET", "/api/piece/99999999999999999999/0", []byte(nil))
	f.Add("PUT", "/api/files/b.svg", []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"><rect width="9" height="9"/></svg>`))
	f.Add("PUT", "/api/files/..%2f..%2fx.svg", []byte("<svg/>"))
	z := &fuzzed{path: filepath.Join(f.TempDir(), "gifts", "job.toml")}
	z.anew(f)
	f.Cleanup(func() { z.s.Close() })
	f.Fuzz(func(t *testing.T, method, target string, body []byte) {
		if b, ok := bytes.CutPrefix(body, []byte(`{"version":"*"`)); ok { // the current one, which no fuzzer guesses
			body = append([]byte(`{"version":"`+z.s.theDesk().now()+`"`), b...)
		}
		if len(body) > maxBody || strings.HasPrefix(target, "/api/events") || strings.HasPrefix(target, "/api/build") {
			t.Skip("events do not end, and builds have their own tests")
		}
		r, err := http.NewRequest(method, "http://w/", bytes.NewReader(body))
		if err != nil {
			t.Skip("not a method")
		}
		u, err := r.URL.Parse(target)
		if err != nil || u.Host != "w" {
			t.Skip("not a path of this server")
		}
		r.URL, r.Host, r.RemoteAddr = u, "w", "127.0.0.1:9"
		r.Header.Set("Cookie", z.cookie)
		r.Header.Set("Content-Type", "application/json")
		a := httptest.NewRecorder()
		z.s.ServeHTTP(a, r)
		if a.Code >= 500 && a.Code != http.StatusNotImplemented {
			t.Errorf("%s %q answers %d: %.200q", method, target, a.Code, a.Body)
		}
		if a.Header().Get("Content-Security-Policy") == "" {
			t.Errorf("%s %q is answered without the headers", method, target)
		}
		text, err := os.ReadFile(z.path)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := job.Read(z.path, text); err != nil {
			t.Errorf("%s %q left a job file that cannot be read: %v", method, target, err)
		}
		if method != http.MethodGet && method != http.MethodHead && a.Code < 300 {
			z.anew(t)
		}
	})
}
