package workshop

import (
	"maps"
	"net/http"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/kitchen/recipe"
)

func (s *Server) getRules(w http.ResponseWriter, r *http.Request) error { return answer(w, jobRules()) }

// jobRules reads the rules of the job file off its field tags, as the job's own
// reader does; see internal/job.
func jobRules() Rules {
	r := Rules{Rules: []Rule{}, Classes: map[string][]string{
		"printer.class": material.Names(material.Printers), "resin.class": material.Names(material.Resins),
		"silicone.class": material.Names(material.Silicones), "chocolate.*.kind": material.Names(material.Chocolates),
		"filling.*.recipe": slices.Sorted(maps.Keys(recipe.Library().Recipes)),
	}}
	r.table("", reflect.TypeFor[flow.Choices]())
	return r
}

func (r *Rules) table(path string, t reflect.Type) {
	_, classed := reflect.PointerTo(t).MethodByName("StartFrom")
	for _, f := range reflect.VisibleFields(t) {
		key := f.Tag.Get("toml")
		if key == "" {
			continue
		}
		key = join(path, ".", key)
		kind := kindOf(f.Type)
		switch {
		case kind != "":
			r.Rules = append(r.Rules, ruleOf(key, kind, f.Tag, classed))
		case f.Type.Kind() == reflect.Struct:
			r.table(key, f.Type)
		case f.Type.Kind() == reflect.Slice:
			r.table(key+"[]", f.Type.Elem())
		case f.Type.Kind() == reflect.Map:
			r.table(key+".*", f.Type.Elem())
		}
	}
}

// kindOf is the kind of a value; empty for tables.
func kindOf(t reflect.Type) string {
	switch t {
	case reflect.TypeFor[unit.Range]():
		return "range"
	case reflect.TypeFor[unit.Date]():
		return "date"
	}
	switch t.Kind() {
	case reflect.String:
		return "text"
	case reflect.Bool:
		return "yes"
	case reflect.Int:
		return "whole"
	case reflect.Float64:
		return "number"
	case reflect.Map:
		switch {
		case t.Elem().Kind() == reflect.Float64:
			return "numbers"
		case t.Elem().Kind() == reflect.Slice:
			return "readings"
		}
	case reflect.Slice:
		switch t.Elem().Kind() {
		case reflect.Float64:
			return "sizes"
		case reflect.String:
			return "texts"
		case reflect.Map:
			return "rows"
		}
	}
	return ""
}

func ruleOf(key, kind string, tag reflect.StructTag, classed bool) Rule {
	r := Rule{Key: key, Kind: kind, Unit: unit.OfKey(key), Enum: []string{}, Default: tag.Get("default"), Optional: tag.Get("optional") != "", Doc: tag.Get("doc")}
	r.Class = classed && r.Default == "" && !r.Optional
	if e := tag.Get("enum"); e != "" {
		r.Enum = strings.Split(e, ",")
	}
	bound := func(name string) *float64 {
		if x, err := strconv.ParseFloat(tag.Get(name), 64); err == nil {
			return &x
		}
		return nil
	}
	r.Min, r.Max = bound("min"), bound("max")
	return r
}
