package workshop

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/job"
)

// maxEdits bounds one request: a page that changes every key of a piece sends 60.
const maxEdits = 200

// applyEdits gives the text with all edits made, in their order.
func applyEdits(text []byte, edits []Edit) ([]byte, error) {
	if len(edits) == 0 || len(edits) > maxEdits {
		return nil, &finding.Error{Found: fmt.Sprintf("%d edits", len(edits)), Allowed: fmt.Sprintf("1 to %d", maxEdits), Do: "send them in several parts"}
	}
	if err := toml.Unmarshal(text, &map[string]any{}); err != nil {
		return nil, &finding.Error{Found: "the job file cannot be edited here while it is not TOML", Err: err, Do: "mend it in a text editor, or undo"}
	}
	for _, e := range edits {
		next, err := applyEdit(text, e)
		if err != nil {
			if _, ok := err.(*finding.Error); !ok {
				err = &finding.Error{Key: e.Key, Found: err.Error(), Do: "take the change back"}
			}
			return nil, err
		}
		// An edit may leave what the next one mends, but never what no editor could read.
		if err := toml.Unmarshal(next, &map[string]any{}); err != nil {
			return nil, &finding.Error{Key: e.Key, Found: "the job file would no longer be TOML", Err: err, Do: "take the change back, or mend the file in a text editor"}
		}
		text = next
	}
	return text, nil
}

func applyEdit(text []byte, e Edit) ([]byte, error) {
	switch e.Do {
	case "set":
		v, err := job.Value(e.Key, e.Value)
		if err != nil {
			return nil, err
		}
		return job.SetKey(text, e.Key, v)
	case "unset":
		return job.RemoveKey(text, e.Key), nil
	case "add":
		v, ok := e.Value.(map[string]any)
		if !ok {
			return nil, &finding.Error{Key: e.Key, Found: fmt.Sprint(e.Value), Allowed: "an object of keys", Do: "give the keys of the new table"}
		}
		return job.AddTable(text, e.Key, v)
	}
	array, n, ok := itemOf(e.Key)
	if !ok {
		return nil, &finding.Error{Key: e.Key, Found: "no item of a list", Allowed: "a key such as piece[2]", Do: "name one item of a list"}
	}
	switch e.Do {
	case "copy":
		return job.CopyItem(text, array, n)
	case "remove":
		return job.RemoveItem(text, array, n)
	case "move":
		return job.MoveItem(text, array, n, e.To)
	}
	return nil, &finding.Error{Key: e.Key, Found: strconv.Quote(e.Do), Allowed: "set, unset, copy, remove, move or add", Do: "use one of these"}
}

// itemOf takes piece[2] apart.
func itemOf(key string) (array string, n int, ok bool) {
	i := strings.LastIndexByte(key, '[')
	if i < 0 || !strings.HasSuffix(key, "]") {
		return "", 0, false
	}
	n, err := strconv.Atoi(key[i+1 : len(key)-1])
	return key[:i], n, err == nil && n > 0
}

// lostEdits finds which edits of the page a text editor has written over: it began
// from base, the page made mine of it by own, and theirs is now in place.
func lostEdits(base, mine, theirs []byte, own []Edit) []Edit {
	if len(own) == 0 {
		return nil
	}
	b, m, t := leaves(base), leaves(mine), leaves(theirs)
	var lost []Edit
	for _, e := range own {
		array, _, item := itemOf(e.Key)
		switch {
		case e.Do == "add":
			array, item = e.Key, true
		case e.Do == "set" || e.Do == "unset":
			item = false
		}
		if item {
			if nb, nm, nt := count(b, array), count(m, array), count(t, array); nt == nb && nm != nb {
				lost = append(lost, e)
			}
			continue
		}
		if b[e.Key] == t[e.Key] && m[e.Key] != b[e.Key] {
			lost = append(lost, e)
		}
	}
	return lost
}

// maxChanged bounds how many changed keys are named; more would not be read.
const maxChanged = 50

// changedKeys names the keys whose values differ.
func changedKeys(a, b []byte) []string {
	x, y := leaves(a), leaves(b)
	keys := []string{}
	for k, v := range y {
		if x[k] != v {
			keys = append(keys, k)
		}
	}
	for k := range x {
		if _, ok := y[k]; !ok {
			keys = append(keys, k)
		}
	}
	slices.Sort(keys)
	return keys[:min(len(keys), maxChanged)]
}

// leaves is every value of a job file by its key; empty when it is not TOML.
func leaves(text []byte) map[string]string {
	out := map[string]string{}
	var tree map[string]any
	if toml.NewDecoder(bytes.NewReader(text)).Decode(&tree) == nil {
		leaf(out, "", tree)
	}
	return out
}

func leaf(out map[string]string, path string, v any) {
	switch v := v.(type) {
	case map[string]any:
		for k, item := range v {
			leaf(out, join(path, ".", k), item)
		}
		return
	case []any:
		for i, item := range v {
			if reflect.ValueOf(item).Kind() != reflect.Map {
				break // a list of values is one value
			}
			leaf(out, fmt.Sprintf("%s[%d]", path, i+1), item)
			if i == len(v)-1 {
				return
			}
		}
	}
	out[path] = fmt.Sprint(v)
}

// count is how many items a list has.
func count(leaves map[string]string, array string) int {
	n := 0
	for k := range leaves {
		if rest, ok := strings.CutPrefix(k, array+"["); ok {
			number, _, _ := strings.Cut(rest, "]")
			if i, err := strconv.Atoi(number); err == nil {
				n = max(n, i)
			}
		}
	}
	return n
}
