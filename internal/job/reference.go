package job

import (
	"fmt"
	"reflect"
	"strings"

	"mouldwright/internal/flow"
)

// Reference writes the reference of the job file as Markdown, from the field tags
// that the reader itself obeys.
func Reference() string {
	var b strings.Builder
	b.WriteString(`# The job file

One TOML file (toml.io), UTF-8, with the art beside it. Strict: an unknown key is an
error that names its place and the nearest known key. A number of uncertain size may
be written as one value or as ` + "`[low, likely, high]`" + `. A key without a default that is
not optional must be there. Whatever you leave out and a default fills is listed in
the plan under ` + "`assumed`" + `.

This page is made from the program's own rules; a test compares them.
`)
	table(&b, "", reflect.TypeFor[flow.Choices](), "")
	return b.String()
}

func table(b *strings.Builder, path string, t reflect.Type, doc string) {
	if path != "" {
		fmt.Fprintf(b, "\n## %s\n\n%s.\n", path, upperFirst(doc))
	} else {
		b.WriteString("\n## At the top of the file\n")
	}
	b.WriteString("\n| key | value | default | meaning |\n| --- | --- | --- | --- |\n")
	type child struct {
		path, doc string
		t         reflect.Type
	}
	var below []child
	for _, f := range reflect.VisibleFields(t) {
		key := f.Tag.Get("toml")
		if key == "" {
			continue
		}
		ft, at := f.Type, join(strings.Trim(path, "[]"), key)
		switch {
		case ft.Kind() == reflect.Struct && ft != rangeType && ft != dateType:
			below = append(below, child{"[" + at + "]", f.Tag.Get("doc"), ft})
			continue
		case ft.Kind() == reflect.Slice && ft.Elem().Kind() == reflect.Struct:
			below = append(below, child{"[[" + at + "]]", f.Tag.Get("doc"), ft.Elem()})
			continue
		case ft.Kind() == reflect.Map && ft.Elem().Kind() == reflect.Struct:
			below = append(below, child{"[" + at + ".NAME]", f.Tag.Get("doc"), ft.Elem()})
			continue
		}
		fmt.Fprintf(b, "| `%s` | %s | %s | %s |\n", key, kind(f), standsFor(f, t), f.Tag.Get("doc"))
	}
	for _, c := range below {
		table(b, c.path, c.t, c.doc)
	}
}

func kind(f reflect.StructField) string {
	if e := f.Tag.Get("enum"); e != "" {
		return "`" + strings.ReplaceAll(e, ",", "`, `") + "`"
	}
	within := ""
	if lo, hi := f.Tag.Get("min"), f.Tag.Get("max"); lo != "" || hi != "" {
		within = ", " + bounds(f.Tag)
	}
	switch {
	case f.Type == rangeType:
		return "number or range" + within
	case f.Type == dateType:
		return "date"
	}
	switch f.Type.Kind() {
	case reflect.String:
		return "text"
	case reflect.Bool:
		return "true or false"
	case reflect.Int:
		return "whole number" + within
	case reflect.Float64:
		return "number" + within
	case reflect.Map, reflect.Slice:
		if f.Type == reflect.TypeFor[[]float64]() {
			return "number or list of numbers" + within
		}
		if f.Type.Elem().Kind() == reflect.Slice {
			return "table: name = numbers" + within
		}
		if f.Type.Elem().Kind() == reflect.Float64 {
			return "table: name = number" + within
		}
		if f.Type.Elem().Kind() == reflect.String {
			return "list of text"
		}
		return "list of tables"
	}
	panic("job: no word for a field of type " + f.Type.String())
}

func standsFor(f reflect.StructField, owner reflect.Type) string {
	switch d := f.Tag.Get("default"); {
	case d != "":
		return "`" + d + "`"
	case f.Tag.Get("optional") != "":
		return "optional"
	case reflect.PointerTo(owner).Implements(reflect.TypeFor[starter]()):
		return "from the class"
	}
	return "**must be there**"
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
