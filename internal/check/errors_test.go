package check

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strings"
	"testing"
)

// ours are the refusals that no input of a person reaches, by file and function: only a
// mistake of the program does, so that there is nothing for the person to do.
var ours = map[string]struct {
	count int
	why   string
}{
	"internal/base/field/check.go Check":              {2, "grids are laid by the program; a person's sizes are checked before"},
	"internal/base/field/signed.go SignedDistance":    {1, "the program sets the limit"},
	"internal/base/mesh/builder.go Mesh":              {1, "the program builds the part"},
	"internal/base/mesh/builder.go Wall":              {1, "the program builds the part"},
	"internal/base/mesh/check.go Err":                 {1, "only of parts that the program built; foreign meshes are judged where they are read"},
	"internal/base/mesh/place.go Scaled":              {1, "the factors follow from shrinkages, which are checked before"},
	"internal/base/mesh/plane.go Plane":               {2, "the program draws the rings"},
	"internal/base/mesh/relief.go newRefiner":         {4, "master.tolerance_mm and pitch_mm are checked as the job is read; heights are the program's"},
	"internal/base/mesh/relief.go sheet":              {1, "the program draws the rings"},
	"internal/base/mesh/relief.go thinRing":           {1, "settled outlines have none"},
	"internal/base/mesh/slab.go Prism":                {1, "the program sets both heights"},
	"internal/base/mesh/wall.go strip":                {3, "the program builds both rings"},
	"internal/base/mesh/wall.go wall":                 {1, "the program builds both rings"},
	"internal/base/solve/solve.go Root":               {1, "the program sets both ends"},
	"internal/flow/calendar/network/network.go check": {3, "the calendar numbers tasks and resources"},
	"internal/flow/kitchen/chill/mould.go newMould":   {1, "the program chooses the cell"},
	"internal/flow/kitchen/evening/evening.go begin":  {2, "times and bowls are the program's"},
	"internal/flow/kitchen/water/water.go Estimate":   {1, "a recipe without water is not asked about"},
	"internal/flow/plate/coverage.go closed":          {1, "the program built the part"},
	"internal/flow/plate/stack.go check":              {4, "the program built and placed the part"},
	"internal/flow/plate/stack.go outside":            {1, "the caller counts the layers"},
	"internal/flow/relief/tone.go FromTone":           {1, "tones come from pictures that were read"},
}

// TestErrorsSayWhatToDo wants a remedy in every refusal but ours, and no entry of ours that
// is not needed.
func TestErrorsSayWhatToDo(t *testing.T) {
	seen := 0
	bare := map[string][]string{}
	walkGo(t, func(path string) {
		slash := filepath.ToSlash(path)
		if strings.HasSuffix(path, "_test.go") || !strings.HasPrefix(slash, "internal/") && !strings.HasPrefix(slash, "cmd/") {
			return
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, filepath.Join(root, path), nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		all, without := refusals(set, f)
		seen += all
		for _, w := range without {
			in := slash + " " + w.in
			bare[in] = append(bare[in], w.at)
		}
	})
	for in, at := range bare {
		if len(at) > ours[in].count {
			t.Errorf("%s: %d errors that do not say what to do, %d may: %s", in, len(at), ours[in].count, strings.Join(at, ", "))
		}
	}
	for in, o := range ours {
		if o.count > len(bare[in]) {
			t.Errorf("%s: %d errors may lack a remedy, only %d do", in, o.count, len(bare[in]))
		}
	}
	if seen < 300 {
		t.Errorf("only %d errors were looked at", seen)
	}
}

// refusal is where a finding.Error is worded: its place, and its function.
type refusal struct{ at, in string }

// refusals counts the finding.Errors that a file words, by the type or by the job reader's
// fail, and lists those without a remedy.
func refusals(set *token.FileSet, f *ast.File) (all int, without []refusal) {
	for _, d := range f.Decls {
		in := "-"
		if fn, ok := d.(*ast.FuncDecl); ok {
			in = fn.Name.Name
		}
		ast.Inspect(d, func(n ast.Node) bool {
			worded, remedy := wording(n)
			if worded {
				all++
			}
			if worded && !remedy {
				without = append(without, refusal{set.Position(n.Pos()).String(), in})
			}
			return true
		})
	}
	return all, without
}

// wording says whether a node words a finding.Error, and whether with a remedy.
func wording(n ast.Node) (worded, remedy bool) {
	switch n := n.(type) {
	case *ast.CompositeLit:
		of, ok := n.Type.(*ast.SelectorExpr)
		if !ok || fmt.Sprint(of.X) != "finding" || of.Sel.Name != "Error" {
			return false, false
		}
		has := map[string]bool{}
		for _, e := range n.Elts {
			if kv, ok := e.(*ast.KeyValueExpr); ok {
				has[fmt.Sprint(kv.Key)] = true
			}
		}
		return has["Found"], has["Do"] // without Found it is worded later
	case *ast.CallExpr:
		if of, ok := n.Fun.(*ast.SelectorExpr); !ok || of.Sel.Name != "fail" || len(n.Args) != 4 {
			return false, false
		}
		last, ok := n.Args[3].(*ast.BasicLit)
		return true, !ok || last.Value != `""`
	}
	return false, false
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
	if fmt.Sprint(all, without) != "4 [{snippet.go:2:10 -} {snippet.go:5:21 d}]" {
		t.Errorf("%d errors, without a remedy %v", all, without)
	}
}
