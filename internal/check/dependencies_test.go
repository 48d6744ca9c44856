package check

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestDependencies holds docs/dependencies.md to what is really used: every module and
// package stands in a table with its reason, and no table names another.
func TestDependencies(t *testing.T) {
	page, err := os.ReadFile(filepath.Join(root, "docs/dependencies.md"))
	if err != nil {
		t.Fatal(err)
	}
	told := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^\| ([^|]+) \|`).FindAllStringSubmatch(string(page), -1) {
		for name := range strings.SplitSeq(m[1], ",") {
			name, _, _ = strings.Cut(strings.TrimSpace(name), " (")
			told[strings.TrimPrefix(name, "github.com/")] = true
		}
	}
	for _, head := range []string{"module", "package", "program", "---"} {
		delete(told, head)
	}
	used := map[string]string{}
	for _, file := range []string{"go.mod", "bench/lint/go.mod"} {
		text, err := os.ReadFile(filepath.Join(root, file))
		if err != nil {
			t.Fatal(err)
		}
		need := regexp.MustCompile(`(?m)^(?:require)?\s+(\S+) v[^\s/]+$`) // without "// indirect"
		if file != "go.mod" {
			need = regexp.MustCompile(`(?m)^\t([^\s/]+\.[^\s]+?)(?:/cmd/\w+)?$`) // the lines of tool
		}
		for _, m := range need.FindAllStringSubmatch(string(text), -1) {
			used[strings.TrimPrefix(m[1], "github.com/")] = file
		}
	}
	for _, file := range []string{"web/package.json", "bench/package.json"} {
		text, err := os.ReadFile(filepath.Join(root, file))
		if err != nil {
			t.Fatal(err)
		}
		var p struct{ Dependencies, DevDependencies map[string]string }
		if err := json.Unmarshal(text, &p); err != nil {
			t.Fatal(file, err)
		}
		for _, list := range []map[string]string{p.Dependencies, p.DevDependencies} {
			for name, version := range list {
				used[name] = file
				if !regexp.MustCompile(`^\d`).MatchString(version) {
					t.Errorf("%s: %s is not pinned to one version: %s", file, name, version)
				}
			}
		}
	}
	if len(used) < 30 {
		t.Errorf("only %d dependencies found", len(used))
	}
	for name, file := range used {
		if file == "bench/package.json" {
			if !strings.Contains(string(page), name) {
				t.Errorf("docs/dependencies.md does not name %s of %s", name, file)
			}
		} else if !told[name] {
			t.Errorf("docs/dependencies.md has no row for %s of %s", name, file)
		}
	}
	for name := range told {
		if used[name] == "" {
			t.Errorf("docs/dependencies.md has a row for %s, which nothing uses", name)
		}
	}
}
