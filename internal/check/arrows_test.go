package check

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// arrow finds what stands on the arrows of a package comment: "Choices --Make--> Piece",
// "SVG --svg.Read--> outline", "bitmap --Tone, Depth--> field".
var arrow = regexp.MustCompile(`<?--([A-Za-z][A-Za-z., ]*[a-z])-+>`)

// TestArrows wants every capital name on an arrow of a package comment to be there: a
// function, method or type of the package, or of the one that is named before the dot.
// Small words say in prose what happens.
func TestArrows(t *testing.T) {
	names := map[string]map[string]bool{} // by the package's name
	comments := map[string]string{}       // by its path
	walkGo(t, func(path string) {
		if strings.HasSuffix(path, "_test.go") {
			return
		}
		f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root, path), nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		pkg := filepath.ToSlash(filepath.Dir(path))
		comments[pkg] += f.Doc.Text()
		for _, d := range f.Decls {
			if names[f.Name.Name] == nil {
				names[f.Name.Name] = map[string]bool{}
			}
			switch d := d.(type) {
			case *ast.FuncDecl:
				names[f.Name.Name][d.Name.Name] = true
			case *ast.GenDecl:
				for _, s := range d.Specs {
					if s, ok := s.(*ast.TypeSpec); ok {
						names[f.Name.Name][s.Name.Name] = true
					}
				}
			}
		}
	})
	seen := 0
	for pkg, text := range comments {
		for _, m := range arrow.FindAllStringSubmatch(text, -1) {
			for _, name := range strings.Split(m[1], ", ") {
				in := filepath.Base(pkg)
				if p, n, ok := strings.Cut(name, "."); ok && names[p] != nil {
					in, name = p, n
				}
				if i := strings.LastIndexByte(name, '.'); i >= 0 {
					name = name[i+1:] // Shaper.Shape
				}
				if !ast.IsExported(name) {
					continue
				}
				if seen++; !names[in][name] {
					t.Errorf("%s: its comment has an arrow %s, which package %s has not", pkg, name, in)
				}
			}
		}
	}
	if seen < 50 {
		t.Errorf("%d arrows found; the comments of some forty packages have more", seen)
	}
}
