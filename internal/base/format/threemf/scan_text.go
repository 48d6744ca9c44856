package threemf

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// plain checks characters and resolves entities (if asked) and line ends.
func (s *scanner) plain(b []byte, entities bool) ([]byte, error) {
	simple := true
	for _, c := range b {
		if c == '&' || c < 0x20 && c != '\n' && c != '\t' || c >= utf8.RuneSelf {
			simple = false
			break
		}
	}
	if simple {
		return b, nil
	}
	if !utf8.Valid(b) {
		return nil, s.bad("bytes that are not UTF-8")
	}
	out := make([]byte, 0, len(b))
	for k := 0; k < len(b); {
		r, size := utf8.DecodeRune(b[k:])
		switch {
		case r == '&' && entities:
			end := bytes.IndexByte(b[k:min(len(b), k+16)], ';')
			if end < 0 {
				return nil, s.bad("\"&\" without \";\"")
			}
			var ok bool
			if r, ok = entity(string(b[k+1 : k+end])); !ok {
				return nil, s.bad(fmt.Sprintf("the entity %q", b[k:k+end+1]))
			}
			size = end + 1
		case r == '\r':
			r = '\n'
			if k+1 < len(b) && b[k+1] == '\n' {
				size = 2
			}
		}
		if r < 0x20 && r != '\t' && r != '\n' && r != '\r' || r == 0xFFFE || r == 0xFFFF {
			return nil, s.bad(fmt.Sprintf("the character %U", r))
		}
		out = utf8.AppendRune(out, r)
		k += size
	}
	return out, nil
}

func entity(name string) (rune, bool) {
	switch name {
	case "lt":
		return '<', true
	case "gt":
		return '>', true
	case "amp":
		return '&', true
	case "apos":
		return '\'', true
	case "quot":
		return '"', true
	}
	digits, numeric := strings.CutPrefix(name, "#")
	base := 10
	if hex, ok := strings.CutPrefix(digits, "x"); ok {
		digits, base = hex, 16
	}
	n, err := strconv.ParseUint(digits, base, 32)
	return rune(n), numeric && err == nil && n <= utf8.MaxRune && utf8.ValidRune(rune(n))
}

func trimSpace(b []byte) []byte {
	for len(b) > 0 && (b[0] == ' ' || b[0] == '\t' || b[0] == '\r' || b[0] == '\n') {
		b = b[1:]
	}
	return b
}

// cutName cuts a name of plain letters off the front.
func cutName(b []byte) (name, rest []byte) {
	n := 0
	for n < len(b) && (b[n]|0x20 >= 'a' && b[n]|0x20 <= 'z' || b[n] == '_' || b[n] == ':' || n > 0 && (b[n] >= '0' && b[n] <= '9' || b[n] == '-' || b[n] == '.')) {
		n++
	}
	return b[:n], b[n:]
}

// cutPrefix parts "a:b"; a name without colon has no prefix.
func cutPrefix(name []byte) (prefix, local []byte, ok bool) {
	at := bytes.IndexByte(name, ':')
	if at < 0 {
		return nil, name, len(name) > 0
	}
	prefix, local = name[:at], name[at+1:]
	first := len(local) > 0 && (local[0]|0x20 >= 'a' && local[0]|0x20 <= 'z' || local[0] == '_')
	return prefix, local, at > 0 && first && bytes.IndexByte(local, ':') < 0
}

// cutAttribute cuts name="value" off the front; the value is as it stands.
func cutAttribute(b []byte) (a attribute, rest []byte, ok bool) {
	name, rest := cutName(b)
	if a.prefix, a.local, ok = cutPrefix(name); !ok {
		return a, nil, false
	}
	if rest = trimSpace(rest); len(rest) == 0 || rest[0] != '=' {
		return a, nil, false
	}
	if rest = trimSpace(rest[1:]); len(rest) == 0 || rest[0] != '"' && rest[0] != '\'' {
		return a, nil, false
	}
	end := bytes.IndexByte(rest[1:], rest[0])
	if end < 0 {
		return a, nil, false
	}
	a.value = rest[1 : 1+end]
	return a, rest[2+end:], true
}
