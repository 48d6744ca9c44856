package check

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// guarding are the packages whose refusals answer the program, not a person: they come after
// those that read what a person writes, and repeat in their own terms what those refuse.
var guarding = []string{
	"internal/base/field/", "internal/base/geom/", "internal/base/mesh/", "internal/base/solve/",
	"internal/flow/calendar/network/", "internal/flow/cavity/", "internal/flow/kitchen/chill/",
	"internal/flow/kitchen/evening/", "internal/flow/kitchen/water/", "internal/flow/plate/", "internal/flow/relief/",
}

// TestErrorsSayWhatToDo wants a remedy in every refusal of all other packages.
func TestErrorsSayWhatToDo(t *testing.T) {
	seen := 0
	walkGo(t, func(path string) {
		if strings.HasSuffix(path, "_test.go") {
			return
		}
		guards := func(dir string) bool { return strings.HasPrefix(filepath.ToSlash(path), dir) }
		if slices.ContainsFunc(guarding, guards) {
			return
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, filepath.Join(root, path), nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		all, without := refusals(set, f)
		seen += all
		for _, at := range without {
			t.Errorf("%s: an error that does not say what to do", at)
		}
	})
	if seen < 200 {
		t.Errorf("only %d errors were looked at", seen)
	}
}

// refusals counts the finding.Errors that a file words, by the type or by the job reader's
// fail, and lists those without a remedy.
func refusals(set *token.FileSet, f *ast.File) (all int, without []string) {
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CompositeLit:
			of, ok := n.Type.(*ast.SelectorExpr)
			if !ok || fmt.Sprint(of.X) != "finding" || of.Sel.Name != "Error" {
				return true
			}
			has := map[string]bool{}
			for _, e := range n.Elts {
				if kv, ok := e.(*ast.KeyValueExpr); ok {
					has[fmt.Sprint(kv.Key)] = true
				}
			}
			if !has["Found"] {
				return true // worded later
			}
			if all++; !has["Do"] {
				without = append(without, set.Position(n.Pos()).String())
			}
		case *ast.CallExpr:
			if of, ok := n.Fun.(*ast.SelectorExpr); !ok || of.Sel.Name != "fail" || len(n.Args) != 4 {
				return true
			}
			last, ok := n.Args[3].(*ast.BasicLit)
			if all++; ok && last.Value == `""` {
				without = append(without, set.Position(n.Pos()).String())
			}
		}
		return true
	})
	return all, without
}

// The rule finds what it is for.
func TestRefusals(t *testing.T) {
	set := token.NewFileSet()
	f, err := parser.ParseFile(set, "snippet.go", `package p
var a = &finding.Error{Found: "a folder", Allowed: "a file"}
var b = &finding.Error{Found: "a folder", Do: "name a file"}
var c = &finding.Error{File: "x"}
func d(r *reader) { r.fail("key", "a folder", "a file", ""); r.fail("key", "a folder", "a file", "name a file") }
`, 0)
	if err != nil {
		t.Fatal(err)
	}
	all, without := refusals(set, f)
	if fmt.Sprint(all, without) != "4 [snippet.go:2:10 snippet.go:5:21]" {
		t.Errorf("%d errors, without a remedy %v", all, without)
	}
}
