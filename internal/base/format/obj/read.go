// Package obj reads the triangles of Wavefront OBJ files: lines "v x y z" and
// "f i j k ...", whose indices count from 1, or from -1 backwards. Texture and normal
// indices, groups, materials, lines and curves are passed over. OBJ has no unit; it
// is taken as mm.
//
//	bytes --Read--> mesh.Mesh
package obj

import (
	"bytes"
	"fmt"
	"strconv"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format"
	"mouldwright/internal/base/mesh"
)

// Read makes a mesh of an OBJ file. Polygons become fans around their first corner,
// which is right for convex ones.
func Read(name string, data []byte, lim format.Limits) (*mesh.Mesh, error) {
	if err := lim.CheckBytes(name, int64(len(data))); err != nil {
		return nil, err
	}
	r := reader{name: name, lim: lim}
	for len(data) > 0 && r.err == nil {
		var row []byte
		row, data = r.nextRow(data)
		word, rest := nextWord(row)
		switch string(word) {
		case "v":
			r.vertex(rest)
		case "f", "fo": // fo: an old spelling of f
			r.face(rest)
		}
	}
	if r.err != nil {
		return nil, r.err
	}
	return &r.m, lim.CheckCounts(name, len(r.m.V), len(r.m.T))
}

type reader struct {
	name string
	lim  format.Limits
	m    mesh.Mesh
	line int
	next int // line number after this row
	err  error
}

// nextRow cuts one line, joined with the next ones while it ends in a backslash, and
// without its comment.
func (r *reader) nextRow(data []byte) (row, rest []byte) {
	r.line = r.next + 1
	for {
		part := data
		if end := bytes.IndexByte(data, '\n'); end >= 0 {
			part, data = data[:end], data[end+1:]
		} else {
			data = nil
		}
		r.next++
		part = bytes.TrimRight(part, " \t\r")
		more := bytes.HasSuffix(part, []byte("\\"))
		if more {
			part = append(bytes.Clone(part[:len(part)-1]), ' ')
		}
		if row == nil {
			row = part
		} else {
			row = append(row, part...)
		}
		if !more || len(data) == 0 {
			break
		}
	}
	if c := bytes.IndexByte(row, '#'); c >= 0 {
		row = row[:c]
	}
	return row, data
}

func (r *reader) refuse(found, allowed string) {
	r.err = &finding.Error{File: r.name, Line: r.line, Found: found, Allowed: allowed,
		Do: "export the mesh again, if possible as 3MF"}
}

func (r *reader) vertex(rest []byte) {
	var p [3]float32
	for c := range 3 {
		var word []byte
		word, rest = nextWord(rest)
		v, err := strconv.ParseFloat(string(word), 32)
		if err != nil {
			r.refuse(fmt.Sprintf("%q where a coordinate should stand", clip(word)), "v x y z, three numbers")
			return
		}
		p[c] = float32(v)
	}
	if !format.Fits(p) {
		r.err = format.BadCoord(r.name, r.line, "v", p)
		return
	}
	if r.m.V = append(r.m.V, p); len(r.m.V) > r.lim.Vertices {
		r.err = r.lim.CheckCounts(r.name, len(r.m.V), 1)
	}
}

func (r *reader) face(rest []byte) {
	var first, last uint32
	for corners := 0; ; corners++ {
		var word []byte
		if word, rest = nextWord(rest); len(word) == 0 {
			if corners < 3 {
				r.refuse(fmt.Sprintf("a polygon with %d corners", corners), "3 or more")
			}
			return
		}
		if corners == format.MaxCorners {
			r.refuse(fmt.Sprintf("a polygon with more than %d corners", format.MaxCorners), fmt.Sprintf("3 to %d", format.MaxCorners))
			return
		}
		id, ok := r.index(word)
		if !ok {
			return
		}
		switch {
		case corners == 0:
			first = id
		case corners > 1 && first != last && last != id && id != first:
			if r.m.T = append(r.m.T, [3]uint32{first, last, id}); len(r.m.T) > r.lim.Triangles {
				r.err = r.lim.CheckCounts(r.name, len(r.m.V), len(r.m.T))
				return
			}
		}
		last = id
	}
}

// index reads the vertex number of "7", "7/1", "7//2" or "-1/2/3".
func (r *reader) index(word []byte) (uint32, bool) {
	if s := bytes.IndexByte(word, '/'); s >= 0 {
		word = word[:s]
	}
	i, err := strconv.Atoi(string(word))
	n := len(r.m.V)
	if i < 0 {
		i += n + 1
	}
	if err != nil || i < 1 || i > n {
		r.refuse(fmt.Sprintf("the vertex number %q", clip(word)), fmt.Sprintf("1 to %d, or -%d to -1: vertices named so far", n, n))
		return 0, false
	}
	return uint32(i - 1), true
}

func nextWord(b []byte) (word, rest []byte) {
	b = bytes.TrimLeft(b, " \t\r\v\f")
	end := bytes.IndexAny(b, " \t\r\v\f")
	if end < 0 {
		return b, nil
	}
	return b[:end], b[end:]
}

// clip keeps a quoted word of a foreign file short.
func clip(b []byte) []byte { return b[:min(len(b), 40)] }
