package threemf

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
)

// scanner reads the XML of a model part element by element: a million triangles are
// seventy megabytes of it, which encoding/xml takes two seconds and twenty million
// allocations for. It takes what encoding/xml takes in strict mode, in UTF-8, without
// document type definitions and with names of plain letters; a fuzz test holds the two
// side by side.
type scanner struct {
	r         io.Reader
	buf       []byte // what was read and not yet consumed is buf[pos:]
	pos       int
	ended     bool // r has no more
	line      int  // lines before buf
	names     []byte
	open      []int     // where in names the open elements' names begin
	bindings  []binding // of prefixes, the innermost last
	selfClose bool      // the element just started ends at once
	rootSeen  bool

	// The last start: its namespace, local name and attributes; or the last text. They
	// are good until the next call of next.
	space string
	local []byte
	attrs []attribute
	text  []byte
}

type attribute struct{ prefix, local, value []byte }

type binding struct {
	prefix, uri string
	depth       int
}

type token int

const (
	startElement token = iota
	endElement
	textPiece
)

// Bounds of one token in bytes, and of the prefixes bound at one time (our choice: no
// writer comes near).
const (
	maxToken    = 1 << 20
	maxBindings = 256
)

func newScanner(r io.Reader) *scanner { return &scanner{r: r, buf: make([]byte, 0, 1<<16)} }

// next reads one token; io.EOF stands behind the end of the root element.
func (s *scanner) next() (token, error) {
	if s.selfClose {
		s.selfClose = false
		s.pop()
		return endElement, nil
	}
	for {
		if rest, err := s.need(1); err != nil {
			return 0, err
		} else if len(rest) == 0 {
			if len(s.open) > 0 || !s.rootSeen {
				return 0, s.bad("the text ends inside an element, or has none")
			}
			return 0, io.EOF
		} else if rest[0] != '<' {
			return s.characters()
		}
		rest, err := s.need(9)
		if err != nil {
			return 0, err
		}
		switch {
		case bytes.HasPrefix(rest, []byte("<?")):
			err = s.instruction()
		case bytes.HasPrefix(rest, []byte("<!--")):
			err = s.comment()
		case bytes.HasPrefix(rest, []byte("<![CDATA[")):
			return s.cdata()
		case bytes.HasPrefix(rest, []byte("<!")):
			err = errDirective
		case bytes.HasPrefix(rest, []byte("</")):
			return endElement, s.end()
		default:
			return startElement, s.start()
		}
		if err != nil {
			return 0, err
		}
	}
}

var errDirective = errors.New("a document type definition")

// syntaxError is where and how a text is not well-formed.
type syntaxError struct {
	line int
	what string
}

func (e *syntaxError) Error() string { return fmt.Sprintf("line %d: %s", e.line, e.what) }

func (s *scanner) bad(what string) error {
	return &syntaxError{1 + s.line + bytes.Count(s.buf[:s.pos], []byte("\n")), what}
}

// need gives the bytes not yet consumed, at least n of them unless the text ends.
func (s *scanner) need(n int) ([]byte, error) {
	for len(s.buf)-s.pos < n && !s.ended {
		if err := s.fill(); err != nil {
			return nil, err
		}
	}
	return s.buf[s.pos:], nil
}

func (s *scanner) fill() error {
	s.line += bytes.Count(s.buf[:s.pos], []byte("\n"))
	s.buf = s.buf[:copy(s.buf, s.buf[s.pos:])]
	s.pos = 0
	if len(s.buf) >= maxToken {
		return s.bad(fmt.Sprintf("a tag, text or comment of more than %d bytes", maxToken))
	}
	if len(s.buf) == cap(s.buf) {
		s.buf = append(make([]byte, 0, 2*cap(s.buf)), s.buf...)
	}
	n, err := s.r.Read(s.buf[len(s.buf):cap(s.buf)])
	s.buf = s.buf[:len(s.buf)+n]
	if err == io.EOF {
		s.ended = true
		return nil
	}
	return err
}

// upTo gives the bytes before the next mark after the first `skip` ones, and consumes
// them and the mark.
func (s *scanner) upTo(skip int, mark string) ([]byte, error) {
	for from := skip; ; {
		rest, err := s.need(from + len(mark))
		if err != nil {
			return nil, err
		}
		if at := bytes.Index(rest[min(from, len(rest)):], []byte(mark)); at >= 0 {
			s.pos += from + at + len(mark)
			return rest[skip : from+at], nil
		}
		if s.ended {
			return nil, s.bad(fmt.Sprintf("no %q", mark))
		}
		from = max(skip, len(rest)-len(mark)+1)
	}
}

func (s *scanner) instruction() error {
	text, err := s.upTo(2, "?>")
	if err != nil {
		return err
	}
	name, rest := cutName(text)
	if len(name) == 0 || len(rest) > 0 && len(trimSpace(rest)) == len(rest) {
		return s.bad("an instruction without a plain name")
	}
	if string(name) != "xml" {
		return nil
	}
	for rest = trimSpace(rest); len(rest) > 0; rest = trimSpace(rest) {
		var a attribute
		var ok bool
		if a, rest, ok = cutAttribute(rest); !ok {
			return s.bad("a faulty XML declaration")
		}
		switch string(a.local) { // XML 1.0, section 2.8
		case "version", "encoding", "standalone":
		default:
			return s.bad(fmt.Sprintf("%.20q in the XML declaration", a.local))
		}
		if string(a.local) == "version" && string(a.value) != "1.0" ||
			string(a.local) == "encoding" && !strings.EqualFold(string(a.value), "utf-8") {
			return s.bad(fmt.Sprintf("%s %.20q instead of version 1.0, encoding UTF-8", a.local, a.value))
		}
	}
	return nil
}

func (s *scanner) comment() error {
	if _, err := s.upTo(4, "--"); err != nil {
		return err
	}
	if rest, err := s.need(1); err != nil {
		return err
	} else if len(rest) == 0 || rest[0] != '>' {
		return s.bad("\"--\" inside a comment")
	}
	s.pos++
	return nil
}

func (s *scanner) characters() (token, error) {
	for from := 0; ; {
		rest, err := s.need(from + 1)
		if err != nil {
			return 0, err
		}
		n := bytes.IndexByte(rest[min(from, len(rest)):], '<')
		if n < 0 && !s.ended {
			from = len(rest)
			continue
		}
		if n < 0 {
			n = len(rest)
		} else {
			n += from
		}
		s.pos += n
		if s.text = rest[:n]; len(s.open) == 0 {
			if s.text = bytes.TrimPrefix(s.text, []byte("\ufeff")); len(trimSpace(s.text)) > 0 {
				return 0, s.bad("text outside the root element")
			}
		}
		if bytes.Contains(s.text, []byte("]]>")) {
			return 0, s.bad("\"]]>\" in a text")
		}
		s.text, err = s.plain(s.text, true)
		return textPiece, err
	}
}

func (s *scanner) cdata() (token, error) {
	if len(s.open) == 0 {
		return 0, s.bad("text outside the root element")
	}
	text, err := s.upTo(9, "]]>")
	if err == nil {
		s.text, err = s.plain(text, false)
	}
	return textPiece, err
}

func (s *scanner) end() error {
	text, err := s.upTo(2, ">")
	if err != nil {
		return err
	}
	name, rest := cutName(text)
	if len(s.open) == 0 || len(trimSpace(rest)) > 0 || !bytes.Equal(name, s.names[s.open[len(s.open)-1]:]) {
		return s.bad(fmt.Sprintf("</%.40s> closes nothing that is open", text))
	}
	s.pop()
	return nil
}

func (s *scanner) pop() {
	last := len(s.open) - 1
	s.names = s.names[:s.open[last]]
	s.open = s.open[:last]
	for n := len(s.bindings); n > 0 && s.bindings[n-1].depth > last; n-- {
		s.bindings = s.bindings[:n-1]
	}
}

func (s *scanner) start() error {
	if s.rootSeen && len(s.open) == 0 {
		return s.bad("a second root element")
	}
	s.rootSeen = true
	tag, err := s.tag()
	if err != nil {
		return err
	}
	if s.selfClose = bytes.HasSuffix(tag, []byte("/")); s.selfClose {
		tag = tag[:len(tag)-1]
	}
	name, rest := cutName(tag)
	prefix, local, ok := cutPrefix(name)
	if !ok {
		return s.bad(fmt.Sprintf("the element name in <%.40s", tag))
	}
	s.open = append(s.open, len(s.names))
	s.names = append(s.names, name...)
	s.attrs = s.attrs[:0]
	for rest = trimSpace(rest); len(rest) > 0; rest = trimSpace(rest) {
		var a attribute
		if a, rest, ok = cutAttribute(rest); !ok {
			return s.bad(fmt.Sprintf("an attribute of <%.40s", tag))
		}
		if a.value, err = s.plain(a.value, true); err != nil {
			return err
		}
		if err := s.bind(a); err != nil {
			return err
		}
		s.attrs = append(s.attrs, a)
	}
	s.local, s.space = local, s.namespace(prefix)
	return nil
}

// tag consumes a start tag and gives what stands between < and >, which a value in
// quotes may hold too.
func (s *scanner) tag() ([]byte, error) {
	quote := byte(0)
	for at := 1; ; at++ {
		rest := s.buf[s.pos:]
		if at >= len(rest) {
			var err error
			if rest, err = s.need(at + 1); err != nil {
				return nil, err
			} else if at >= len(rest) {
				return nil, s.bad("the text ends inside a tag")
			}
		}
		switch c := rest[at]; {
		case c == '<':
			return nil, s.bad("\"<\" inside a tag")
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '>':
			s.pos += at + 1
			return rest[1:at], nil
		}
	}
}

// bind takes an attribute that gives a prefix its namespace.
func (s *scanner) bind(a attribute) error {
	prefix := ""
	switch {
	case string(a.prefix) == "xmlns":
		prefix = string(a.local)
	case len(a.prefix) > 0 || string(a.local) != "xmlns":
		return nil
	}
	if len(s.bindings) == maxBindings {
		return s.bad(fmt.Sprintf("more than %d namespaces", maxBindings))
	}
	s.bindings = append(s.bindings, binding{prefix, string(a.value), len(s.open)})
	return nil
}

// namespace is what a prefix stands for here, the prefix itself when nothing bound it.
func (s *scanner) namespace(prefix []byte) string {
	for k := len(s.bindings) - 1; k >= 0; k-- {
		if s.bindings[k].prefix == string(prefix) {
			return s.bindings[k].uri
		}
	}
	return string(prefix)
}

// attr is the value of an attribute without prefix, nil when it is missing.
func (s *scanner) attr(name string) []byte {
	for k := range s.attrs {
		if a := &s.attrs[k]; len(a.prefix) == 0 && string(a.local) == name {
			return a.value
		}
	}
	return nil
}
