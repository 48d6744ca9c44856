package workshop

import (
	"encoding/json"
	"reflect"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
)

// Values is the choices of a job as JSON by the job file's own keys: an optional key
// that is not given is left out, a range is {low, likely, high}, a day is text.
type Values struct{ Choices *flow.Choices }

// MarshalJSON writes the choices by their toml tags.
func (v Values) MarshalJSON() ([]byte, error) {
	return json.Marshal(plain(reflect.ValueOf(v.Choices).Elem()))
}

// plain turns a value of the job file into what encoding/json writes as meant.
func plain(v reflect.Value) any {
	switch v.Type() {
	case reflect.TypeFor[unit.Range](), reflect.TypeFor[unit.Date]():
		return v.Interface()
	}
	switch v.Kind() {
	case reflect.Struct:
		out := map[string]any{}
		for _, f := range reflect.VisibleFields(v.Type()) {
			key := f.Tag.Get("toml")
			fv := v.FieldByIndex(f.Index)
			if key == "" || f.Tag.Get("optional") != "" && fv.IsZero() {
				continue
			}
			out[key] = plain(fv)
		}
		return out
	case reflect.Slice:
		out := make([]any, v.Len())
		for i := range out {
			out[i] = plain(v.Index(i))
		}
		return out
	case reflect.Map:
		out := make(map[string]any, v.Len())
		for _, k := range v.MapKeys() {
			out[k.String()] = plain(v.MapIndex(k))
		}
		return out
	}
	return v.Interface()
}
