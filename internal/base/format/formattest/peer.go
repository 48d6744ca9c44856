package formattest

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
)

// Peer runs a program that bench/peers/build.sh builds around another library, and
// returns what it says and whether it was content (exit code 0). Where the program is
// not built the test is left out, and says so; with MOULDWRIGHT_PEERS=must, as
// `make test` sets it, that is a failure.
func Peer(t testing.TB, name string, args ...string) (says string, content bool) {
	t.Helper()
	_, here, _, _ := runtime.Caller(0)
	program := filepath.Join(filepath.Dir(here), "../../../../bench/peers/bin", name)
	if _, err := os.Stat(program); err != nil {
		const left = "left out: %s is not built; run bench/peers/build.sh (needs g++, lib3mf-dev, libcgal-dev)"
		if os.Getenv("MOULDWRIGHT_PEERS") == "must" {
			t.Fatalf(left, name)
		}
		t.Skipf(left, name)
	}
	out, err := exec.Command(program, args...).CombinedOutput()
	if _, exited := err.(*exec.ExitError); err != nil && !exited {
		t.Fatal(err)
	}
	return string(out), err == nil
}
