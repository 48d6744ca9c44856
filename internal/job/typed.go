package job

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
)

// Value turns a value as JSON has it (string, bool, float64, []any, map[string]any)
// into what SetKey writes for a key: a whole number where the rules want one, a day
// for a date, {low, likely, high} for a range, numbers by name for a recipe.
func Value(key string, raw any) (any, error) {
	t, ok := typeAt(key)
	if !ok {
		return nil, &finding.Error{Key: key, Found: "unknown key", Do: "take a key of the job file's reference"}
	}
	return valueOf(key, t, raw)
}

func valueOf(key string, t reflect.Type, raw any) (any, error) {
	refuse := func(allowed string) (any, error) {
		return nil, &finding.Error{Key: key, Found: describe(raw), Allowed: allowed, Do: "write it so"}
	}
	switch t {
	case dateType:
		var d unit.Date
		if s, ok := raw.(string); !ok || d.UnmarshalText([]byte(s)) != nil {
			return refuse("a day such as 2027-03-14")
		}
		return d, nil
	case rangeType:
		return rangeOf(raw, refuse)
	}
	switch t.Kind() {
	case reflect.String:
		if s, ok := raw.(string); ok {
			return s, nil
		}
		return refuse("text")
	case reflect.Bool:
		if b, ok := raw.(bool); ok {
			return b, nil
		}
		return refuse("true or false")
	case reflect.Int:
		if x, ok := raw.(float64); ok && x == math.Trunc(x) && math.Abs(x) < 1e9 {
			return int(x), nil
		}
		return refuse("a whole number")
	case reflect.Float64:
		if x, ok := raw.(float64); ok {
			return x, nil
		}
		return refuse("a number")
	case reflect.Slice:
		list, ok := raw.([]any)
		if t.Elem().Kind() == reflect.Float64 {
			return numbersOf(list, raw, refuse)
		}
		if !ok || t.Elem().Kind() != reflect.String {
			return refuse("a list of text")
		}
		out := make([]string, len(list))
		for i, item := range list {
			if out[i], ok = item.(string); !ok {
				return refuse("a list of text")
			}
		}
		return out, nil
	case reflect.Map:
		table, ok := raw.(map[string]any)
		if t.Elem().Kind() != reflect.Float64 || !ok {
			break
		}
		out := make(map[string]float64, len(table))
		for name, item := range table {
			if out[name], ok = item.(float64); !ok {
				return refuse("a number for each name")
			}
		}
		return out, nil
	}
	return refuse("a value; this key is a table")
}

// numbersOf is a list of numbers; one number is a list of one.
func numbersOf(list []any, raw any, refuse func(string) (any, error)) (any, error) {
	if x, ok := raw.(float64); ok {
		return []float64{x}, nil
	}
	out := make([]float64, len(list))
	for i, item := range list {
		x, ok := item.(float64)
		if !ok {
			return refuse("a list of numbers")
		}
		out[i] = x
	}
	if len(out) == 0 {
		return refuse("at least one number")
	}
	return out, nil
}

func rangeOf(raw any, refuse func(string) (any, error)) (any, error) {
	var r unit.Range
	var ok [3]bool
	switch v := raw.(type) {
	case float64:
		return unit.Sure(v), nil
	case map[string]any:
		r.Low, ok[0] = v["low"].(float64)
		r.Likely, ok[1] = v["likely"].(float64)
		r.High, ok[2] = v["high"].(float64)
	case []any:
		if len(v) == 3 {
			r.Low, ok[0] = v[0].(float64)
			r.Likely, ok[1] = v[1].(float64)
			r.High, ok[2] = v[2].(float64)
		}
	}
	if ok != [3]bool{true, true, true} {
		return refuse("a number, or low, likely and high")
	}
	return r, nil
}

// typeAt is the type of a key such as piece[2].art[1].depth_mm, or of an item of a
// list (piece[2]), a list (piece), or a table (filling.NAME).
func typeAt(key string) (reflect.Type, bool) {
	t := reflect.TypeFor[flow.Choices]()
	for key != "" {
		switch t.Kind() {
		case reflect.Map:
			// The name is the person's and may hold dots; a field's name does not.
			if t = t.Elem(); t.Kind() != reflect.Struct {
				return t, true
			}
			f, ok := fieldsOf(t)[key[lastDot(key)+1:]]
			if ok && lastDot(key) > 0 {
				return f.Type, true
			}
			return t, true
		case reflect.Struct:
			name, rest, _ := strings.Cut(key, ".")
			name, item, _ := strings.Cut(name, "[")
			f, ok := fieldsOf(t)[name]
			if !ok {
				return nil, false
			}
			t, key = f.Type, rest
			if item != "" {
				if t.Kind() != reflect.Slice {
					return nil, false
				}
				t = t.Elem()
			}
		default:
			return nil, false
		}
	}
	return t, true
}

// HasKey reports whether the rules know a key.
func HasKey(key string) bool {
	_, ok := typeAt(key)
	return ok
}

// AddTable writes a new table: an item behind the last of a list ("piece",
// "piece[2].art"), or a named table ("filling.NAME"). Its keys come as JSON has them,
// and stand in the order of the reference; lists of tables in it follow.
func AddTable(text []byte, key string, value map[string]any) ([]byte, error) {
	t, ok := typeAt(key)
	if !ok {
		return nil, &finding.Error{Key: key, Found: "unknown key", Do: "take a key of the job file's reference"}
	}
	after := func(inside func(path string) bool) int {
		at := len(text)
		for _, b := range blocksOf(text) {
			if inside(b.path) {
				at = b.hi
			}
		}
		return at
	}
	var b strings.Builder
	table, list := key[:max(0, lastDot(key))], t.Kind() == reflect.Slice && t.Elem().Kind() == reflect.Struct
	at, err := 0, error(nil)
	switch {
	case list && table == "":
		at = after(func(p string) bool { return strings.HasPrefix(p, key+"[") })
		err = writeTable(&b, "[["+key+"]]", key+"[]", "", t.Elem(), value)
	case list && strings.HasSuffix(table, "]"):
		found := false
		at = after(func(p string) bool {
			in := p == table || strings.HasPrefix(p, table+".")
			found = found || in
			return in
		})
		if !found {
			return nil, &finding.Error{Key: key, Found: "the job has no " + table, Do: "add that table first"}
		}
		header := plainPath(table) + "." + key[len(table)+1:]
		err = writeTable(&b, "[["+header+"]]", key+"[]", "  ", t.Elem(), value)
	case list:
		at = after(func(p string) bool { return p == table || strings.HasPrefix(p, key+"[") })
		err = writeTable(&b, "[["+key+"]]", key+"[]", "", t.Elem(), value)
	case t.Kind() == reflect.Struct && strings.Contains(key, "."):
		group, name, _ := strings.Cut(key, ".")
		if _, there := indexKeys(text)[key]; there {
			return nil, &finding.Error{Key: key, Found: "is there already", Do: "take another name"}
		}
		at = after(func(p string) bool { return strings.HasPrefix(p, group+".") })
		err = writeTable(&b, "["+group+"."+bareOrQuoted(name)+"]", key, "", t, value)
	default:
		err = &finding.Error{Key: key, Found: "nothing can be added here", Allowed: "a list of tables or a named table", Do: "take such a key of the job file's reference"}
	}
	if err != nil {
		return nil, err
	}
	// An item that is put between others keeps a blank line above and below.
	before, behind := withNewline(text[:at:at]), text[at:]
	item := b.String()
	if !strings.HasSuffix(string(before), "\n\n") && len(before) > 0 {
		item = "\n" + item
	}
	if len(behind) > 0 && behind[0] != '\n' {
		item += "\n"
	}
	return append(append(before, item...), behind...), nil
}

// plainPath takes the numbers of items out of a path.
func plainPath(path string) string {
	for {
		i := strings.IndexByte(path, '[')
		if i < 0 {
			return path
		}
		k := strings.IndexByte(path[i:], ']')
		if k < 0 {
			return path[:i]
		}
		path = path[:i] + path[i+k+1:]
	}
}

func bareOrQuoted(name string) string {
	for _, r := range name {
		if !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '_' || r == '-') {
			return quote(name)
		}
	}
	if name == "" {
		return `""`
	}
	return name
}

// writeTable writes a header, its keys with aligned equals signs, and tables in it.
func writeTable(b *strings.Builder, header, path, indent string, t reflect.Type, value map[string]any) error {
	known := fieldsOf(t)
	width := 0
	for _, k := range sortedKeys(value) {
		if _, ok := known[k]; !ok {
			e := &finding.Error{Key: join(path, k), Found: "unknown key", Do: "remove it"}
			if near := nearest(k, sortedKeys(known)); near != "" {
				e.Do = "write " + near
			}
			return e
		}
		if ft := known[k].Type; ft.Kind() == reflect.Map && ft.Elem().Kind() == reflect.Slice {
			continue
		}
		if _, below := value[k].([]any); !below || known[k].Type.Elem().Kind() == reflect.String {
			width = max(width, len(k))
		}
	}
	b.WriteString(indent + header + "\n")
	type below struct {
		key string
		t   reflect.Type
	}
	var lists []below
	var readings string // the tables of lists in it, each under a header of its own
	for _, f := range reflect.VisibleFields(t) {
		k := f.Tag.Get("toml")
		raw, ok := value[k]
		if k == "" || !ok {
			continue
		}
		if f.Type.Kind() == reflect.Slice && f.Type.Elem().Kind() == reflect.Struct {
			lists = append(lists, below{k, f.Type.Elem()})
			continue
		}
		if f.Type.Kind() == reflect.Map && f.Type.Elem().Kind() == reflect.Slice {
			lines, err := readingLines(join(path, k), f.Type.Elem(), raw)
			if err != nil {
				return err
			}
			readings += indent + "[" + strings.Trim(header, "[]") + "." + k + "]\n" + indent + strings.Join(lines, "\n"+indent) + "\n"
			continue
		}
		v, err := valueOf(join(path, k), f.Type, raw)
		if err != nil {
			return err
		}
		written, err := formatValue(v)
		if err != nil {
			return err
		}
		fmt.Fprintf(b, "%s%-*s = %s\n", indent, width, k, written)
	}
	b.WriteString(readings)
	for _, l := range lists {
		items, ok := value[l.key].([]any)
		if !ok {
			return &finding.Error{Key: join(path, l.key), Found: describe(value[l.key]), Allowed: "a list of tables", Do: "put each in a table of its own"}
		}
		for _, item := range items {
			m, ok := item.(map[string]any)
			if !ok {
				return &finding.Error{Key: join(path, l.key), Found: describe(item), Allowed: "a table", Do: "put its keys in a table"}
			}
			b.WriteString("\n")
			inner := strings.TrimSuffix(strings.Trim(header, "[]"), "]") + "." + l.key
			if err := writeTable(b, "[["+inner+"]]", join(path, l.key)+"[]", indent+"  ", l.t, m); err != nil {
				return err
			}
		}
	}
	return nil
}

// CheckNames reads a name list as the job would, and says how many rows it has.
func CheckNames(file string, data []byte) (int, error) {
	rows, err := readNames(file, data)
	return len(rows), err
}

// readingLines writes a table of lists of numbers, X2 before X10.
func readingLines(path string, list reflect.Type, raw any) ([]string, error) {
	table, ok := raw.(map[string]any)
	if !ok {
		return nil, &finding.Error{Key: path, Found: describe(raw), Allowed: "a list of numbers for each name", Do: "write NAME = [1, 2] for each"}
	}
	names := sortedKeys(table)
	slices.SortStableFunc(names, func(a, b string) int {
		return cmp.Or(cmp.Compare(a[:min(1, len(a))], b[:min(1, len(b))]), cmp.Compare(len(a), len(b)), cmp.Compare(a, b))
	})
	var out []string
	for _, n := range names {
		v, err := valueOf(join(path, n), list, table[n])
		if err != nil {
			return nil, err
		}
		written, err := formatValue(v)
		if err != nil {
			return nil, err
		}
		out = append(out, bareOrQuoted(n)+" = "+written)
	}
	return out, nil
}
