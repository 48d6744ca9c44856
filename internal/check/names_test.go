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

// unitOf finds a unit, or what has none, in a name's ending.
var unitOf = regexp.MustCompile(`(MM3|MM2|MM|M|UM|Px|KG|G|GML|ML|PerG|C|K|J|KJ|Kcal|JM3K|JM3|WM2K|WMK|JGK|JK|Days|H|Min|Minutes|S|GMin|Deg|Pct|Share|Ratio|Factor|Scale|Pa|MPa|HPa|PaS|N|NMM|Months|Price|Cost)$`)

// unitIn finds the same in a comment or in the doc of a tag.
var unitIn = regexp.MustCompile(`(?i)\b(mm|µm|g|ml|°C|oz|degrees?|minutes?|hours?|days?|share|shares|fraction|factor|ratio|times|per cent|parts of|parts to|font sizes|ems?|font units|activity|units?|brightness|money|total|cost|money|pixels?|samples?|px|pt|volumes|uncertain quantity|dimensionless|K < 0|Shore|good ones|matrix|maps)\b|m/s²|mm²|mm³|[\[ ]?0\.?\.?\.? ?to 1|0\.\.|°|\d %`)

// TestNames wants a comment on every exported function, method and type, and a unit with
// every exported number that is measured: in the field's name, in its comment or doc tag, or
// in the comment of its type.
func TestNames(t *testing.T) {
	walkGo(t, func(path string) {
		if strings.HasSuffix(path, "_test.go") {
			return
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, filepath.Join(root, path), nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range f.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				switch d.Name.Name {
				case "Error", "String", "Unwrap", "Len", "Less", "Swap", "Push", "Pop", "Run", "main": // of interfaces everybody knows, or of the command line
					continue
				}
				if d.Name.IsExported() && d.Doc == nil && receiverExported(d) {
					t.Errorf("%s: %s has no comment", set.Position(d.Pos()), d.Name.Name)
				}
			case *ast.GenDecl:
				for _, s := range d.Specs {
					if s, ok := s.(*ast.TypeSpec); ok && s.Name.IsExported() {
						about := d.Doc.Text() + s.Doc.Text()
						if about == "" {
							t.Errorf("%s: %s has no comment", set.Position(s.Pos()), s.Name.Name)
						}
						if fields, ok := s.Type.(*ast.StructType); ok && !unitIn.MatchString(about) {
							unitsOf(t, set, s.Name.Name, fields)
						}
					}
				}
			}
		}
	})
}

// unitsOf looks at the numbers of one type.
func unitsOf(t *testing.T, set *token.FileSet, of string, fields *ast.StructType) {
	t.Helper()
	for _, f := range fields.Fields.List {
		about := f.Doc.Text() + f.Comment.Text()
		if f.Tag != nil {
			about += " " + f.Tag.Value
		}
		if !measured(f.Type) || unitIn.MatchString(about) {
			continue
		}
		for _, n := range f.Names {
			if n.IsExported() && !unitOf.MatchString(n.Name) {
				t.Errorf("%s: %s.%s has no unit in its name or its comment", set.Position(n.Pos()), of, n.Name)
			}
		}
	}
}

// measured tells a floating-point number, or many, or a range.
func measured(e ast.Expr) bool {
	switch x := e.(type) {
	case *ast.Ident:
		return x.Name == "float64" || x.Name == "float32"
	case *ast.SelectorExpr:
		return x.Sel.Name == "Range"
	case *ast.ArrayType:
		return measured(x.Elt)
	case *ast.StarExpr:
		return measured(x.X)
	}
	return false
}

func receiverExported(d *ast.FuncDecl) bool {
	if d.Recv == nil {
		return true
	}
	e := d.Recv.List[0].Type
	if s, ok := e.(*ast.StarExpr); ok {
		e = s.X
	}
	id, ok := e.(*ast.Ident)
	return ok && id.IsExported()
}
