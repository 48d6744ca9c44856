package job

import (
	"fmt"
	"math"
	"strconv"

	"mouldwright/internal/base/finding"
)

// Mending is one change that a remedy makes of a job file.
type Mending struct {
	Key  string
	From string // what the file has now; empty: it has nothing
	To   string // what it shall have; empty: the key is taken out
}

// Mend makes remedies together: comments and order stay. Of several for one key, that
// one is taken which changes it most.
func Mend(text []byte, list []finding.Remedy) ([]byte, []Mending, error) {
	var keys []string
	chosen := map[string]finding.Remedy{}
	for _, r := range list {
		if r.Key == "" {
			continue
		}
		was, ok := chosen[r.Key]
		if !ok {
			keys = append(keys, r.Key)
		}
		if now := written(text, r.Key); !ok || change(now, r.Value) > change(now, was.Value) {
			chosen[r.Key] = r
		}
	}
	var made []Mending
	for _, key := range keys {
		r := chosen[key]
		m := Mending{Key: key, From: written(text, key), To: r.Value}
		if m.From == m.To {
			continue
		}
		if r.Value == "" {
			text = RemoveKey(text, key)
		} else {
			value, err := remedyValue(r)
			if err != nil {
				return nil, nil, err
			}
			if text, err = SetKey(text, key, value); err != nil {
				return nil, nil, &finding.Error{Key: key, Found: err.Error(), Do: "change it in the job file by hand"}
			}
		}
		made = append(made, m)
	}
	return text, made, nil
}

// remedyValue is a remedy's value as SetKey writes it.
func remedyValue(r finding.Remedy) (any, error) {
	var raw any
	if s, err := strconv.Unquote(r.Value); err == nil {
		raw = s
	} else if x, err := strconv.ParseFloat(r.Value, 64); err == nil {
		raw = x
	} else {
		return nil, &finding.Error{Key: r.Key, Found: r.Value, Allowed: "a number or a text in quotes", Do: "change it in the job file by hand"}
	}
	return Value(r.Key, raw)
}

// written is what the file has for a key, as it stands there.
func written(text []byte, key string) string {
	p, ok := indexKeys(text)[key]
	if !ok {
		return ""
	}
	return string(text[p.valueLo:p.valueHi])
}

// change is by how much a value differs from what is written; all words differ alike.
func change(from, to string) float64 {
	a, err := strconv.ParseFloat(from, 64)
	b, err2 := strconv.ParseFloat(to, 64)
	switch {
	case err2 != nil:
		return math.Inf(1)
	case err != nil:
		return math.Abs(b)
	}
	return math.Abs(b - a)
}

// Do words the change that is to be made: "piece[1].draft_deg = 3".
func (m Mending) Do() string {
	if m.To == "" {
		return "take " + m.Key + " out"
	}
	return m.Key + " = " + m.To
}

// String words a change: "piece[1].draft_deg = 3 (was 1)".
func (m Mending) String() string {
	switch {
	case m.To == "":
		return fmt.Sprintf("%s taken out (was %s)", m.Key, m.From)
	case m.From == "":
		return fmt.Sprintf("%s = %s (new)", m.Key, m.To)
	}
	return fmt.Sprintf("%s = %s (was %s)", m.Key, m.To, m.From)
}
