package artwork

import (
	"bytes"
	"fmt"
	"path"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/obj"
	"mouldwright/internal/base/format/ply"
	"mouldwright/internal/base/format/stl"
	"mouldwright/internal/base/format/threemf"
	"mouldwright/internal/base/mesh"
)

// Triangles is a list of triangles in space, counter-clockwise seen from outside,
// that is read in blocks so that a large file need not become a mesh first.
// *stl.Soup is one; OfMesh makes one of a mesh.
type Triangles interface {
	Count() int
	// Read copies triangles from number `from` on into dst and says how many; at
	// least one when from < Count(). Called from several goroutines at once.
	Read(dst [][3][3]float32, from int) int
}

// OfMesh gives the triangles of a mesh whose indices are in range.
func OfMesh(m *mesh.Mesh) Triangles { return meshTriangles{m} }

type meshTriangles struct{ m *mesh.Mesh }

func (t meshTriangles) Count() int { return len(t.m.T) }

func (t meshTriangles) Read(dst [][3][3]float32, from int) int {
	n := min(len(dst), len(t.m.T)-from)
	for k, i := range t.m.T[from : from+n] {
		dst[k] = [3][3]float32{t.m.V[i[0]], t.m.V[i[1]], t.m.V[i[2]]}
	}
	return n
}

// OpenMesh finds the triangles of an STL, OBJ, PLY or 3MF file for a top view. An
// STL is used as it lies in data; the other kinds are read as ReadMesh reads them.
func OpenMesh(name string, data []byte) (Triangles, error) {
	if kind, err := meshKind(name, data); err != nil {
		return nil, err
	} else if kind == "stl" {
		return stl.Open(name, data, format.Usual())
	}
	m, err := ReadMesh(name, data)
	if err != nil {
		return nil, err
	}
	return OfMesh(m), nil
}

// ReadMesh reads an STL, OBJ, PLY or 3MF file, told by its content where that is
// certain and else by its extension. Units are mm where the file names a unit (3MF);
// the other kinds have none and are taken as mm.
func ReadMesh(name string, data []byte) (*mesh.Mesh, error) {
	kind, err := meshKind(name, data)
	if err != nil {
		return nil, err
	}
	lim := format.Usual()
	switch kind {
	case "stl":
		return stl.Read(name, data, lim)
	case "obj":
		return obj.Read(name, data, lim)
	case "ply":
		return ply.Read(name, data, lim)
	}
	m, err := threemf.Read(name, data, lim)
	if err != nil {
		return nil, err
	}
	return m.Merged(), nil
}

func meshKind(name string, data []byte) (string, error) {
	ext := strings.ToLower(strings.TrimPrefix(path.Ext(name), "."))
	switch {
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return "3mf", nil
	case bytes.HasPrefix(data, []byte("ply\n")), bytes.HasPrefix(data, []byte("ply\r")):
		return "ply", nil
	}
	switch ext {
	case "stl", "obj", "ply", "3mf":
		return ext, nil
	}
	return "", &finding.Error{File: name, Found: fmt.Sprintf("a file of kind %q", ext),
		Allowed: "a mesh as .stl, .obj, .ply or .3mf", Do: "export the mesh in one of these kinds"}
}
