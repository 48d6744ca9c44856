package check

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// sourceIn finds where a number comes from: a text, a law, what is common practice or from
// memory, what follows from other numbers. Or why it was chosen, where it is ours to choose.
var sourceIn = regexp.MustCompile(`(?i)\bsource\b|\bfrom memory\b|\bcommon practice\b|\brules? of thumb\b|\bdefinition\b|\bexact(ly)?\b|\bderived from\b|\bassumption\b|\bCGPM\b|\bCODATA\b|\bJCGM\b|\bRegulation \(|\bCFR\b|\bISO \d|\(.*\b(18|19|20)\d\d\b|\bour choice: \w|\bso that \w|\bsince \w|\bbecause \w`)

// faultsOf lists what is missing at the numbers that a file declares outside of functions.
// Each has words beside it, or above its group; those tell its source or the reason for it;
// and what is no whole number, which may be a count, has a unit in its name or its words.
func faultsOf(set *token.FileSet, f *ast.File) (faults []string) {
	for _, d := range f.Decls {
		g, ok := d.(*ast.GenDecl)
		if !ok || g.Tok != token.CONST && g.Tok != token.VAR {
			continue
		}
		for _, s := range g.Specs {
			s := s.(*ast.ValueSpec)
			number, broken := numbersIn(s.Values)
			if !number {
				continue
			}
			words := strings.Join(strings.Fields(g.Doc.Text()+" "+s.Doc.Text()+" "+s.Comment.Text()), " ")
			for _, n := range s.Names {
				fault := func(what string) {
					faults = append(faults, fmt.Sprintf("%s: %s has no %s", set.Position(n.Pos()), n.Name, what))
				}
				switch {
				case words == "":
					fault("words beside it")
				case !sourceIn.MatchString(words):
					fault("source in its words, and no reason (our choice: why)")
				case broken && !unitOf.MatchString(n.Name) && !unitIn.MatchString(words):
					fault("unit in its name or its words")
				}
			}
		}
	}
	return faults
}

// numbersIn says whether values hold numbers, and one with a point or a range among them.
// A function is none, nor is an entry of another table.
func numbersIn(values []ast.Expr) (number, broken bool) {
	for _, v := range values {
		ast.Inspect(v, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncLit, *ast.IndexExpr:
				return false
			case *ast.BasicLit:
				number = number || n.Kind == token.INT || n.Kind == token.FLOAT
				broken = broken || n.Kind == token.FLOAT
			case *ast.SelectorExpr:
				broken = broken || n.Sel.Name == "Between" // a unit.Range
			}
			return true
		})
	}
	return number, broken
}

// TestConstants wants a unit, and a source or a reason, with every number that the base,
// the stages and the reader of jobs are made with.
func TestConstants(t *testing.T) {
	seen := 0
	walkGo(t, func(path string) {
		if strings.HasSuffix(path, "_test.go") || !strings.HasPrefix(path, "internal/base/") && !strings.HasPrefix(path, "internal/flow/") && !strings.HasPrefix(path, "internal/job/") {
			return
		}
		src, err := os.ReadFile(filepath.Join(root, path))
		if err != nil {
			t.Fatal(err)
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, path, src, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		seen++
		for _, fault := range faultsOf(set, f) {
			t.Error(fault)
		}
	})
	if seen < 100 {
		t.Errorf("only %d files were looked at", seen)
	}
}

// The rule finds what it is for: each line of the snippet is one fault, or none.
func TestConstantFaults(t *testing.T) {
	for _, c := range []struct{ src, want string }{
		{"const wallMM = 1.2", "wallMM has no words"},
		{"// wallMM is how thick a wall is.\nconst wallMM = 1.2", "wallMM has no source"},
		{"const maxWalls = 20 // in a box", "maxWalls has no source"},
		{"// wall is how thick a wall is (common practice, no source).\nconst wall = 1.2", "wall has no unit"},
		{"// A wall (common practice, no source).\nvar wall = unit.Between(1, 2, 3)", "wall has no unit"},
		{"// Walls.\nvar walls = map[string]float64{\"thin\": 1}", "walls has no source"},
		{"// wall is set by our choice.\nconst wall = 2", "wall has no source"}, // why?
		{"// wallMM is how thick a wall is (our choice: it holds rubber).\nconst wallMM = 1.2", ""},
		{"// wall is how thick a wall is, in mm (common practice, no source).\nconst wall = 1.2", ""},
		{"// maxWalls bounds the walls, so that memory does.\nconst maxWalls = 20", ""},
		{"// Of water (CODATA 2018).\nconst (\n\tmeltC = 0.0\n\tdensityGML = 0.9998\n)", ""},
		{"const name = \"wall\"", ""},
		{"var word = regexp.MustCompile(`a{2}`)", ""},
		{"const second = list[1]", ""},
	} {
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, "snippet.go", "package p\n"+c.src, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		faults := faultsOf(set, f)
		if c.want == "" && len(faults) > 0 || c.want != "" && (len(faults) != 1 || !strings.Contains(faults[0], c.want)) {
			t.Errorf("%s\nhas the faults %q, want %q", c.src, faults, c.want)
		}
	}
}
