package ply

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"mouldwright/internal/base/finding"
)

type header struct {
	layout   string // ascii, binary_little_endian, binary_big_endian
	elements []element
}

type element struct {
	name       string
	count      int
	properties []property
}

type property struct {
	name      string
	kind      string // a key of sizes
	isList    bool
	countKind string
}

// sizes in bytes of the number kinds, under both of their names (by definition of the
// format).
var sizes = map[string]int{
	"char": 1, "uchar": 1, "short": 2, "ushort": 2, "int": 4, "uint": 4, "float": 4, "double": 8,
	"int8": 1, "uint8": 1, "int16": 2, "uint16": 2, "int32": 4, "uint32": 4, "float32": 4, "float64": 8,
}

// maxHeaderLines, maxProperties bound what a header may declare (our choice: files in
// use have a few dozen).
const (
	maxHeaderLines = 1000
	maxProperties  = 256
	maxCount       = 1 << 31
)

func (e element) scalar(name string) int {
	return slices.IndexFunc(e.properties, func(p property) bool { return p.name == name && !p.isList })
}

func (e element) list(names ...string) int {
	return slices.IndexFunc(e.properties, func(p property) bool { return p.isList && slices.Contains(names, p.name) })
}

// readHeader reads the lines up to end_header and returns the bytes after it.
func readHeader(name string, data []byte) (h header, body []byte, err error) {
	line := 0
	refuse := func(found, allowed string) (header, []byte, error) {
		return header{}, nil, &finding.Error{File: name, Line: line, Found: found, Allowed: allowed,
			Do: "export the mesh again, or check that the file is a PLY"}
	}
	for {
		var row []byte
		end := bytes.IndexAny(data[:min(len(data), 4096)], "\r\n")
		if end < 0 || line == maxHeaderLines {
			return refuse("the header does not end", "end_header on a line of its own")
		}
		row = data[:end]
		if data[end] == '\r' && end+1 < len(data) && data[end+1] == '\n' {
			end++
		}
		data = data[end+1:]
		line++
		words := strings.Fields(string(row))
		if line == 1 {
			if len(words) != 1 || words[0] != "ply" {
				return refuse("the file does not begin with \"ply\"", "")
			}
			continue
		}
		if len(words) == 0 || words[0] == "comment" || words[0] == "obj_info" {
			continue
		}
		last := len(h.elements) - 1
		switch {
		case words[0] == "end_header":
			if h.layout == "" {
				return refuse("no line \"format\"", "ascii, binary_little_endian or binary_big_endian 1.0")
			}
			return h, data, nil
		case words[0] == "format" && len(words) == 3 && words[2] == "1.0" &&
			slices.Contains([]string{"ascii", "binary_little_endian", "binary_big_endian"}, words[1]):
			h.layout = words[1]
		case words[0] == "element" && len(words) == 3:
			n, err := strconv.ParseInt(words[2], 10, 64)
			if err != nil || n < 0 || n >= maxCount {
				return refuse(fmt.Sprintf("the count %.40q", words[2]), fmt.Sprintf("0 to %d", maxCount-1))
			}
			if slices.ContainsFunc(h.elements, func(e element) bool { return e.name == words[1] }) {
				return refuse(fmt.Sprintf("a second element %.40q", words[1]), "each element once")
			}
			h.elements = append(h.elements, element{name: words[1], count: int(n)})
		case words[0] == "property" && last >= 0 && len(h.elements[last].properties) < maxProperties &&
			len(words) == 3 && sizes[words[1]] > 0:
			h.elements[last].properties = append(h.elements[last].properties, property{name: words[2], kind: words[1]})
		case words[0] == "property" && last >= 0 && len(h.elements[last].properties) < maxProperties &&
			len(words) == 5 && words[1] == "list" && sizes[words[2]] > 0 && sizes[words[3]] > 0:
			h.elements[last].properties = append(h.elements[last].properties,
				property{name: words[4], kind: words[3], isList: true, countKind: words[2]})
		default:
			return refuse(fmt.Sprintf("the header line %.60q", row), "format, element, property, comment, end_header as the format has them")
		}
	}
}
