package flow

import (
	"encoding/json"
	"reflect"
	"strings"

	"mouldwright/internal/base/unit"
)

// Schema is the JSON Schema (draft 2020-12) of plan.json, made from Plan and its tags.
func Schema() []byte {
	s := object(reflect.TypeFor[Plan]())
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["title"] = "plan.json of mouldwright"
	out, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		panic(err)
	}
	return append(out, '\n')
}

func object(t reflect.Type) map[string]any {
	props, required := map[string]any{}, []string{}
	for _, f := range reflect.VisibleFields(t) {
		if f.Anonymous { // its fields follow
			continue
		}
		name, opts, _ := strings.Cut(f.Tag.Get("json"), ",")
		s := typeOf(f.Type)
		if d := f.Tag.Get("doc"); d != "" {
			s["description"] = d
		}
		props[name] = s
		if !strings.Contains(opts, "omit") { // omitempty, omitzero
			required = append(required, name)
		}
	}
	return map[string]any{"type": "object", "properties": props, "required": required, "additionalProperties": false}
}

func typeOf(t reflect.Type) map[string]any {
	if t == reflect.TypeFor[unit.Date]() {
		return map[string]any{"type": "string", "format": "date"}
	}
	switch t.Kind() {
	case reflect.String:
		return map[string]any{"type": "string"}
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.Int:
		return map[string]any{"type": "integer"}
	case reflect.Float64:
		return map[string]any{"type": "number"}
	case reflect.Pointer: // left out when nil
		return typeOf(t.Elem())
	case reflect.Slice:
		return map[string]any{"type": "array", "items": typeOf(t.Elem())}
	case reflect.Map: // by names of the person's
		return map[string]any{"type": "object", "additionalProperties": typeOf(t.Elem())}
	case reflect.Struct:
		return object(t)
	}
	panic("flow: no schema for a field of type " + t.String())
}
