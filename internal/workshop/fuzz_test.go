package workshop

import (
	"bytes"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"

	"mouldwright/internal/job"
)

// FuzzRequest sends anything at all, as the person at this machine. No request may end
// the program, be answered with a fault of the server's, or leave a job file that
// cannot be read.
func FuzzRequest(f *testing.F) {
	for _, line := range routes {
		method, path, _ := strings.Cut(line.pattern, " ")
		path = strings.NewReplacer("{design}", "1", "{item}", "0", "{name}", "a.svg", "{path...}", "plan.json").Replace(path)
		f.Add(method, path, []byte(`{}`))
	}
	f.Add("POST", "/api/edit", []byte(`{"version":"*","edits":[{"do":"set","key":"piece[1].width_mm","value":31.5}]}`))
	f.Add("POST", "/api/edit", []byte(`{"version":"*","edits":[{"do":"copy","key":"piece[1]"},{"do":"unset","key":"printer.class"}]}`))
	f.Add("POST", "/api/edit", []byte(`{"version":"*","edits":[{"do":"add","key":"filling.plum","value":{"recipe":"honey ganache"}}]}`))
	f.Add("GET", "/api/piece/99999999999999999999/0", []byte(nil))
	f.Add("PUT", "/api/files/..%2f..%2fx.svg", []byte("<svg/>"))
	path := letters(f)
	v := opened(f, path)
	v.s.guard.hosts["w"] = true
	v.s.guard.open(httptest.NewRecorder(), session{})
	var cookie string
	for id := range v.s.guard.sessions {
		cookie = v.s.guard.cookie() + "=" + id
	}
	f.Fuzz(func(t *testing.T, method, target string, body []byte) {
		if b, ok := bytes.CutPrefix(body, []byte(`{"version":"*"`)); ok { // the current one, which no fuzzer guesses
			body = append([]byte(`{"version":"`+v.s.theDesk().now()+`"`), b...)
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
		r.Header.Set("Cookie", cookie)
		a := httptest.NewRecorder()
		v.s.ServeHTTP(a, r)
		if a.Code >= 500 && a.Code != http.StatusNotImplemented {
			t.Errorf("%s %q answers %d: %.200q", method, target, a.Code, a.Body)
		}
		if a.Header().Get("Content-Security-Policy") == "" {
			t.Errorf("%s %q is answered without the headers", method, target)
		}
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := job.Read(path, text); err != nil {
			t.Errorf("%s %q left a job file that cannot be read: %v", method, target, err)
		}
	})
}
