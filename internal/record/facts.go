package record

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image"
	_ "image/jpeg" // its size is told
	_ "image/png"  // likewise
	"io"
	"maps"
	"path"
	"slices"
	"strings"

	"mouldwright/internal/flow"
)

// Facts about an input file, a line each, "key: value", kept so that a later revision can
// tell in words what changed in it: of a picture its pixels, of a drawing its size and
// shapes, of the name list its rows.
const (
	maxFacts   = 256 << 10
	maxRows    = 5000
	maxDrawing = 32 << 20
)

// factsOf reads what can be told of a file; nothing where it is of no kind that is known
// here, or cannot be read.
func factsOf(name string, data []byte) string {
	var out []string
	switch strings.ToLower(path.Ext(name)) {
	case ".png", ".jpg", ".jpeg":
		if c, kind, err := image.DecodeConfig(bytes.NewReader(data)); err == nil {
			out = append(out, fmt.Sprintf("pixels: %d x %d, %s", c.Width, c.Height, kind))
		}
	case ".svg":
		out = drawingFacts(data)
	}
	s := strings.Join(out, "\n")
	if len(s) > maxFacts {
		return ""
	}
	return s
}

// drawingFacts counts the shapes of an SVG and reads its size.
func drawingFacts(data []byte) (out []string) {
	if len(data) > maxDrawing {
		return nil
	}
	shapes := map[string]int{}
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		t, err := d.Token()
		if err == io.EOF {
			break
		} else if err != nil {
			return nil
		}
		e, ok := t.(xml.StartElement)
		if !ok {
			continue
		}
		switch n := e.Name.Local; n {
		case "svg":
			for _, a := range e.Attr {
				if n := a.Name.Local; len(out) < 3 && (n == "width" || n == "height" || n == "viewBox") && len(a.Value) < 80 {
					out = append(out, n+": "+strings.Join(strings.Fields(a.Value), " "))
				}
			}
		case "path", "circle", "ellipse", "rect", "line", "polyline", "polygon", "text", "image":
			shapes[n]++
			if n == "path" {
				for _, a := range e.Attr {
					if a.Name.Local == "d" {
						shapes["subpath"] += strings.Count(strings.ToLower(a.Value), "m")
					}
				}
			}
		}
	}
	for _, n := range []string{"path", "subpath", "circle", "ellipse", "rect", "line", "polyline", "polygon", "text", "image"} {
		if shapes[n] > 0 {
			out = append(out, fmt.Sprintf("%ss: %d", n, shapes[n]))
		}
	}
	return out
}

// listFacts is the rows of the name list, by the names that they are told apart by.
func listFacts(rows []flow.Row) string {
	oneLine := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	var out []string
	for _, row := range rows[:min(len(rows), maxRows)] {
		for _, key := range slices.Sorted(maps.Keys(row.Vars)) {
			if v := oneLine(row.Vars[key]); v != "" && v != oneLine(row.Label) {
				out = append(out, fmt.Sprintf("%s, %s: %s", oneLine(row.Label), oneLine(key), v))
			}
		}
	}
	s := strings.Join(out, "\n")
	if len(s) > maxFacts {
		return ""
	}
	return s
}

// inputFiles is every file that an input is made of, by name: those of the art, and the
// name list.
func inputFiles(in *flow.Input) map[string]File {
	out := map[string]File{}
	for name, data := range in.Files {
		out[name] = File{Role: "input", Name: name, SHA256: digestOf(data), Bytes: len(data), Facts: factsOf(name, data)}
	}
	if f, there := out[in.Choices.Names.File]; there {
		f.Facts = listFacts(in.Rows)
		out[f.Name] = f
	}
	return out
}

// factChanges tells what differs between the facts of a file, but for rows of names that
// came or went: those are told by their names.
func factChanges(from, to string, cameOrWent map[string]bool) (out []string) {
	skip := func(key string) bool {
		who, _, ok := strings.Cut(key, ", ")
		return ok && cameOrWent[who]
	}
	read := func(s string) (keys []string, m map[string]string) {
		m = map[string]string{}
		for l := range strings.SplitSeq(s, "\n") {
			if k, v, ok := strings.Cut(l, ": "); ok {
				keys, m[k] = append(keys, k), v
			}
		}
		return keys, m
	}
	fromKeys, was := read(from)
	toKeys, is := read(to)
	for _, k := range toKeys {
		switch w, had := was[k]; {
		case skip(k):
		case !had:
			out = append(out, fmt.Sprintf("%s none -> %s", k, is[k]))
		case w != is[k]:
			out = append(out, fmt.Sprintf("%s %s -> %s", k, w, is[k]))
		}
	}
	for _, k := range fromKeys {
		if _, still := is[k]; !still && !skip(k) {
			out = append(out, fmt.Sprintf("%s %s -> none", k, was[k]))
		}
	}
	if n := len(out) - mostFacts; n > 0 {
		out = append(out[:mostFacts], fmt.Sprintf("and %d more", n))
	}
	return out
}

// mostFacts bounds what is told of one file.
const mostFacts = 12
