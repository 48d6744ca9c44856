package workshop

import (
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/record"
)

// travelling is every type that stands in the route table, in the order of api.go;
// what they hold follows them.
var travelling = []reflect.Type{
	reflect.TypeFor[Refusal](), reflect.TypeFor[Rules](), reflect.TypeFor[State](), reflect.TypeFor[EditRequest](),
	reflect.TypeFor[StepRequest](), reflect.TypeFor[SettleRequest](), reflect.TypeFor[StateEvent](), reflect.TypeFor[Files](),
	reflect.TypeFor[Fonts](), reflect.TypeFor[PieceHead](), reflect.TypeFor[ForecastHead](), reflect.TypeFor[Chilling](), reflect.TypeFor[Tray](), reflect.TypeFor[ItemHead](),
	reflect.TypeFor[BuildRequest](), reflect.TypeFor[BuildState](), reflect.TypeFor[BuiltPlan](), reflect.TypeFor[Again](), reflect.TypeFor[Beginnings](),
	reflect.TypeFor[WeighedRequest](), reflect.TypeFor[flow.PlanWeighed](),
	reflect.TypeFor[CouponSet](), reflect.TypeFor[CouponRequest](), reflect.TypeFor[CouponAnswer](),
	reflect.TypeFor[BeginRequest](), reflect.TypeFor[PairRequest](), reflect.TypeFor[Paired](), reflect.TypeFor[CalendarNow](), reflect.TypeFor[Recorded](), reflect.TypeFor[record.Entries](), reflect.TypeFor[flow.Choices](),
	reflect.TypeFor[record.Trace](), reflect.TypeFor[record.Verdict](),
}

// The page's types are what the server's are. After a change of api.go or of the job
// file's rules: UPDATE=1 go test ./internal/workshop, then read the difference.
func TestTypeScript(t *testing.T) {
	const file = "../../web/src/api.ts"
	want := typeScript()
	if os.Getenv("UPDATE") != "" {
		if err := os.MkdirAll("../../web/src", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != want {
		t.Errorf("%s is not what api.go says; run UPDATE=1 go test ./internal/workshop", file)
	}
}

func typeScript() string {
	w := &tsWriter{known: map[string]reflect.Type{}}
	w.b.WriteString("// Made from internal/workshop/api.go and the job file's rules. After a change there:\n// UPDATE=1 go test ./internal/workshop\n")
	w.b.WriteString("\n/** The routes, as the server has them. */\nexport const routes = [\n")
	for _, r := range routes {
		fmt.Fprintf(&w.b, "  %q, // %s\n", r.pattern, r.doc)
	}
	w.b.WriteString("] as const;\n")
	for _, t := range travelling {
		w.name(t)
	}
	for len(w.queue) > 0 {
		t := w.queue[0]
		w.queue = w.queue[1:]
		w.object(t)
	}
	return w.b.String()
}

type tsWriter struct {
	b     strings.Builder
	known map[string]reflect.Type
	queue []reflect.Type
}

// name is a struct's name in TypeScript; each stage's Choices are told apart by it.
func (w *tsWriter) name(t reflect.Type) string {
	n := t.Name()
	if n == "Choices" {
		p := t.PkgPath()[strings.LastIndexByte(t.PkgPath(), '/')+1:]
		if p == "flow" {
			p = "job"
		}
		n = strings.ToUpper(p[:1]) + p[1:] + n
	}
	if t == reflect.TypeFor[Values]() {
		return w.name(reflect.TypeFor[flow.Choices]())
	}
	switch was, ok := w.known[n]; {
	case !ok:
		w.known[n] = t
		w.queue = append(w.queue, t)
	case was != t:
		panic("workshop: two types are called " + n)
	}
	return n
}

func (w *tsWriter) object(t reflect.Type) {
	var fields []reflect.StructField
	base := ""
	for f := range t.Fields() {
		if f.Anonymous && f.Tag.Get("json") == "" {
			base += map[bool]string{true: " extends ", false: ", "}[base == ""] + w.name(f.Type)
			continue
		}
		fields = append(fields, f)
	}
	fmt.Fprintf(&w.b, "\nexport interface %s%s {\n", w.name(t), base)
	for _, f := range fields {
		key, opts, _ := strings.Cut(f.Tag.Get("json"), ",")
		optional := opts == "omitempty" || opts == "omitzero"
		if toml := f.Tag.Get("toml"); toml != "" {
			key, optional = toml, f.Tag.Get("optional") != ""
		}
		if key == "" || key == "-" {
			continue
		}
		if optional {
			key += "?"
		}
		doc := f.Tag.Get("doc")
		if doc != "" {
			doc = " /** " + strings.ToUpper(doc[:1]) + doc[1:] + ". */\n "
		}
		fmt.Fprintf(&w.b, " %s %s: %s;\n", doc, key, w.typeOf(f.Type, f.Tag))
	}
	w.b.WriteString("}\n")
}

func (w *tsWriter) typeOf(t reflect.Type, tag reflect.StructTag) string {
	switch {
	case t == reflect.TypeFor[unit.Date](), t == reflect.TypeFor[time.Time]():
		return "string"
	case t == reflect.TypeFor[finding.Severity]() && tag.Get("enum") == "":
		return fmt.Sprintf("%q | %q | %q", finding.Stop, finding.Care, finding.Note)
	case t.Kind() == reflect.String && tag.Get("enum") != "":
		return `"` + strings.ReplaceAll(tag.Get("enum"), ",", `" | "`) + `"`
	}
	switch t.Kind() {
	case reflect.String:
		return "string"
	case reflect.Bool:
		return "boolean"
	case reflect.Int, reflect.Int64, reflect.Float64:
		return "number"
	case reflect.Interface:
		return "unknown"
	case reflect.Pointer:
		return w.typeOf(t.Elem(), tag) + " | null"
	case reflect.Slice:
		if e := w.typeOf(t.Elem(), tag); strings.Contains(e, " ") {
			return "(" + e + ")[]"
		} else {
			return e + "[]"
		}
	case reflect.Array:
		parts := make([]string, t.Len())
		for i := range parts {
			parts[i] = w.typeOf(t.Elem(), tag)
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case reflect.Map:
		return "Record<string, " + w.typeOf(t.Elem(), tag) + ">"
	case reflect.Struct:
		return w.name(t)
	}
	panic("workshop: no TypeScript for " + t.String())
}
