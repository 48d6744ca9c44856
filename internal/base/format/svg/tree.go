package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"mouldwright/internal/base/finding"
)

// node is one element. Elements of other namespaces (editors' notes, metadata) are
// not kept.
type node struct {
	name         string            // local name
	attr         map[string]string // by local name, trimmed; href stands for xlink:href too
	kids         []*node
	text         string // of a style element
	line, column int
}

const (
	svgSpace   = "http://www.w3.org/2000/svg"
	xlinkSpace = "http://www.w3.org/1999/xlink"
)

// readTree reads the file into elements, within the limits.
func readTree(name string, data []byte) (*node, error) {
	if len(data) > MaxBytes {
		return nil, &finding.Error{File: name, Found: fmt.Sprintf("%d bytes", len(data)),
			Allowed: fmt.Sprintf("at most %d bytes", MaxBytes), Do: "simplify the drawing, or remove embedded images"}
	}
	if bytes.HasPrefix(data, []byte{0x1f, 0x8b}) {
		return nil, &finding.Error{File: name, Found: "a compressed SVG (gzip)", Allowed: "plain SVG",
			Do: "unpack it, or save the drawing as plain SVG"}
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if len(bytes.TrimSpace(data)) == 0 {
		return nil, &finding.Error{File: name, Found: "an empty file", Allowed: "an SVG drawing", Do: "save the drawing again"}
	}

	dec := xml.NewDecoder(bytes.NewReader(data))
	dec.CharsetReader = charset
	r := treeReader{name: name, dec: dec}
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, r.broken(err)
		}
		if err := r.take(tok); err != nil {
			return nil, err
		}
	}
	if r.root == nil {
		return nil, &finding.Error{File: name, Found: "no <svg> element", Allowed: "an SVG drawing", Do: "check that the file is the one you meant"}
	}
	return r.root, nil
}

type treeReader struct {
	name  string
	dec   *xml.Decoder
	root  *node
	open  []*node // nil for an element of another namespace
	count int
}

func (r *treeReader) take(tok xml.Token) error {
	switch t := tok.(type) {
	case xml.Directive:
		if bytes.ContainsRune(t, '[') || bytes.Contains(bytes.ToUpper(t), []byte("ENTITY")) {
			return r.refuse("a document type with definitions of its own (entities)", "no definitions", "save the drawing as plain SVG")
		}
	case xml.StartElement:
		return r.start(t)
	case xml.EndElement:
		r.open = r.open[:len(r.open)-1]
	case xml.CharData:
		if len(r.open) > 0 {
			if n := r.open[len(r.open)-1]; n != nil && n.name == "style" {
				n.text += string(t)
			}
		}
	}
	return nil
}

func (r *treeReader) start(t xml.StartElement) error {
	r.count++
	if r.count > MaxElements {
		return r.refuse("too many elements", fmt.Sprintf("at most %d", MaxElements), "simplify the drawing")
	}
	if len(r.open) >= MaxDepth {
		return r.refuse("elements nested too deeply", fmt.Sprintf("at most %d levels", MaxDepth), "ungroup the drawing")
	}
	var parent *node
	if len(r.open) > 0 {
		parent = r.open[len(r.open)-1]
	}
	ours := (t.Name.Space == svgSpace || t.Name.Space == "") && (parent != nil || len(r.open) == 0)
	if len(r.open) == 0 && (!ours || t.Name.Local != "svg") {
		return r.refuse("the outermost element is <"+clip(t.Name.Local)+">", "<svg>", "check that the file is an SVG drawing")
	}
	if !ours {
		r.open = append(r.open, nil)
		return nil
	}
	n := &node{name: t.Name.Local}
	n.line, n.column = r.dec.InputPos()
	for _, a := range t.Attr {
		if a.Name.Space != "" && !(a.Name.Local == "href" && (a.Name.Space == xlinkSpace || a.Name.Space == "xlink")) {
			continue
		}
		if a.Name.Local == "href" && a.Name.Space != "" && n.attr["href"] != "" {
			continue // plain href wins over xlink:href (SVG 2, 16.1.5)
		}
		if n.attr == nil {
			n.attr = make(map[string]string, len(t.Attr))
		}
		n.attr[a.Name.Local] = strings.TrimSpace(a.Value)
	}
	if parent != nil {
		parent.kids = append(parent.kids, n)
	} else {
		r.root = n
	}
	r.open = append(r.open, n)
	return nil
}

func (r *treeReader) refuse(found, allowed, do string) error {
	line, col := r.dec.InputPos()
	return &finding.Error{File: r.name, Line: line, Column: col, Found: found, Allowed: allowed, Do: do}
}

// broken words an error of the XML decoder.
func (r *treeReader) broken(err error) error {
	line, col := r.dec.InputPos()
	e := &finding.Error{File: r.name, Line: line, Column: col, Found: "not well-formed XML", Err: err, Do: "save the drawing again as plain SVG"}
	var syn *xml.SyntaxError
	if errors.As(err, &syn) {
		e.Line, e.Column, e.Err = syn.Line, 0, errors.New(clip(syn.Msg))
		if strings.Contains(syn.Msg, "entity") {
			e.Allowed = "only the five entities that every XML file has (&amp; &lt; &gt; &quot; &apos;)"
		}
	}
	return e
}

// clip shortens foreign text for a message and makes it printable.
func clip(s string) string {
	const limit = 60
	s = strings.ToValidUTF8(s, "?")
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, s)
	if utf8.RuneCountInString(s) > limit {
		return string([]rune(s)[:limit]) + "..."
	}
	return s
}

// charset decodes the encodings that drawing programs declare beside UTF-8.
func charset(label string, in io.Reader) (io.Reader, error) {
	switch strings.ToLower(label) {
	case "utf-8", "utf8", "us-ascii", "ascii":
		return in, nil
	case "iso-8859-1", "latin1":
		raw, err := io.ReadAll(in)
		if err != nil {
			return nil, err
		}
		out := make([]byte, 0, len(raw)+len(raw)/8)
		for _, b := range raw {
			out = utf8.AppendRune(out, rune(b))
		}
		return bytes.NewReader(out), nil
	}
	return nil, fmt.Errorf("encoding %q is not read; save the drawing in UTF-8", clip(label))
}
