package stl

import (
	"bytes"
	"fmt"
	"strconv"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format"
)

// parseText reads the text kind: "facet normal ... outer loop vertex x y z (three
// times) endloop endfacet", several solids joined. Normals are not read: the order
// of the corners says which side is outside. Words may stand on any line.
func parseText(name string, data []byte, lim format.Limits) ([][3]corner, error) {
	var out [][3]corner
	var t [3]corner
	k, open := 0, false // corners of the open facet
	line := 0
	refuse := func(found, allowed string) error {
		return &finding.Error{File: name, Line: line, Found: found, Allowed: allowed,
			Do: "export the mesh again, if possible as a binary STL"}
	}
	for len(data) > 0 {
		var row []byte
		if end := bytes.IndexByte(data, '\n'); end >= 0 {
			row, data = data[:end], data[end+1:]
		} else {
			row, data = data, nil
		}
		line++
		word, rest := nextWord(row)
		if line == 1 && bytes.HasPrefix(word, []byte("\ufeff")) {
			word = word[3:]
		}
		switch {
		case is(word, "vertex"):
			if !open || k == 3 {
				return nil, refuse("a vertex outside a facet of three", "three vertices between \"facet\" and \"endfacet\"")
			}
			for c := range 3 {
				word, rest = nextWord(rest)
				v, err := strconv.ParseFloat(string(word), 32)
				if err != nil {
					return nil, refuse(fmt.Sprintf("%q where a coordinate should stand", clip(word)), "vertex x y z, three numbers")
				}
				t[k][c] = float32(v)
			}
			if !format.Fits(t[k]) {
				return nil, format.BadCoord(name, line, "vertex", t[k])
			}
			k++
		case is(word, "facet"):
			if open {
				return nil, refuse("a facet inside a facet", "\"endfacet\" before the next \"facet\"")
			}
			open, k = true, 0
		case is(word, "endfacet"):
			if !open || k != 3 {
				return nil, refuse(fmt.Sprintf("a facet with %d vertices", k), "3 vertices")
			}
			open = false
			if out = append(out, t); len(out) > lim.Triangles {
				return nil, lim.CheckCounts(name, 1, len(out))
			}
		case len(word) == 0, is(word, "outer"), is(word, "endloop"), is(word, "solid"), is(word, "endsolid"):
		default:
			return nil, refuse(fmt.Sprintf("the word %q", clip(word)),
				"solid, facet, outer loop, vertex, endloop, endfacet, endsolid")
		}
	}
	if open {
		return nil, refuse("the file ends inside a facet", "")
	}
	return out, lim.CheckCounts(name, 1, len(out))
}

func nextWord(b []byte) (word, rest []byte) {
	b = bytes.TrimLeft(b, " \t\r\v\f")
	end := bytes.IndexAny(b, " \t\r\v\f")
	if end < 0 {
		return b, nil
	}
	return b[:end], b[end:]
}

func is(word []byte, s string) bool { return len(word) == len(s) && bytes.EqualFold(word, []byte(s)) }

// clip keeps a quoted word of a foreign file short.
func clip(b []byte) []byte { return b[:min(len(b), 40)] }
