package job

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"

	"mouldwright/internal/base/unit"
)

// An edit takes the text of a job file and gives the text with one thing changed:
// every other byte, comment and blank line stays. Edits work on any file that Read's
// TOML library accepts, so that a job with a mistake in it can be mended.

// SetKey gives a key a value (string, bool, int, float64, unit.Date, unit.Range,
// []string, or numbers by name), replacing the one it has or adding it to its table.
func SetKey(text []byte, key string, value any) ([]byte, error) {
	written, err := formatValue(value)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", key, err)
	}
	if p, ok := indexKeys(text)[unquoted(key)]; ok {
		if p.valueHi == p.valueLo {
			return nil, fmt.Errorf("%s is a table and has no value", key)
		}
		return splice(text, p.valueLo, p.valueHi, written), nil
	}
	table, last := "", key
	if i := lastDot(key); i >= 0 {
		table, last = key[:i], key[i+1:]
	}
	line := last + " = " + written
	for _, b := range blocksOf(text) {
		if b.path == unquoted(table) {
			return insertLine(text, b, line), nil
		}
	}
	if strings.ContainsAny(table, "[") {
		return nil, fmt.Errorf("%s: the job has no %s", key, table)
	}
	text = withNewline(text)
	return append(text, "\n["+table+"]\n"+line+"\n"...), nil
}

// RemoveKey takes a key's line away; a key that is not there is no error.
func RemoveKey(text []byte, key string) []byte {
	p, ok := indexKeys(text)[unquoted(key)]
	if !ok || p.valueHi == p.valueLo {
		return bytes.Clone(text)
	}
	lo := bytes.LastIndexByte(text[:p.valueLo], '\n') + 1
	hi := len(text)
	if n := bytes.IndexByte(text[p.valueHi:], '\n'); n >= 0 {
		hi = p.valueHi + n + 1
	}
	return splice(text, lo, hi, "")
}

// CopyItem puts a copy of item n (from 1) of an array of tables such as "piece"
// right behind it.
func CopyItem(text []byte, array string, n int) ([]byte, error) {
	lo, hi, err := itemRange(text, array, n)
	if err != nil {
		return nil, err
	}
	text = withNewline(text)
	hi = min(hi, len(text))
	item := string(withNewline(bytes.Clone(text[lo:hi])))
	if !strings.HasSuffix(item, "\n\n") && !bytes.HasSuffix(text[:lo], []byte("\n\n")) {
		item = "\n" + item
	} else if !strings.HasSuffix(item, "\n\n") {
		item = "\n" + item
	}
	return splice(text, hi, hi, item), nil
}

// RemoveItem takes item n away, with the comment that stands right above it.
func RemoveItem(text []byte, array string, n int) ([]byte, error) {
	lo, hi, err := itemRange(text, array, n)
	if err != nil {
		return nil, err
	}
	return splice(text, lo, hi, ""), nil
}

// MoveItem puts item from to the place of item to.
func MoveItem(text []byte, array string, from, to int) ([]byte, error) {
	lo, hi, err := itemRange(text, array, from)
	if err != nil {
		return nil, err
	}
	tlo, thi, err := itemRange(text, array, to)
	if err != nil {
		return nil, err
	}
	text = withNewline(text)
	item := string(withNewline(bytes.Clone(text[lo:hi])))
	switch {
	case from == to:
		return bytes.Clone(text), nil
	case from < to:
		if !bytes.HasSuffix(text[:thi], []byte("\n\n")) {
			item = "\n" + item
		}
		out := splice(text, thi, thi, item)
		return splice(out, lo, hi, ""), nil
	}
	out := splice(text, lo, hi, "")
	if !strings.HasSuffix(item, "\n\n") {
		item += "\n"
	}
	return splice(out, tlo, tlo, item), nil
}

// block is a table of the file: its header and what follows it up to the next header.
type block struct {
	path   string
	lo, hi int // bytes; lo is where the comment right above the header starts
	at     int // where the header's line starts
	keyEnd int // end of the last key's line, or of the header's
	indent string
}

func blocksOf(text []byte) []block {
	blocks := []block{{}}
	counts := map[string]int{}
	var p unstable.Parser
	p.Reset(text)
	for p.NextExpression() {
		e := p.Expression()
		if e.Kind != unstable.Table && e.Kind != unstable.ArrayTable && e.Kind != unstable.KeyValue {
			continue
		}
		keys, at := keyPath(e.Key())
		start := bytes.LastIndexByte(text[:at], '\n') + 1
		cur := &blocks[len(blocks)-1]
		indent := string(text[start : start+len(text[start:])-len(bytes.TrimLeft(text[start:], " \t"))])
		switch e.Kind {
		case unstable.KeyValue:
			_, hi := valueAfter(text, at)
			cur.keyEnd, cur.indent = lineEnd(text, hi), indent
			continue
		case unstable.ArrayTable:
			name := join(resolve(counts, keys[:len(keys)-1]), keys[len(keys)-1])
			counts[name]++
			blocks = append(blocks, block{path: fmt.Sprintf("%s[%d]", name, counts[name])})
		case unstable.Table:
			blocks = append(blocks, block{path: resolve(counts, keys)})
		}
		b := &blocks[len(blocks)-1]
		b.at, b.lo, b.indent = start, aboveComment(text, start), indent
		b.keyEnd = lineEnd(text, at)
		blocks[len(blocks)-2].hi = b.lo
	}
	blocks[len(blocks)-1].hi = len(text)
	return blocks
}

// aboveComment is the start of the comment lines that stand right above a line.
func aboveComment(text []byte, start int) int {
	for start > 0 {
		prev := bytes.LastIndexByte(text[:start-1], '\n') + 1
		if line := bytes.TrimSpace(text[prev : start-1]); len(line) == 0 || line[0] != '#' {
			return start
		}
		start = prev
	}
	return start
}

func lineEnd(text []byte, from int) int {
	if n := bytes.IndexByte(text[from:], '\n'); n >= 0 {
		return from + n + 1
	}
	return len(text)
}

// itemRange is the byte range of an item with all tables inside it.
func itemRange(text []byte, array string, n int) (lo, hi int, err error) {
	path := fmt.Sprintf("%s[%d]", array, n)
	lo = -1
	for _, b := range blocksOf(text) {
		switch inside := b.path == path || strings.HasPrefix(b.path, path+"."); {
		case inside && lo < 0:
			lo, hi = b.lo, b.hi
		case inside:
			hi = b.hi
		}
	}
	if lo < 0 {
		return 0, 0, fmt.Errorf("the job has no %s", path)
	}
	return lo, hi, nil
}

func insertLine(text []byte, b block, line string) []byte {
	line = b.indent + line + "\n"
	if b.keyEnd > 0 && text[b.keyEnd-1] != '\n' {
		line = "\n" + line
	}
	return splice(text, b.keyEnd, b.keyEnd, line)
}

func splice(text []byte, lo, hi int, s string) []byte {
	out := make([]byte, 0, len(text)-(hi-lo)+len(s))
	out = append(out, text[:lo]...)
	out = append(out, s...)
	return append(out, text[hi:]...)
}

func withNewline(text []byte) []byte {
	if len(text) > 0 && text[len(text)-1] != '\n' {
		text = append(text, '\n')
	}
	return text
}

// lastDot is the last dot of a key path that stands outside quotes.
func lastDot(key string) int {
	return strings.LastIndexByte(key, '.')
}

// unquoted takes the quotes off the names in a key: the index has none.
func unquoted(key string) string {
	var b strings.Builder
	in := false
	for i := 0; i < len(key); i++ {
		switch c := key[i]; {
		case c == '"':
			in = !in
		case c == '\\' && in && i+1 < len(key):
			i++
			b.WriteByte(key[i])
		default:
			b.WriteByte(c)
		}
	}
	return b.String()
}

func formatValue(value any) (string, error) {
	switch v := value.(type) {
	case string:
		return quote(v), nil
	case bool:
		return strconv.FormatBool(v), nil
	case int:
		return strconv.Itoa(v), nil
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64), nil
	case unit.Date:
		return v.String(), nil
	case unit.Range:
		if v.IsSure() {
			return formatValue(v.Likely)
		}
		f := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
		return "[" + f(v.Low) + ", " + f(v.Likely) + ", " + f(v.High) + "]", nil
	case []float64:
		if len(v) == 1 {
			return formatValue(v[0])
		}
		parts := make([]string, len(v))
		for i, x := range v {
			s, err := formatValue(x)
			if err != nil {
				return "", err
			}
			parts[i] = s
		}
		return "[" + strings.Join(parts, ", ") + "]", nil
	case []string:
		parts := make([]string, len(v))
		for i, s := range v {
			parts[i] = quote(s)
		}
		return "[" + strings.Join(parts, ", ") + "]", nil
	case map[string]float64:
		parts := make([]string, 0, len(v))
		for _, name := range sortedKeys(v) {
			parts = append(parts, quote(name)+" = "+strconv.FormatFloat(v[name], 'f', -1, 64))
		}
		return "{ " + strings.Join(parts, ", ") + " }", nil
	}
	return "", fmt.Errorf("no way to write a value of type %T", value)
}

// quote writes a TOML basic string.
func quote(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch r {
		case '"', '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case '\n':
			b.WriteString(`\n`)
		case '\t':
			b.WriteString(`\t`)
		default:
			if r < ' ' || r == 0x7f {
				fmt.Fprintf(&b, `\u%04X`, r)
			} else {
				b.WriteRune(r)
			}
		}
	}
	b.WriteByte('"')
	return b.String()
}
