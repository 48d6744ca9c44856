package workshop

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func status(t *testing.T, a *http.Response, want int, what string) {
	t.Helper()
	if a.StatusCode != want {
		data, _ := io.ReadAll(a.Body)
		t.Errorf("%s: answered %d, want %d: %.200q", what, a.StatusCode, want, data)
	}
}

func TestStrangersAreRefused(t *testing.T) {
	v := listening(t, letters(t))
	for _, line := range routes {
		method, path, _ := strings.Cut(line.pattern, " ")
		if open(path) {
			continue
		}
		path = strings.NewReplacer("{design}", "1", "{item}", "0", "{name}", "a.svg", "{path...}", "plan.json").Replace(path)
		status(t, v.do(method, path, nil, nil), http.StatusForbidden, method+" "+path+" without a session")
		status(t, v.do(method, path, nil, map[string]string{"Cookie": v.s.guard.cookie() + "=" + secret()}), http.StatusForbidden, method+" "+path+" with a made-up session")
	}
	status(t, v.do("GET", "/open?token=", nil, nil), http.StatusForbidden, "no token")
	status(t, v.do("GET", "/open?token="+secret(), nil, nil), http.StatusForbidden, "another token")
	status(t, v.do("GET", "/", nil, nil), http.StatusOK, "the page itself, which holds nothing of the job")
	status(t, v.do("POST", "/api/pair", PairRequest{v.s.Code()}, nil), http.StatusTooManyRequests, "pairing while not open to the home network")

	a := v.do("GET", "/open?token="+v.s.Token(), nil, nil)
	status(t, a, http.StatusOK, "the token")
	c := a.Request.Response.Cookies() // of the answer that led to the page
	if len(c) != 1 || !c[0].HttpOnly || c[0].SameSite != http.SameSiteStrictMode {
		t.Errorf("cookies %v", c)
	}
	status(t, v.do("GET", "/api/state", nil, nil), http.StatusOK, "with the session")
}

func TestForeignRequests(t *testing.T) {
	v := opened(t, letters(t))
	_, port, _ := net.SplitHostPort(strings.TrimPrefix(v.base, "http://"))
	for _, c := range []struct {
		what string
		head map[string]string
		want int
	}{
		{"own origin", map[string]string{"Origin": v.base, "Sec-Fetch-Site": "same-origin"}, 200},
		{"localhost", map[string]string{"Host": "localhost:" + port}, 403}, // no session there: the cookie is of 127.0.0.1
		{"foreign host", map[string]string{"Host": "mould.example:" + port}, 421},
		{"foreign host without port", map[string]string{"Host": "mould.example"}, 421},
		{"right host, other port", map[string]string{"Host": "127.0.0.1:1"}, 421},
		{"foreign origin", map[string]string{"Origin": "http://mould.example"}, 403},
		{"origin of another port", map[string]string{"Origin": "http://127.0.0.1:1"}, 403},
		{"origin null", map[string]string{"Origin": "null"}, 403},
		{"cross-site without origin", map[string]string{"Sec-Fetch-Site": "cross-site"}, 403},
	} {
		status(t, v.do("GET", "/api/state", nil, c.head), c.want, c.what)
		if c.want != 200 {
			status(t, v.do("POST", "/api/undo", StepRequest{v.state().Version}, c.head), c.want, c.what+", POST")
		}
	}
	for method, path := range map[string]string{"DELETE": "/api/state", "PUT": "/api/edit", "GET": "/api/undo", "POST": "/api/tray", "PATCH": "/api/build"} {
		status(t, v.do(method, path, nil, nil), http.StatusMethodNotAllowed, method+" "+path)
	}
	status(t, v.do("POST", "/api/edit", EditRequest{}, map[string]string{"Content-Type": "text/plain"}), http.StatusUnsupportedMediaType, "a form's body")
	status(t, v.do("POST", "/api/edit", []byte(`{"version":"","edits":[],"more":1}`), nil), http.StatusBadRequest, "an unknown field")
	status(t, v.do("POST", "/api/edit", bytes.Repeat([]byte(" "), 2<<20), nil), http.StatusRequestEntityTooLarge, "a body of 2 MB")
}

func TestHeadersOfEveryAnswer(t *testing.T) {
	v := opened(t, letters(t))
	for _, path := range []string{"/", "/api/state", "/api/nothing", "/nothing", "/api/piece/1"} {
		h := v.do("GET", path, nil, nil).Header
		csp := h.Get("Content-Security-Policy")
		for _, part := range []string{"default-src 'none'", "script-src 'self';", "frame-ancestors 'none'", "base-uri 'none'", "connect-src 'self'"} {
			if !strings.Contains(csp, part) {
				t.Errorf("%s: policy %q lacks %q", path, csp, part)
			}
		}
		if strings.Contains(csp, "unsafe") || h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Referrer-Policy") != "no-referrer" {
			t.Errorf("%s: headers %v", path, h)
		}
	}
}

// raw sends bytes as they are and gives the answer.
func raw(t *testing.T, v *visit, request string) (*http.Response, error) {
	t.Helper()
	c, err := net.Dial("tcp", strings.TrimPrefix(v.base, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Close() })
	c.SetDeadline(time.Now().Add(20 * time.Second))
	if _, err := io.WriteString(c, request); err != nil {
		return nil, err
	}
	return http.ReadResponse(bufio.NewReader(c), nil)
}

func (v *visit) cookie() string {
	q, _ := http.NewRequest("GET", v.base, nil)
	for _, c := range v.client.Jar.Cookies(q.URL) {
		return c.Name + "=" + c.Value
	}
	return ""
}

// No path leads out of the job's folder, however it is written.
func TestPathsStayInTheFolder(t *testing.T) {
	v := opened(t, letters(t))
	outside := filepath.Dir(v.dir)
	for _, name := range []string{"secret.svg", "plan.json"} {
		if err := os.WriteFile(filepath.Join(outside, name), []byte("SECRET"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.MkdirAll(filepath.Join(v.dir, "out", "plates"), 0o755); err != nil {
		t.Fatal(err)
	}
	for link, target := range map[string]string{"link.svg": "../secret.svg", "out/plates/link.json": "../../../plan.json", "out/link": ".."} {
		if err := os.Symlink(target, filepath.Join(v.dir, link)); err != nil {
			t.Fatal(err)
		}
	}
	host := strings.TrimPrefix(v.base, "http://")
	for _, path := range []string{
		"/api/out/../secret.svg", "/api/out/../../plan.json", "/api/out/%2e%2e/%2e%2e/plan.json", "/api/out/..%2f..%2fplan.json", "/api/out/plates/..%2F..%2F..%2Fplan.json",
		"/api/out/..%5c..%5cplan.json", "/api/out//etc/passwd", "/api/out/%2fetc%2fpasswd", "/api/out/./../x", "/api/out/plan.json%00.svg",
		"/api/files/../secret.svg", "/api/files/..%2fsecret.svg", "/api/files/%2e%2e%2fsecret.svg", "/api/files/link.svg", "/api/files/job.toml", "/api/files/.job.svg",
		"/api/out/plates/link.json", "/api/out/link/job.toml", "/api/out/link/link.svg", "/api/out/plates", "/api/out/",
		"/../../etc/passwd", "/%2e%2e/%2e%2e/etc/passwd", "/assets/../../server.go",
	} {
		a, err := raw(t, v, fmt.Sprintf("GET %s HTTP/1.1\r\nHost: %s\r\nCookie: %s\r\nConnection: close\r\n\r\n", path, host, v.cookie()))
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		data, _ := io.ReadAll(a.Body)
		if a.StatusCode == 200 || bytes.Contains(data, []byte("SECRET")) || bytes.Contains(data, []byte("root:")) {
			t.Errorf("%s answers %d: %.100q", path, a.StatusCode, data)
		}
	}
	for _, name := range []string{"..%2fx.svg", "%2e%2e%2fx.svg", "a%2fb.svg", "a%5cb.svg", ".x.svg", "con.svg", "x.exe", "job.toml", "x.svg%00", "x%0a.svg", strings.Repeat("x", 120) + ".svg", "%20.svg"} {
		status(t, v.do("PUT", "/api/files/"+name, []byte("<svg/>"), nil), http.StatusBadRequest, "PUT "+name)
	}
	status(t, v.do("PUT", "/api/files/link.svg", []byte(leafSVG), nil), http.StatusOK, "PUT over a link")
	if data, _ := os.ReadFile(filepath.Join(outside, "secret.svg")); string(data) != "SECRET" {
		t.Errorf("a file outside was written: %q", data)
	}
}

// zeros is a body that never ends.
type zeros struct{ read int64 }

func (z *zeros) Read(b []byte) (int, error) {
	clear(b)
	z.read += int64(len(b))
	return len(b), nil
}

func TestHugeUploads(t *testing.T) {
	v := opened(t, letters(t))
	before := names(t, v.dir)
	// With its length told, it is refused before it is sent.
	a, err := raw(t, v, fmt.Sprintf("PUT /api/files/big.stl HTTP/1.1\r\nHost: %s\r\nCookie: %s\r\nContent-Length: 2147483648\r\n\r\n", strings.TrimPrefix(v.base, "http://"), v.cookie()))
	if err != nil {
		t.Fatal(err)
	}
	status(t, a, http.StatusRequestEntityTooLarge, "2 GB, told")
	// Without, when it has passed what is allowed.
	z := &zeros{}
	q, _ := http.NewRequest("PUT", v.base+"/api/files/big.csv", io.LimitReader(z, 2<<30))
	q.ContentLength = -1
	if a, err := v.client.Do(q); err == nil { // the server may hang up before the answer is read
		status(t, a, http.StatusRequestEntityTooLarge, "2 GB, untold")
		a.Body.Close()
	}
	if z.read > 256<<20 {
		t.Errorf("%d bytes were taken", z.read)
	}
	if after := names(t, v.dir); after != before {
		t.Errorf("the folder holds %s, before %s", after, before)
	}
}

// A client that dribbles its request is hung up on.
func TestSlowClient(t *testing.T) {
	was := usualLimits
	usualLimits.Header, usualLimits.Body = 200*time.Millisecond, 200*time.Millisecond
	defer func() { usualLimits = was }()
	v := opened(t, letters(t))
	for what, begin := range map[string]string{
		"head": "GET /api/state HTTP/1.1\r\nHost: ",
		"body": fmt.Sprintf("POST /api/edit HTTP/1.1\r\nHost: %s\r\nCookie: %s\r\nContent-Type: application/json\r\nContent-Length: 500\r\n\r\n{\"version\":", strings.TrimPrefix(v.base, "http://"), v.cookie()),
	} {
		c, err := net.Dial("tcp", strings.TrimPrefix(v.base, "http://"))
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		io.WriteString(c, begin)
		c.SetReadDeadline(time.Now().Add(30 * time.Second))
		if _, err := io.ReadAll(c); err != nil {
			t.Errorf("slow %s: the server still waits: %v", what, err)
		}
	}
	big := "GET /api/state HTTP/1.1\r\nHost: x\r\nX: " + strings.Repeat("x", 64<<10) + "\r\n\r\n"
	if a, err := raw(t, v, big); err == nil {
		status(t, a, http.StatusRequestHeaderFieldsTooLarge, "a head of 64 kB")
	}
}

func TestPairing(t *testing.T) {
	v := listening(t, letters(t), func(o *Options) { o.Home, o.Addresses = true, []string{"192.168.7.9"} })
	now := time.Date(2027, 1, 2, 3, 4, 5, 0, time.UTC)
	v.s.guard.now = func() time.Time { return now }
	first := v.s.Code()
	for k := range codeTries {
		status(t, v.do("POST", "/api/pair", PairRequest{"no"}, nil), http.StatusForbidden, fmt.Sprint("wrong code ", k+1))
	}
	if v.s.Code() == first {
		t.Error("the code stays after five wrong tries")
	}
	status(t, v.do("POST", "/api/pair", PairRequest{v.s.Code()}, nil), http.StatusTooManyRequests, "the right code during the rest")
	now = now.Add(codeRest)
	code := v.s.Code()
	status(t, v.do("POST", "/api/pair", PairRequest{" " + code[:3] + " " + code[3:]}, nil), http.StatusOK, "the right code after the rest")
	s := v.state()
	if s.Home == nil || s.Home.Code != "" || s.Home.Tablets != 1 || s.Home.Addresses[0] != "http://192.168.7.9:"+v.s.guard.port+"/" {
		t.Errorf("a tablet sees %+v", s.Home)
	}
	if v.s.Code() == code {
		t.Error("a code can be used twice")
	}
	v.do("GET", "/open?token="+v.s.Token(), nil, nil)
	if s := v.state(); s.Home.Code != v.s.Code() {
		t.Errorf("the machine itself sees %+v", s.Home)
	}
	for range maxFailures {
		v.s.guard.pair("no")
		now = now.Add(codeRest)
	}
	if ok, _ := v.s.guard.pair(v.s.Code()); ok {
		t.Error("guessing can go on for ever")
	}
}
