package threemf

import (
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"
)

// ours and theirs write a text's tokens in one way: what the scanner sees, and what
// the standard library's encoding/xml sees. Texts in pieces are joined.
func ours(r io.Reader) (string, error) {
	var b strings.Builder
	s := newScanner(r)
	for {
		kind, err := s.next()
		if err == io.EOF {
			return b.String(), nil
		}
		if err != nil {
			return "", err
		}
		switch kind {
		case startElement:
			fmt.Fprintf(&b, "\n<%q %q", s.space, s.local)
			for _, a := range s.attrs {
				fmt.Fprintf(&b, " %q=%q", a.local, a.value)
			}
			b.WriteString(">")
		case endElement:
			b.WriteString("\n</>")
		case textPiece:
			if len(s.open) > 0 {
				b.Write(s.text)
			}
		}
	}
}

func theirs(text string) (string, error) {
	var b strings.Builder
	d := xml.NewDecoder(strings.NewReader(text))
	depth := 0
	for {
		token, err := d.Token()
		if err == io.EOF {
			return b.String(), nil
		}
		if err != nil {
			return "", err
		}
		switch t := token.(type) {
		case xml.StartElement:
			depth++
			fmt.Fprintf(&b, "\n<%q %q", t.Name.Space, t.Name.Local)
			for _, a := range t.Attr {
				fmt.Fprintf(&b, " %q=%q", a.Name.Local, a.Value)
			}
			b.WriteString(">")
		case xml.EndElement:
			depth--
			b.WriteString("\n</>")
		case xml.CharData:
			if depth > 0 {
				b.Write(t)
			}
		}
	}
}

var scanned = []string{
	`<?xml version="1.0" encoding="utf-8"?><a/>`,
	"\ufeff<a>text</a>\n",
	`<a b="1" c='2"'  d = "&lt;&gt;&amp;&apos;&quot;&#65;&#x42;"/>`,
	"<a>x\r\ny\rz &amp; <![CDATA[<raw> &amp; \r\n]]> <!-- a comment > --> <?go on?></a >",
	`<p:a xmlns:p="urn:1"><b xmlns="urn:2"><p:c p:x="1"/><p:c xmlns:p="urn:3"/></b><b/><q:d/></p:a>`,
	`<a x="` + strings.Repeat("long ", 20000) + `">` + strings.Repeat("text ", 20000) + `</a>`,
	`<a>घर بيت</a>`,
}

// Any cut of the input into pieces gives the same tokens as encoding/xml.
func TestScannerSeesWhatEncodingXMLSees(t *testing.T) {
	for _, text := range scanned {
		want, err := theirs(text)
		if err != nil {
			t.Fatal(err)
		}
		want = strings.TrimPrefix(want, "\ufeff")
		for name, r := range map[string]io.Reader{
			"whole": strings.NewReader(text), "by halves": iotest.HalfReader(strings.NewReader(text)),
			"byte by byte": iotest.OneByteReader(strings.NewReader(text)), "with its end": iotest.DataErrReader(strings.NewReader(text)),
		} {
			if got, err := ours(r); err != nil || got != want {
				t.Errorf("%s, %.60q: got %.200q, %v; want %.200q", name, text, got, err, want)
			}
		}
	}
}

func TestScannerRefuses(t *testing.T) {
	for _, text := range []string{
		"", " ", "<", "<a", "<a>", "<a></b>", "</a>", "<a/><b/>", "<a/>x", "x<a/>", "<a b></a>", "<a b=1/>", `<a b="1/>`, `<a b="<"/>`,
		"<a>&x;</a>", "<a>&</a>", "<a>&#0;</a>", "<a>&#xD800;</a>", "<a>\x01</a>", "<a>\xff</a>", "<a>]]></a>", "<a><![CDATA[</a>",
		"<a><!-- -- --></a>", "<a><!-- </a>", "<!DOCTYPE a><a/>", `<?xml version="1.1"?><a/>`, `<?xml version="1.0" encoding="latin1"?><a/>`,
		"<1a/>", "<a:/>", "<:a/>", "<a:b:c/>", "<?", "<? ?><a/>", "<a " + strings.Repeat("x", maxToken) + "/>",
		"\xff\xfe<\x00a\x00/\x00>\x00", "<a" + strings.Repeat(` xmlns:x="y"`, maxBindings+1) + "/>",
	} {
		if got, err := ours(strings.NewReader(text)); err == nil {
			t.Errorf("%.60q was taken as %.60q", text, got)
		}
	}
}

// Whatever the scanner takes, encoding/xml takes too and sees the same in it.
func FuzzScanner(f *testing.F) {
	for _, text := range scanned {
		if len(text) < 1000 {
			f.Add(text)
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := ours(strings.NewReader(text))
		if err != nil {
			return
		}
		want, err := theirs(text)
		if err != nil {
			t.Fatalf("we see %q, encoding/xml says %v", got, err)
		}
		if got != want {
			t.Fatalf("we see %q, encoding/xml sees %q", got, want)
		}
	})
}
