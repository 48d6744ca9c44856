// Package check holds the tests about the code itself: the order of imports, the
// length of files, comments and examples, and claims in the docs.
package check

import (
	"bufio"
	"bytes"
	"go/doc"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

const root = "../.."

// TestOrder holds every package to order.txt: it is listed there, and imports only
// what stands above it.
func TestOrder(t *testing.T) {
	place := readOrder(t)
	seen := map[string]bool{}
	walkGo(t, func(path string) {
		pkg := filepath.ToSlash(filepath.Dir(path))
		if pkg == "internal/check" {
			return
		}
		mine, listed := place[pkg]
		if !listed {
			t.Errorf("%s: package %s does not stand in order.txt", path, pkg)
			return
		}
		seen[pkg] = true
		f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root, path), nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, im := range f.Imports {
			target, ours := strings.CutPrefix(strings.Trim(im.Path.Value, `"`), "mouldwright/")
			if !ours || target == pkg {
				continue
			}
			if at, ok := place[target]; ok && at >= mine && !strings.HasSuffix(path, "_test.go") {
				t.Errorf("%s imports %s, which stands below it in order.txt", path, target)
			}
		}
	})
	for pkg := range place {
		if !seen[pkg] {
			t.Errorf("order.txt lists %s, which has no code", pkg)
		}
	}
}

// TestPackageComments wants a package comment in every package.
func TestPackageComments(t *testing.T) {
	has := map[string]bool{}
	walkGo(t, func(path string) {
		if strings.HasSuffix(path, "_test.go") {
			return
		}
		f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root, path), nil, parser.PackageClauseOnly|parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		pkg := filepath.Dir(path)
		has[pkg] = has[pkg] || f.Doc != nil
	})
	for pkg, ok := range has {
		if !ok {
			t.Errorf("%s has no package comment", pkg)
		}
	}
}

// maxLines is how long a file may be: what one reads in a sitting.
const maxLines = 500

// longFiles names the files that are longer, and why.
var longFiles = map[string]string{
	"web/src/api.ts": "made from the Go types",
}

// TestFileLength wants files of Go, Svelte, TypeScript, JavaScript and CSS that are no longer than maxLines.
func TestFileLength(t *testing.T) {
	for _, top := range []string{"cmd", "internal", "bench", "web"} {
		err := filepath.WalkDir(filepath.Join(root, top), func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			if d.IsDir() {
				switch d.Name() {
				case "node_modules", "testdata", "dist":
					return fs.SkipDir
				}
				return nil
			}
			rel, _ := filepath.Rel(root, path)
			switch filepath.Ext(path) {
			case ".go", ".svelte", ".ts", ".mjs", ".css":
			default:
				return nil
			}
			text, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			if n := bytes.Count(text, []byte("\n")); n > maxLines && longFiles[filepath.ToSlash(rel)] == "" {
				t.Errorf("%s has %d lines; split it, or say in longFiles why not (at most %d)", rel, n, maxLines)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}

// noExample names the packages without an example, and why.
var noExample = map[string]string{
	"cmd/mouldwright":    "a command: the sessions in its testdata are its examples",
	"internal/base/peer": "only tests call it, and it runs what may not be installed",
}

// TestExamples wants an example with its output in example_test.go of every package: what
// a newcomer reads first.
func TestExamples(t *testing.T) {
	has := map[string]bool{}
	walkGo(t, func(path string) {
		pkg := filepath.ToSlash(filepath.Dir(path))
		if pkg == "internal/check" || noExample[pkg] != "" {
			return
		}
		has[pkg] = has[pkg] || false
		if filepath.Base(path) != "example_test.go" {
			return
		}
		f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root, path), nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range doc.Examples(f) {
			has[pkg] = has[pkg] || e.Output != ""
			if e.Output == "" {
				t.Errorf("%s: Example%s has no output, so it is not run", path, e.Name)
			}
		}
	})
	for pkg, ok := range has {
		if !ok {
			t.Errorf("%s has no example in example_test.go", pkg)
		}
	}
}

func readOrder(t *testing.T) map[string]int {
	t.Helper()
	f, err := os.Open("order.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	place := map[string]int{}
	for s := bufio.NewScanner(f); s.Scan(); {
		if line := strings.TrimSpace(s.Text()); line != "" && line[0] != '#' {
			place[line] = len(place)
		}
	}
	return place
}

// walkGo visits every Go file of this module, by its path from the root.
func walkGo(t *testing.T, visit func(path string)) {
	t.Helper()
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(root, path)
		if d.IsDir() {
			switch d.Name() {
			case ".git", "node_modules", "bench", "web", "testdata":
				return fs.SkipDir
			}
			return nil
		}
		if strings.HasSuffix(path, ".go") {
			visit(rel)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// TestSecurityClaims wants every test that docs/security.md names.
func TestSecurityClaims(t *testing.T) {
	page, err := os.ReadFile(filepath.Join(root, "docs/security.md"))
	if err != nil {
		t.Fatal(err)
	}
	code := map[string]bool{}
	walkGo(t, func(path string) {
		text, err := os.ReadFile(filepath.Join(root, path))
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`(?m)^func ((?:Test|Fuzz)\w+)\(`).FindAllSubmatch(text, -1) {
			code[string(m[1])] = true
		}
	})
	claims := regexp.MustCompile("`((?:Test|Fuzz)\\w+)`").FindAllSubmatch(page, -1)
	if len(claims) < 10 {
		t.Errorf("docs/security.md names %d tests", len(claims))
	}
	for _, m := range claims {
		if !code[string(m[1])] {
			t.Errorf("docs/security.md names %s, which is no test", m[1])
		}
	}
}
