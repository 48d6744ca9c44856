package record

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"sort"
	"strings"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
)

// maxChanges bounds the lines that tell what changed.
const maxChanges = 200

// made is what a revision was made of, as far as changes are told by it.
type made struct {
	program string
	choices *flow.Choices   // nil: its job file cannot be read any more
	files   map[string]File // the input files, by name
	names   []string        // of the name list
}

// changes tells what changed from one to another, a line each: first the program, then
// the choices in the order of the job file, the files, and the names.
func changes(from, to made) []string {
	var out []string
	if from.program != to.program {
		out = append(out, fmt.Sprintf("program %s -> %s", from.program, to.program))
	}
	if from.choices == nil || to.choices == nil {
		out = append(out, "the job file (this program cannot read what it was)")
	} else {
		out = append(out, choiceChanges(from.choices, to.choices)...)
	}
	out = append(out, fileChanges(from.files, to.files, cameOrWent(from.names, to.names))...)
	out = append(out, nameChanges(from.names, to.names)...)
	if n := len(out) - maxChanges; n > 0 {
		out = append(out[:maxChanges], fmt.Sprintf("and %d more", n))
	}
	return out
}

// leaf is one value of the job file, and the items of lists and tables that hold it:
// piece crest, art 1.
type leaf struct {
	items []string
	name  string // key in its table
	words string
	value string
	unit  string
}

func (l leaf) key() string { return strings.Join(l.items, "\x00") + "\x00\x00" + l.name }

// place begins a line: "piece crest: art 1 ".
func place(items []string) string {
	switch len(items) {
	case 0:
		return ""
	case 1:
		return items[0] + ": "
	}
	return items[0] + ": " + strings.Join(items[1:], " ") + " "
}

func choiceChanges(from, to *flow.Choices) []string {
	old, now := leaves(nil, reflect.ValueOf(*from)), leaves(nil, reflect.ValueOf(*to))
	was, is := byKey(old), byKey(now)
	hadItem, hasItem := itemsOf(old), itemsOf(now)
	var out []string
	for _, l := range now {
		o, known := was[l.key()]
		switch {
		case known && o.value == l.value:
		case known:
			out = append(out, strings.TrimRight(fmt.Sprintf("%s%s %s -> %s %s", place(l.items), l.words, o.value, l.value, l.unit), " "))
		case newItem(l.items, hadItem) != "":
			out = appendOnce(out, newItem(l.items, hadItem)+" added")
		default:
			out = append(out, strings.TrimRight(fmt.Sprintf("%s%s none -> %s %s", place(l.items), l.words, l.value, l.unit), " "))
		}
	}
	for _, l := range old {
		if _, still := is[l.key()]; still {
			continue
		}
		if gone := newItem(l.items, hasItem); gone != "" {
			out = appendOnce(out, gone+" taken out")
		} else {
			out = append(out, strings.TrimRight(fmt.Sprintf("%s%s %s -> none", place(l.items), l.words, l.value), " "))
		}
	}
	return out
}

func byKey(list []leaf) map[string]leaf {
	out := map[string]leaf{}
	for _, l := range list {
		out[l.key()] = l
	}
	return out
}

func itemsOf(list []leaf) map[string]bool {
	out := map[string]bool{}
	for _, l := range list {
		for i := range l.items {
			out[strings.Join(l.items[:i+1], "\x00")] = true
		}
	}
	return out
}

// newItem is the first of the items that the other side does not have, in words.
func newItem(items []string, other map[string]bool) string {
	for i := range items {
		if !other[strings.Join(items[:i+1], "\x00")] {
			return strings.TrimRight(place(items[:i+1]), ": ")
		}
	}
	return ""
}

func appendOnce(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}

// leaves lists the values of a table by the job file's keys, as they stand in the types.
func leaves(items []string, v reflect.Value) (out []leaf) {
	for _, f := range reflect.VisibleFields(v.Type()) {
		key := f.Tag.Get("toml")
		if key == "" {
			continue
		}
		fv := v.FieldByIndex(f.Index)
		in := func(name string) []string { return append(slices.Clone(items), name) }
		word := strings.ReplaceAll(key, "_", " ")
		elem := fv.Type()
		if k := elem.Kind(); k == reflect.Slice || k == reflect.Map {
			elem = elem.Elem()
		}
		table := elem.Kind() == reflect.Struct && elem != reflect.TypeFor[unit.Range]() && elem != dateType
		switch {
		case f.Tag.Get("optional") != "" && fv.IsZero():
		case !table:
			out = append(out, leaf{items, key, unit.WordsOfKey(key), leafText(fv), unit.OfKey(key)})
		case fv.Kind() == reflect.Struct:
			out = append(out, leaves(in(word), fv)...)
		case fv.Kind() == reflect.Slice:
			for i := range fv.Len() {
				out = append(out, leaves(in(word+" "+itemName(fv.Index(i), i)), fv.Index(i))...)
			}
		default:
			names := fv.MapKeys()
			sort.Slice(names, func(i, k int) bool { return names[i].String() < names[k].String() })
			for _, n := range names {
				out = append(out, leaves(in(word+" "+n.String()), fv.MapIndex(n))...)
			}
		}
	}
	return out
}

// itemName is how an item of a list is told apart: by its name, or its number.
func itemName(v reflect.Value, i int) string {
	if n := v.FieldByName("Name"); n.IsValid() && n.Kind() == reflect.String && n.String() != "" {
		return n.String()
	}
	return fmt.Sprint(i + 1)
}

func leafText(v reflect.Value) string {
	switch x := v.Interface().(type) {
	case unit.Range:
		return x.String()
	case unit.Date:
		return x.String()
	case float64:
		return fmt.Sprintf("%g", x)
	case string:
		if strings.ContainsAny(x, "\n") || len(x) > 80 {
			return fmt.Sprintf("%.80q", x)
		}
		return x
	case bool:
		if x {
			return "yes"
		}
		return "no"
	}
	if v.Kind() == reflect.Slice && v.Len() == 0 {
		return "none"
	}
	s := strings.TrimSuffix(strings.TrimPrefix(strings.TrimPrefix(fmt.Sprint(v.Interface()), "map"), "["), "]")
	if r := []rune(s); len(r) > 80 {
		return string(r[:80]) + "…"
	}
	return s
}

// fileChanges tells which files came, went or changed, and what changed in them, so far as
// that can be said in words; else their sizes. Of the name list the names are told apart.
func fileChanges(from, to map[string]File, only map[string]bool) (out []string) {
	var names []string
	for n := range to {
		names = append(names, n)
	}
	for n := range from {
		if _, still := to[n]; !still {
			names = append(names, n)
		}
	}
	sort.Strings(names)
	for _, n := range names {
		was, had := from[n]
		is, has := to[n]
		switch {
		case had && has && was.SHA256 != is.SHA256:
			what := []string{}
			if was.Facts != "" && is.Facts != "" {
				what = factChanges(was.Facts, is.Facts, only)
			}
			switch {
			case len(what) > 0:
			case len(only) > 0 && strings.HasSuffix(n, ".csv"): // just rows that came or went
				continue
			case was.Bytes > 0 && was.Bytes != is.Bytes:
				what = append(what, fmt.Sprintf("%d -> %d bytes", was.Bytes, is.Bytes))
			default:
				what = append(what, "as long as before, with other content")
			}
			out = append(out, "file "+n+" changed: "+strings.Join(what, "; "))
		case !had:
			out = append(out, "file "+n+" added")
		case !has:
			out = append(out, "file "+n+" taken out")
		}
	}
	return out
}

// cameOrWent is the names that only one of two lists has.
func cameOrWent(from, to []string) map[string]bool {
	out := map[string]bool{}
	for _, n := range from {
		out[n] = !slices.Contains(to, n)
	}
	for _, n := range to {
		out[n] = !slices.Contains(from, n)
	}
	maps.DeleteFunc(out, func(_ string, only bool) bool { return !only })
	return out
}

func nameChanges(from, to []string) (out []string) {
	for _, c := range []struct {
		a, b []string
		word string
	}{{to, from, "added"}, {from, to, "taken out"}} {
		var list []string
		for _, n := range c.a {
			if !slices.Contains(c.b, n) {
				list = append(list, n)
			}
		}
		if n := len(list); n > 8 {
			list = append(list[:8], fmt.Sprintf("and %d more", n-8))
		}
		if len(list) > 0 {
			out = append(out, "names "+c.word+": "+strings.Join(list, ", "))
		}
	}
	if len(out) == 0 && !slices.Equal(from, to) {
		out = append(out, "the order of the names")
	}
	return out
}
