package job

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
)

// leaf is a key with a value, and the way to it through the tables.
type leaf struct {
	path string
	t    reflect.Type
	tag  reflect.StructTag
	tree func(value any) map[string]any // a job with nothing but this key
}

// leaves lists every key of the job file.
func leaves(t reflect.Type, path string, wrap func(map[string]any) map[string]any) (out []leaf) {
	for _, f := range reflect.VisibleFields(t) {
		key := f.Tag.Get("toml")
		if key == "" {
			continue
		}
		at, ft := join(path, key), f.Type
		below := func(make func(map[string]any) any) func(map[string]any) map[string]any {
			return func(m map[string]any) map[string]any { return wrap(map[string]any{key: make(m)}) }
		}
		switch {
		case ft.Kind() == reflect.Struct && ft != rangeType && ft != dateType:
			out = append(out, leaves(ft, at, below(func(m map[string]any) any { return m }))...)
		case ft.Kind() == reflect.Slice && ft.Elem().Kind() == reflect.Struct:
			out = append(out, leaves(ft.Elem(), at+"[1]", below(func(m map[string]any) any { return []any{m} }))...)
		case ft.Kind() == reflect.Map && ft.Elem().Kind() == reflect.Struct:
			out = append(out, leaves(ft.Elem(), at+".own", below(func(m map[string]any) any { return map[string]any{"own": m} }))...)
		default:
			out = append(out, leaf{at, ft, f.Tag, func(v any) map[string]any { return wrap(map[string]any{key: v}) }})
		}
	}
	return out
}

// refused is the one error about a key when it has a value.
func (l leaf) refused(t *testing.T, value any) *finding.Error {
	t.Helper()
	b := &binder{file: "job.toml"}
	b.table("", reflect.ValueOf(new(flow.Choices)).Elem(), l.tree(value))
	var mine []*finding.Error
	for _, err := range b.errs {
		var e *finding.Error
		if errors.As(err, &e) && strings.HasPrefix(e.Key, l.path) && e.Found != "missing" {
			mine = append(mine, e)
		}
	}
	if len(mine) != 1 {
		t.Fatalf("%s = %v: %d errors: %v", l.path, value, len(mine), mine)
	}
	return mine[0]
}

// Whatever is wrong with the value of a key, the error says where, what was found, what is
// allowed and what to do. A number outside its bounds says them, and the unit of its key.
func TestEveryWrongValueHasAdvice(t *testing.T) {
	bounded := 0
	for _, l := range leaves(reflect.TypeFor[flow.Choices](), "", func(m map[string]any) map[string]any { return m }) {
		full := func(value any) *finding.Error {
			e := l.refused(t, value)
			if e.File == "" || e.Line == 0 || e.Found == "" || e.Allowed == "" || e.Do == "" || strings.Contains(e.Error(), ": ;") || strings.HasSuffix(e.Do, " ") {
				t.Errorf("%s = %v: %v", l.path, value, e)
			}
			return e
		}
		full(map[string]any{"a": []any{map[string]any{}}}) // no key takes it
		if l.tag.Get("enum") != "" {
			full("no such word")
		}
		number, wrapped := l.t.Kind() == reflect.Float64 || l.t.Kind() == reflect.Int || l.t == rangeType, func(x any) any { return x }
		switch l.t.String() {
		case "[]float64":
			number, wrapped = true, func(x any) any { return []any{x} }
		case "map[string]float64":
			number, wrapped = true, func(x any) any { return map[string]any{"own": x} }
		case "map[string][]float64":
			number, wrapped = true, func(x any) any { return map[string]any{"own": []any{x}} }
		}
		if !number {
			continue
		}
		full(wrapped("12"))
		lo, hi := limits(l.tag)
		for _, x := range []float64{lo - 1, hi + 1} {
			if math.IsInf(x, 0) {
				continue
			}
			bounded++
			var value any = x
			if l.t.Kind() == reflect.Int {
				value = int64(x)
			}
			e := full(wrapped(value))
			if !strings.Contains(e.Allowed, l.tag.Get("min")) || !strings.Contains(e.Allowed, l.tag.Get("max")) {
				t.Errorf("%s = %v: the bounds are not told: %v", l.path, x, e)
			}
			if unit.OfKey(l.path) == "mm" && l.t.Kind() != reflect.Map && l.tag.Get("do") == "" && !strings.Contains(e.Do, "in mm: ") {
				t.Errorf("%s = %v: the unit is not told: %v", l.path, x, e)
			}
		}
	}
	if bounded < 300 {
		t.Errorf("only %d bounds were passed", bounded)
	}
}

// What is told depends on what is taken without the line.
func TestAdvice(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"[printer]\npixel_mm = 35", "found 35\n  allowed: 0.005 to 0.5\n  try: write it in mm: side of one pixel of the mask; without the line it is the class's"},
		{"[bench]\ncup_ml = 0", "found 0\n  allowed: 10 to 50000\n  try: write it in ml: "},
		{"[bench]\nroom_c = 80", "found 80\n  allowed: 10 to 40\n  try: pour in a room that one can work in"},
		{"[[piece]]\nwidth_mm = 1", "found 1\n  allowed: 4 to 300\n  try: write it in mm: "},
		{"[[piece]]\ndraft_deg = 60", "try: write it in degrees: "},
		{"[[piece]]\nname = \"a\"", "chocolate: missing\n  allowed: the chocolates, each under a name of yours\n  try: add a table [chocolate.NAME]"},
		{"title = \"a\"", "piece: missing\n  allowed: the designs, in the order of the sheets\n  try: add a table [[piece]]"},
		{"[[piece]]\noutline = \"rond\"", "try: write \"round\""},
	} {
		var tree map[string]any
		if err := toml.Unmarshal([]byte(c.text), &tree); err != nil {
			t.Fatal(err)
		}
		b := &binder{file: "job.toml"}
		b.table("", reflect.ValueOf(new(flow.Choices)).Elem(), tree)
		if all := fmt.Sprint(errors.Join(b.errs...)); !strings.Contains(all, c.want) {
			t.Errorf("%s:\n%s\nwant %s", c.text, all, c.want)
		}
	}
}
