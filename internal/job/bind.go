package job

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"
	"sort"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
)

// binder lays a parsed TOML tree over a struct whose field tags are the rules:
//
//	toml:"key"       the key; a field without it is not the job file's
//	default:"…"      taken when the key is missing, and listed under assumed
//	optional:"…"     may be missing without a default
//	min:"…" max:"…"  bounds of a number, or of each value of a range
//	enum:"a,b"       the allowed words
//	doc:"…"          one line for the reference
//	do:"…"           what to try instead of a value that is not allowed, where that is
//	                 more than the meaning of the key
//
// Keys match by case, unknown keys are errors that name the nearest known one. All
// errors are collected, so that a person sees every mistake at once.
type binder struct {
	file    string
	ix      index
	errs    []error
	assumed []flow.Assumed
}

// starter is a material that begins from a generic class.
type starter interface {
	StartFrom(class string) (source string, err error)
}

// maxErrors bounds what is reported at once (our choice: more would not be read).
const maxErrors = 20

func (b *binder) fail(path, found, allowed, do string) {
	p := b.find(path)
	b.errs = append(b.errs, &finding.Error{File: b.file, Line: p.line, Column: p.column, Key: path, Found: found, Allowed: allowed, Do: do})
}

// find is the place of a path, or of the nearest thing around it.
func (b *binder) find(path string) place {
	for path != "" {
		for _, at := range []string{path, path + "[1]"} { // an array of tables stands where its first one does
			if p, ok := b.ix[at]; ok {
				return p
			}
		}
		path = path[:max(0, strings.LastIndexAny(path, ".["))]
	}
	return place{line: 1, column: 1}
}

func (b *binder) table(path string, v reflect.Value, tree map[string]any) {
	known := fieldsOf(v.Type())
	source := b.start(path, v, tree, known)
	for _, key := range sortedKeys(tree) {
		if _, ok := known[key]; !ok {
			allowed, do := "", "remove it"
			if near := nearest(key, sortedKeys(known)); near != "" {
				do = "write " + near
			} else {
				allowed = strings.Join(sortedKeys(known), ", ")
			}
			b.fail(join(path, key), "unknown key", allowed, do)
		}
	}
	for _, f := range reflect.VisibleFields(v.Type()) {
		key := f.Tag.Get("toml")
		if key == "" {
			continue
		}
		at, fv := join(path, key), v.FieldByIndex(f.Index)
		raw, given := tree[key]
		switch {
		case given:
			tag := f.Tag
			if source != "" {
				tag += ` class:"yes"` // for advice
			}
			b.value(at, fv, tag, raw)
		case f.Tag.Get("default") != "":
			if !b.parseDefault(at, fv, f.Tag) {
				continue
			}
			b.assumed = append(b.assumed, flow.Assumed{Key: at, Value: show(fv), Source: "default"})
		case source != "":
			if f.Tag.Get("optional") == "" {
				b.assumed = append(b.assumed, flow.Assumed{Key: at, Value: show(fv), Source: source})
			}
		case f.Tag.Get("optional") != "":
		case fv.Kind() == reflect.Struct && fv.Type() != rangeType && fv.Type() != dateType:
			b.table(at, fv, nil) // a missing table is a table of defaults
		default:
			b.fail(at, "missing", f.Tag.Get("doc"), "add "+asWritten(at, key, fv.Kind()))
		}
	}
}

// asWritten is how a key that must be there is written.
func asWritten(at, key string, kind reflect.Kind) string {
	switch kind {
	case reflect.Slice:
		return "a table [[" + at + "]]"
	case reflect.Map:
		return "a table [" + at + ".NAME]"
	}
	return key + " = …"
}

// start lets a material begin from its class and returns where the values are from.
func (b *binder) start(path string, v reflect.Value, tree map[string]any, known map[string]reflect.StructField) string {
	s, ok := v.Addr().Interface().(starter)
	if !ok {
		return ""
	}
	key := "class"
	if _, has := known[key]; !has {
		key = "kind"
	}
	class := known[key].Tag.Get("default")
	if raw, given := tree[key]; given {
		if class, ok = raw.(string); !ok {
			return "class" // refused as any key that wants text
		}
	}
	source, err := s.StartFrom(class)
	if err != nil {
		e := err.(*finding.Error)
		b.fail(join(path, key), e.Found, e.Allowed, "take one of these and enter your own values beside it")
		return "class"
	}
	return source
}

var (
	rangeType = reflect.TypeFor[unit.Range]()
	dateType  = reflect.TypeFor[unit.Date]()
)

func (b *binder) value(path string, v reflect.Value, tag reflect.StructTag, raw any) {
	switch {
	case v.Type() == rangeType:
		b.rangeValue(path, v, tag, raw)
		return
	case v.Type() == dateType:
		d, ok := raw.(toml.LocalDate)
		if !ok {
			b.fail(path, "not a date: "+describe(raw), "a day such as 2027-03-14, without quotes", "write year, month and day in this order")
			return
		}
		v.Set(reflect.ValueOf(unit.Date{Year: d.Year, Month: d.Month, Day: d.Day}))
		return
	}
	switch v.Kind() {
	case reflect.String:
		s, ok := raw.(string)
		if !ok {
			b.fail(path, "not text: "+describe(raw), "text in quotes", "put it in quotes")
			return
		}
		b.word(path, tag, s)
		v.SetString(s)
	case reflect.Bool:
		t, ok := raw.(bool)
		if !ok {
			b.fail(path, "neither true nor false: "+describe(raw), "true or false, without quotes", "write one of the two")
			return
		}
		v.SetBool(t)
	case reflect.Int:
		n, ok := raw.(int64)
		if !ok {
			b.fail(path, "not a whole number: "+describe(raw), bounds(tag)+", a whole number without quotes", advice(path, tag))
			return
		}
		if b.inBounds(path, tag, float64(n)) {
			v.SetInt(n)
		}
	case reflect.Float64:
		x, ok := number(raw)
		if !ok {
			b.fail(path, "not a number: "+describe(raw), bounds(tag)+", without quotes", advice(path, tag))
			return
		}
		if b.inBounds(path, tag, x) {
			v.SetFloat(x)
		}
	case reflect.Struct:
		t, ok := raw.(map[string]any)
		if !ok {
			b.fail(path, "not a table: "+describe(raw), "a table", "write ["+path+"] on a line of its own, and its keys below it")
			return
		}
		b.table(path, v, t)
	case reflect.Slice:
		b.slice(path, v, tag, raw)
	case reflect.Map:
		b.mapValue(path, v, tag, raw)
	default:
		panic("job: no rule for a field of type " + v.Type().String())
	}
}

func (b *binder) slice(path string, v reflect.Value, tag reflect.StructTag, raw any) {
	items, ok := raw.([]any)
	if _, one := number(raw); one && v.Type().Elem().Kind() == reflect.Float64 {
		items, ok = []any{raw}, true // one number may stand for a list of one
	}
	if !ok {
		b.fail(path, "not a list: "+describe(raw), "a list", "put what belongs to it in [ ], or write a [["+path+"]] for each")
		return
	}
	out := reflect.MakeSlice(v.Type(), len(items), len(items))
	for i, item := range items {
		b.value(fmt.Sprintf("%s[%d]", path, i+1), out.Index(i), tag, item)
	}
	v.Set(out)
}

func (b *binder) mapValue(path string, v reflect.Value, tag reflect.StructTag, raw any) {
	t, ok := raw.(map[string]any)
	if !ok {
		b.fail(path, "not a table: "+describe(raw), "a table", "write ["+path+"] on a line of its own, and its keys below it")
		return
	}
	out := reflect.MakeMap(v.Type())
	for _, k := range sortedKeys(t) {
		item := reflect.New(v.Type().Elem()).Elem()
		b.value(join(path, k), item, tag, t[k])
		out.SetMapIndex(reflect.ValueOf(k), item)
	}
	v.Set(out)
}

func (b *binder) rangeValue(path string, v reflect.Value, tag reflect.StructTag, raw any) {
	r := unit.Range{}
	if x, ok := number(raw); ok {
		r = unit.Sure(x)
	} else {
		list, ok := raw.([]any)
		var xs []float64
		for _, item := range list {
			x, isNumber := number(item)
			ok = ok && isNumber
			xs = append(xs, x)
		}
		if !ok || len(xs) != 3 {
			b.fail(path, "not a number or three: "+describe(raw), "one number, or [low, likely, high]", advice(path, tag))
			return
		}
		r = unit.Range{Low: xs[0], Likely: xs[1], High: xs[2]}
	}
	for _, x := range [...]float64{r.Low, r.Likely, r.High} {
		if !b.inBounds(path, tag, x) {
			return
		}
	}
	if !r.Ordered() {
		b.fail(path, "out of order: "+r.String(), "[low, likely, high], from small to large", "write the three in this order")
		return
	}
	v.Set(reflect.ValueOf(r))
}

func (b *binder) word(path string, tag reflect.StructTag, s string) {
	if e := tag.Get("enum"); e != "" {
		words := strings.Split(e, ",")
		if slices.Contains(words, s) {
			return
		}
		do := "take one of these"
		if near := nearest(s, words); near != "" {
			do = "write " + strconv.Quote(near)
		}
		b.fail(path, "found "+strconv.Quote(s), strings.Join(words, ", "), do)
	}
	for _, r := range s {
		if r < ' ' && r != '\n' && r != '\t' || r == 0x7f {
			b.fail(path, fmt.Sprintf("control character U+%04X in the text", r), "printable characters and line breaks", "type the text anew")
			return
		}
	}
}

func (b *binder) inBounds(path string, tag reflect.StructTag, x float64) bool {
	lo, hi := limits(tag)
	if math.IsNaN(x) || math.IsInf(x, 0) || x < lo || x > hi {
		b.fail(path, "found "+strconv.FormatFloat(x, 'g', -1, 64), bounds(tag), advice(path, tag))
		return false
	}
	return true
}

// advice is what to try instead of a number that is not allowed: what the rule says, or
// its meaning and unit, and what is taken without it.
func advice(path string, tag reflect.StructTag) string {
	if do := tag.Get("do"); do != "" {
		return do
	}
	do := "write it"
	if in := unit.OfKey(strings.TrimRight(path, "[]0123456789")); in != "" {
		do += " in " + cmp.Or(map[string]string{"C": "°C", "deg": "degrees"}[in], in)
	}
	do += ": " + tag.Get("doc")
	switch d := tag.Get("default"); {
	case d != "":
		return do + "; without the line it is " + d
	case tag.Get("optional") != "":
		return do + "; or take the line out"
	case tag.Get("class") != "":
		return do + "; without the line it is the class's"
	}
	return do
}

func (b *binder) parseDefault(path string, v reflect.Value, tag reflect.StructTag) bool {
	var holder struct{ V any }
	text := tag.Get("default")
	if v.Kind() == reflect.String {
		v.SetString(text)
		return true
	}
	if err := toml.Unmarshal([]byte("V = "+text), &holder); err != nil {
		panic("job: default of " + path + ": " + err.Error())
	}
	before := len(b.errs)
	b.value(path, v, tag, holder.V)
	return len(b.errs) == before
}

func limits(tag reflect.StructTag) (lo, hi float64) {
	lo, hi = math.Inf(-1), math.Inf(1)
	if s := tag.Get("min"); s != "" {
		lo, _ = strconv.ParseFloat(s, 64)
	}
	if s := tag.Get("max"); s != "" {
		hi, _ = strconv.ParseFloat(s, 64)
	}
	return lo, hi
}

func bounds(tag reflect.StructTag) string {
	lo, hi := tag.Get("min"), tag.Get("max")
	switch {
	case lo != "" && hi != "":
		return lo + " to " + hi
	case lo != "":
		return "at least " + lo
	case hi != "":
		return "at most " + hi
	}
	return "a number"
}

func number(raw any) (float64, bool) {
	switch n := raw.(type) {
	case int64:
		return float64(n), true
	case float64:
		return n, true
	}
	return 0, false
}

func describe(raw any) string {
	switch v := raw.(type) {
	case string:
		return strconv.Quote(v)
	case map[string]any:
		return "a table"
	case []any:
		return "a list"
	}
	return fmt.Sprint(raw)
}

func show(v reflect.Value) string {
	switch {
	case v.Kind() == reflect.Slice:
		var parts []string
		for i := range v.Len() {
			parts = append(parts, fmt.Sprint(v.Index(i).Interface()))
		}
		return strings.Join(parts, ", ")
	}
	return fmt.Sprint(v.Interface())
}

func fieldsOf(t reflect.Type) map[string]reflect.StructField {
	known := map[string]reflect.StructField{}
	for _, f := range reflect.VisibleFields(t) {
		if key := f.Tag.Get("toml"); key != "" {
			known[key] = f
		}
	}
	return known
}

func sortedKeys[T any](m map[string]T) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// nearest is the known word within two slips of the unknown one, or a third of its length.
func nearest(key string, known []string) string {
	best, bestCost := "", max(2, len(key)/3)+1
	for _, k := range known {
		if d := finding.Slips(key, k); d < bestCost {
			best, bestCost = k, d
		}
	}
	return best
}
