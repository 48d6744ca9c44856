package record

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestMain lets the test program be a writer that can be killed: it writes entries
// without end, and tells each one only after Write has returned.
func TestMain(m *testing.M) {
	if job := os.Getenv("MOULDWRIGHT_READER_JOB"); job != "" {
		r, err := Open(context.Background(), job, Options{Version: "reader"})
		if err == nil {
			err = r.Write(context.Background(), &Point{Words: "kept where nothing can be kept"})
		}
		fmt.Print(err)
		os.Exit(0)
	}
	if job := os.Getenv("MOULDWRIGHT_TORTURE_JOB"); job != "" {
		r, err := Open(context.Background(), job, Options{Version: "torture"})
		if err != nil {
			fmt.Println("error", err)
			os.Exit(1)
		}
		for i := 0; ; i++ {
			p := &Pour{At: time.Now(), Tray: 1, Silicone: strings.Repeat("soft ", 40)}
			p.ID = newID()
			// Two entries, all or none.
			if err := r.Write(context.Background(), p, &Weighing{At: time.Now(), Pour: p.ID, Cup: 1, What: "part A", MassG: float64(i)}); err != nil {
				fmt.Println("error", err)
				os.Exit(1)
			}
			fmt.Println("kept", p.ID)
		}
	}
	os.Exit(m.Run())
}

// A process that writes is killed with SIGKILL at whatever instant, again and again:
// nothing that was confirmed is lost, nothing is half there, and the record is sound.
// Sixteen kills here; make torture asks for more by MOULDWRIGHT_TORTURE.
func TestKilledAtAnyInstant(t *testing.T) {
	kills := 16
	if n, err := strconv.Atoi(os.Getenv("MOULDWRIGHT_TORTURE")); err == nil {
		kills = n
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	job := newJob(t)
	confirmed := map[string]bool{}
	for k := range kills {
		cmd := exec.Command(self)
		cmd.Env = append(os.Environ(), "MOULDWRIGHT_TORTURE_JOB="+job)
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		// Killed after so many confirmations and a moment that differs each time, so that
		// every part of a write is hit sooner or later.
		told := 0
		for s := bufio.NewScanner(out); s.Scan(); {
			id, ok := strings.CutPrefix(s.Text(), "kept ")
			if !ok {
				t.Fatal(s.Text())
			}
			confirmed[id] = true
			if told++; told == 1+k%5 {
				go func() {
					time.Sleep(time.Duration(k*397%2900) * time.Microsecond)
					cmd.Process.Signal(syscall.SIGKILL)
				}()
			}
		}
		cmd.Wait()
	}
	r, err := Open(t.Context(), job, Options{Version: "test"})
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	e, err := r.All(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	there := map[string]bool{}
	for _, p := range e.Pours {
		there[p.ID] = true
	}
	for id := range confirmed {
		if !there[id] {
			t.Errorf("%s was confirmed and is lost", id)
		}
	}
	if len(e.Weighings) != len(e.Pours) {
		t.Errorf("%d pours and %d weighings: half an entry is there", len(e.Pours), len(e.Weighings))
	}
	if list, err := Check(t.Context(), job, Options{}); err != nil || len(list) > 0 {
		t.Errorf("%v, %v", list, err)
	}
	if got := debians(t, job, "PRAGMA integrity_check"); got != "ok" {
		t.Errorf("Debian's sqlite3 says %s", got)
	}
	t.Logf("%d kills, %d entries confirmed, %d there", kills, 2*len(confirmed), len(e.Pours)+len(e.Weighings))
}

// asReader opens a record and writes into it as somebody who may only read its folder, and
// gives what was said.
func asReader(t *testing.T, job string) string {
	t.Helper()
	dir := filepath.Dir(job)
	for _, above := range []string{filepath.Dir(dir), filepath.Dir(filepath.Dir(dir))} { // as far as the test's own folders go
		if err := os.Chmod(above, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	program, err := os.ReadFile(self)
	if err != nil {
		t.Fatal(err)
	}
	copied := filepath.Join(filepath.Dir(dir), "reader") // go's own folder is not for everybody
	if err := os.WriteFile(copied, program, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(dir, 0o555); err != nil {
		t.Fatal(err)
	}
	defer os.Chmod(dir, 0o755)
	if err := os.Chmod(Path(job), 0o444); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(copied)
	cmd.Env, cmd.Dir = append(os.Environ(), "MOULDWRIGHT_READER_JOB="+job), "/"
	if os.Getuid() == 0 {
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
	}
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return string(out)
}
