// Package peer runs, for the tests, the programs of others that judge this project's
// work: readers of meshes, of 3MF, of PDF and SVG, an image library, a text shaper.
//
// bench/peers/install.sh brings them all. Where one is missing its test is left out
// and says so; under MOULDWRIGHT_PEERS=must, as `make test` sets it, that is a failure.
package peer

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
)

// Folder is bench/peers, where the sources of the peers' programs lie.
func Folder() string {
	_, here, _, _ := runtime.Caller(0)
	return filepath.Join(filepath.Dir(here), "../../../bench/peers")
}

// Missing ends a test whose judge is not there: what is missing, what brings it.
func Missing(t testing.TB, what, remedy string) {
	t.Helper()
	const left = "LEFT OUT: %s is missing; %s, or run bench/peers/install.sh"
	if os.Getenv("MOULDWRIGHT_PEERS") == "must" {
		t.Fatalf(left, what, remedy)
	}
	t.Skipf(left, what, remedy)
}

// Tool finds a program that a Debian package brings, and returns its path.
func Tool(t testing.TB, program, debian string) string {
	t.Helper()
	path, err := exec.LookPath(program)
	if err != nil {
		Missing(t, program, "apt-get install "+debian)
	}
	return path
}

// Python finds Debian's Python with a module that a Debian package brings for it, and
// returns Python's path.
func Python(t testing.TB, module, debian string) string {
	t.Helper()
	const path = "/usr/bin/python3" // another Python does not see Debian's modules
	if err := exec.Command(path, "-c", "import "+module).Run(); err != nil {
		Missing(t, path+" with "+module, "apt-get install "+debian)
	}
	return path
}

// Built runs a program that bench/peers/build.sh builds around a library, and returns
// what it says and whether it was content (exit code 0).
func Built(t testing.TB, program string, args ...string) (says string, content bool) {
	t.Helper()
	path := filepath.Join(Folder(), "bin", program)
	if _, err := os.Stat(path); err != nil {
		Missing(t, program, "run bench/peers/build.sh (it names the Debian packages that it needs)")
	}
	return run(t, path, args)
}

// Node runs a script of bench/peers around an npm package, and returns what it says
// and whether it was content.
func Node(t testing.TB, script string, args ...string) (says string, content bool) {
	t.Helper()
	if _, err := os.Stat(filepath.Join(Folder(), "../node_modules/manifold-3d")); err != nil {
		Missing(t, "manifold-3d", "npm ci in bench")
	}
	return run(t, Tool(t, "node", "nodejs npm"), append([]string{filepath.Join(Folder(), script)}, args...))
}

func run(t testing.TB, program string, args []string) (says string, content bool) {
	t.Helper()
	out, err := exec.Command(program, args...).CombinedOutput()
	if _, exited := err.(*exec.ExitError); err != nil && !exited {
		t.Fatal(err)
	}
	return string(out), err == nil
}
