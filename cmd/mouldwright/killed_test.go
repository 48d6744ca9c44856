package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/cookiejar"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"mouldwright/internal/job"
)

// tortured is the variable that makes the test program itself the workshop, so that it
// can be killed.
const tortured = "MOULDWRIGHT_TORTURE_WORKSHOP"

// TestSaveKilledAtAnyInstant edits a job in a workshop that is killed with SIGKILL, again
// and again, while it saves. The file can be read after each kill, and every edit that
// was answered is in it. MOULDWRIGHT_TORTURE asks for more kills.
func TestSaveKilledAtAnyInstant(t *testing.T) {
	kills := 5
	if n, err := strconv.Atoi(os.Getenv("MOULDWRIGHT_TORTURE")); err == nil {
		kills = n
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "gifts")
	if err := job.Start(dir); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "job.toml")
	boxes, answered := 0, 0 // as sent last, as answered last
	for k := range kills {
		cmd := exec.Command(self)
		cmd.Env = append(os.Environ(), tortured+"="+path)
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		address, err := bufio.NewReader(out).ReadString('\n')
		if err != nil {
			t.Fatal(err)
		}
		jar, _ := cookiejar.New(nil)
		client := &http.Client{Jar: jar}
		page, err := client.Get(strings.TrimSpace(address))
		if err != nil {
			t.Fatal(err)
		}
		page.Body.Close()
		base := "http://" + page.Request.URL.Host
		timer := time.AfterFunc(time.Duration(20+k*397%300)*time.Millisecond, func() { cmd.Process.Kill() })
		for {
			var s struct{ Version string }
			a, err := client.Get(base + "/api/state")
			if err != nil {
				break
			}
			err = json.NewDecoder(a.Body).Decode(&s)
			a.Body.Close()
			if err != nil {
				break
			}
			boxes = 1 + boxes%500
			edit := fmt.Sprintf(`{"version":%q,"edits":[{"do":"set","key":"boxes","value":%d}]}`, s.Version, boxes)
			a, err = client.Post(base+"/api/edit", "application/json", strings.NewReader(edit))
			if err != nil {
				break
			}
			a.Body.Close()
			if a.StatusCode != http.StatusOK {
				t.Fatalf("an edit answers %s", a.Status)
			}
			answered = boxes
		}
		timer.Stop()
		cmd.Process.Kill()
		cmd.Wait()
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := job.Read(path, text); err != nil {
			t.Fatalf("kill %d: %v", k, err)
		}
		// An edit that was on its way may have gone through without being answered.
		if answered > 0 && !bytes.Contains(text, fmt.Appendf(nil, "boxes  = %d\n", answered)) && !bytes.Contains(text, fmt.Appendf(nil, "boxes  = %d\n", boxes)) {
			t.Errorf("kill %d: %d boxes were answered, %d sent, and the file holds neither:\n%.300s", k, answered, boxes, text)
		}
	}
	if answered == 0 {
		t.Error("no edit was answered before a kill")
	}
	t.Logf("%d kills, %d boxes at the end", kills, boxes)
}
