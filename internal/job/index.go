package job

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2/unstable"
)

// place is where a key stands in the text of a job file.
type place struct {
	line, column     int // of the key, from 1; column in characters
	valueLo, valueHi int // byte range of the value; both 0 for tables
}

// index maps every key of a job file, written "piece[2].art[1].depth_mm" with items
// counted from 1, to its place. Tables and items of arrays of tables have places too.
type index map[string]place

// indexKeys walks the text, which must already have been accepted by the TOML
// library, and notes where each key stands.
func indexKeys(text []byte) index {
	ix := index{}
	counts := map[string]int{}
	prefix := ""
	var p unstable.Parser
	p.Reset(text)
	for p.NextExpression() {
		e := p.Expression()
		switch e.Kind {
		case unstable.Table:
			keys, at := keyPath(e.Key())
			prefix = resolve(counts, keys)
			ix.note(text, prefix, at, 0, 0)
		case unstable.ArrayTable:
			keys, at := keyPath(e.Key())
			base := resolve(counts, keys[:len(keys)-1])
			name := join(base, keys[len(keys)-1])
			counts[name]++
			prefix = fmt.Sprintf("%s[%d]", name, counts[name])
			ix.note(text, prefix, at, 0, 0)
		case unstable.KeyValue:
			ix.keyValue(text, prefix, e)
		}
	}
	return ix
}

func (ix index) keyValue(text []byte, prefix string, e *unstable.Node) {
	keys, at := keyPath(e.Key())
	path := prefix
	for _, k := range keys {
		path = join(path, k)
	}
	v := e.Value()
	lo, hi := int(v.Raw.Offset), int(v.Raw.Offset+v.Raw.Length)
	if v.Kind == unstable.Array || v.Kind == unstable.InlineTable || hi == lo {
		lo, hi = valueAfter(text, at)
	}
	ix.note(text, path, at, lo, hi)
	ix.inside(text, path, v)
}

func (ix index) inside(text []byte, path string, v *unstable.Node) {
	switch v.Kind {
	case unstable.InlineTable:
		for it := v.Children(); it.Next(); {
			ix.keyValue(text, path, it.Node())
		}
	case unstable.Array:
		n := 0
		for it := v.Children(); it.Next(); {
			child := it.Node()
			if child.Kind == unstable.Comment {
				continue
			}
			n++
			item := fmt.Sprintf("%s[%d]", path, n)
			at := ix[path].valueLo
			if child.Raw.Length > 0 {
				at = int(child.Raw.Offset)
			}
			ix.note(text, item, at, at, at+int(child.Raw.Length))
			ix.inside(text, item, child)
		}
	}
}

func (ix index) note(text []byte, path string, at, lo, hi int) {
	if _, done := ix[path]; done {
		return
	}
	line := 1 + bytes.Count(text[:at], []byte("\n"))
	start := bytes.LastIndexByte(text[:at], '\n') + 1
	ix[path] = place{line, 1 + utf8.RuneCount(text[start:at]), lo, hi}
}

// keyPath reads a dotted key and the offset of its first part.
func keyPath(it unstable.Iterator) (keys []string, at int) {
	first := true
	for it.Next() {
		n := it.Node()
		if first {
			at = int(n.Raw.Offset)
			first = false
		}
		keys = append(keys, string(n.Data))
	}
	return keys, at
}

// resolve joins keys, putting the running number behind each array of tables.
func resolve(counts map[string]int, keys []string) string {
	path := ""
	for _, k := range keys {
		path = join(path, k)
		if n := counts[path]; n > 0 {
			path = fmt.Sprintf("%s[%d]", path, n)
		}
	}
	return path
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// valueAfter finds the byte range of the array or inline table behind the key at
// offset at: from its opening bracket to the matching one, strings and comments
// passed over.
func valueAfter(text []byte, at int) (lo, hi int) {
	i := at
	inKey := byte(0)
	for ; i < len(text); i++ { // the key itself may hold quotes
		c := text[i]
		if inKey != 0 {
			if c == inKey {
				inKey = 0
			}
			continue
		}
		if c == '"' || c == '\'' {
			inKey = c
		}
		if c == '=' {
			i++
			break
		}
	}
	for i < len(text) && (text[i] == ' ' || text[i] == '\t') {
		i++
	}
	lo = i
	depth := 0
	for i < len(text) {
		switch c := text[i]; {
		case c == '#':
			for i < len(text) && text[i] != '\n' {
				i++
			}
			continue
		case c == '"' || c == '\'':
			i += skipString(text[i:])
			if depth == 0 {
				return lo, i
			}
			continue
		case c == '[' || c == '{':
			depth++
		case c == ']' || c == '}':
			depth--
			if depth == 0 {
				return lo, i + 1
			}
		case depth == 0 && (c == '\n' || c == '\r'):
			return lo, lo + len(strings.TrimRight(string(text[lo:i]), " \t"))
		}
		i++
	}
	return lo, i
}

// skipString gives the length of the TOML string at the start of s.
func skipString(s []byte) int {
	q := s[0]
	triple := []byte{q, q, q}
	if bytes.HasPrefix(s, triple) {
		for i := 3; i < len(s); i++ {
			if q == '"' && s[i] == '\\' {
				i++
				continue
			}
			if bytes.HasPrefix(s[i:], triple) {
				i += 3
				for i < len(s) && s[i] == q { // up to two quotes may precede the closing ones
					i++
				}
				return i
			}
		}
		return len(s)
	}
	for i := 1; i < len(s); i++ {
		if q == '"' && s[i] == '\\' {
			i++
			continue
		}
		if s[i] == q {
			return i + 1
		}
	}
	return len(s)
}
