package main

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"net/http"
	"net/http/cookiejar"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mouldwright/internal/job"
)

// The address that serve prints leads to the page and lets the browser in; Ctrl-C ends
// it cleanly, also while a page listens to its events.
func TestServe(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "gifts")
	if err := job.Start(dir); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	out, in := io.Pipe()
	var said bytes.Buffer
	ended := make(chan error, 1)
	go func() {
		ended <- (&serveCommand{Job: dir}).Run(&terminal{ctx, in, &said})
		in.Close()
	}()
	address, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(<-ended)
	}
	jar, _ := cookiejar.New(nil)
	client := &http.Client{Jar: jar}
	get := func(url string) *http.Response {
		t.Helper()
		a, err := client.Get(url)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { a.Body.Close() })
		if a.StatusCode != http.StatusOK {
			t.Errorf("%s answers %s", url, a.Status)
		}
		return a
	}
	page := get(strings.TrimSpace(address))
	if page.Request.URL.Path != "/" || page.Request.URL.RawQuery != "" {
		t.Errorf("the opened address leads to %s", page.Request.URL)
	}
	base := "http://" + page.Request.URL.Host
	state, _ := io.ReadAll(get(base + "/api/state").Body)
	if !bytes.Contains(state, []byte(`"title":"First gifts"`)) {
		t.Errorf("state %.200s", state)
	}
	get(base + "/api/events")
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
	if !strings.Contains(said.String(), "closed; everything is saved") {
		t.Errorf("said %q", said.String())
	}
}

func TestServedJob(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, c := range []struct{ arg, want string }{
		{"", "gifts/job.toml"}, {"new folder", "new folder/job.toml"}, {"missing.toml", ""},
	} {
		got, err := servedJob(c.arg)
		if filepath.ToSlash(got) != c.want || (err != nil) != (c.want == "") {
			t.Errorf("servedJob(%q) = %q, %v, want %q", c.arg, got, err, c.want)
		}
	}
	if err := os.Mkdir("gifts", 0o755); err != nil {
		t.Fatal(err)
	}
	if got, _ := servedJob(""); filepath.ToSlash(got) != "gifts-2/job.toml" {
		t.Errorf("beside a folder of that name: %q", got)
	}
	if err := job.Begin(".", job.Answers{Set: "leaf"}); err == nil {
		t.Error("a job was begun in a folder that holds something")
	}
	if err := os.WriteFile("job.toml", nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if got, _ := servedJob(""); got != "job.toml" {
		t.Errorf("with a job here: %q", got)
	}
}
