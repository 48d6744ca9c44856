// Package ply reads the triangles of PLY files, text and binary of either byte
// order: element "vertex" with x, y, z and element "face" with the list
// "vertex_indices" (or "vertex_index"). Other elements and properties are passed
// over. PLY has no unit; it is taken as mm.
//
//	bytes --readHeader--> header --Read--> mesh.Mesh
//
// Source of the layout: Greg Turk, The PLY Polygon File Format (1994).
package ply

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format"
	"mouldwright/internal/base/mesh"
)

// Read makes a mesh of a PLY file. Polygons become fans around their first corner,
// which is right for convex ones.
func Read(name string, data []byte, lim format.Limits) (*mesh.Mesh, error) {
	if err := lim.CheckBytes(name, int64(len(data))); err != nil {
		return nil, err
	}
	h, body, err := readHeader(name, data)
	if err != nil {
		return nil, err
	}
	r := &reader{name: name, lim: lim, m: &mesh.Mesh{}, src: newSource(h, body)}
	for _, e := range h.elements {
		if err := r.element(e); err != nil {
			return nil, err
		}
	}
	return r.m, lim.CheckCounts(name, len(r.m.V), len(r.m.T))
}

type reader struct {
	name string
	lim  format.Limits
	m    *mesh.Mesh
	src  source
}

func (r *reader) refuse(e element, k int, found, allowed string) error {
	return &finding.Error{File: r.name, Key: fmt.Sprintf("%s %d of %d", e.name, k+1, e.count), Found: found, Allowed: allowed,
		Do: "export the mesh again, if possible as 3MF"}
}

// element reads all items of one element. The count was only believed as far as the
// bytes left can hold that many items.
func (r *reader) element(e element) error {
	if int64(e.count)*int64(r.src.least(e)) > int64(r.src.left()) {
		return &finding.Error{File: r.name, Key: "element " + e.name,
			Found:   fmt.Sprintf("the header says %d of it, which take at least %d bytes, but %d bytes are left", e.count, int64(e.count)*int64(r.src.least(e)), r.src.left()),
			Allowed: "a count that the file holds", Do: "export or copy the mesh again: the file is cut short"}
	}
	vertex, face := e.name == "vertex", e.name == "face"
	x, y, z, list := e.scalar("x"), e.scalar("y"), e.scalar("z"), e.list("vertex_indices", "vertex_index")
	switch {
	case vertex && (x < 0 || y < 0 || z < 0):
		return &finding.Error{File: r.name, Key: "element vertex", Found: "no property x, y or z", Do: "export the mesh again"}
	case face && list < 0:
		return &finding.Error{File: r.name, Key: "element face", Found: "no list vertex_indices", Do: "export the mesh again"}
	case vertex && e.count > r.lim.Vertices:
		return r.lim.CheckCounts(r.name, e.count, 1)
	case len(e.properties) == 0:
		return nil
	}
	if vertex {
		r.m.V = make([][3]float32, 0, e.count)
	}
	var p [3]float32
	var ids []float64
	for k := range e.count {
		ids = ids[:0]
		for at, prop := range e.properties {
			n := 1
			if prop.isList {
				f, ok := r.src.next(prop.countKind)
				if !ok || f < 0 || f > math.MaxInt32 || f != math.Trunc(f) || (face && at == list && f > format.MaxCorners) {
					return r.refuse(e, k, fmt.Sprintf("a list of %g values", f), fmt.Sprintf("polygons of 3 to %d corners, in a file that is whole", format.MaxCorners))
				}
				n = int(f)
			}
			for range n {
				f, ok := r.src.next(prop.kind)
				if !ok {
					return r.refuse(e, k, fmt.Sprintf("the file ends or has no number at property %s", prop.name), "")
				}
				switch {
				case vertex && at == x:
					p[0] = float32(f)
				case vertex && at == y:
					p[1] = float32(f)
				case vertex && at == z:
					p[2] = float32(f)
				case face && at == list:
					ids = append(ids, f)
				}
			}
		}
		if vertex {
			if !format.Fits(p) {
				return format.BadCoord(r.name, 0, fmt.Sprintf("vertex %d of %d", k+1, e.count), p)
			}
			r.m.V = append(r.m.V, p)
		}
		if face {
			if err := r.fan(e, k, ids); err != nil {
				return err
			}
		}
	}
	return nil
}

// fan cuts one polygon into triangles around its first corner.
func (r *reader) fan(e element, k int, ids []float64) error {
	if len(ids) < 3 {
		return r.refuse(e, k, fmt.Sprintf("a polygon with %d corners", len(ids)), "3 or more")
	}
	for _, f := range ids {
		if !(f >= 0 && f < float64(len(r.m.V))) || f != math.Trunc(f) {
			return r.refuse(e, k, fmt.Sprintf("vertex number %g", f), fmt.Sprintf("0 to %d, the vertices standing before the faces", len(r.m.V)-1))
		}
	}
	for c := 2; c < len(ids); c++ {
		t := [3]uint32{uint32(ids[0]), uint32(ids[c-1]), uint32(ids[c])}
		if t[0] != t[1] && t[1] != t[2] && t[2] != t[0] {
			r.m.T = append(r.m.T, t)
		}
	}
	if len(r.m.T) > r.lim.Triangles {
		return r.lim.CheckCounts(r.name, 1, len(r.m.T))
	}
	return nil
}
