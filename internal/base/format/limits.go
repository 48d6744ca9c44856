// Package format holds what the readers of mesh files (format/stl, obj, ply,
// threemf) share: how much they take in, and which coordinates they accept.
//
// A reader takes the whole file as bytes and the name a person knows it by, and
// returns a mesh.Mesh or a finding.Error that names the place. None of them trusts
// a count in a file: memory is only set aside for what the file's bytes can hold.
package format

import (
	"fmt"

	"mouldwright/internal/base/finding"
)

// MaxCorners is the most corners that one polygon of a mesh file may have (our choice:
// modellers write a dozen; a disk's rim some hundred).
const MaxCorners = 1024

// Limits bounds what one mesh file may ask for.
type Limits struct {
	Bytes     int64 // of the file, and of everything unpacked from it
	Vertices  int
	Triangles int // after polygons are cut into triangles and instances are placed
}

// Usual is room for ten-million-triangle scans: 1 GiB of bytes, 30 million
// vertices, 20 million triangles.
func Usual() Limits { return Limits{Bytes: 1 << 30, Vertices: 30e6, Triangles: 20e6} }

// MaxCoord is the largest coordinate taken, in the file's own unit (our choice: ten million is
// ten kilometres of millimetres: no art, but a sign of a broken or hostile file, and
// its neighbours would already be more than half a millimetre apart in float32).
const MaxCoord = 1e7

// Fits reports whether all three coordinates are finite and within MaxCoord.
func Fits(p [3]float32) bool {
	ok := func(c float32) bool { return c >= -MaxCoord && c <= MaxCoord } // false for NaN
	return ok(p[0]) && ok(p[1]) && ok(p[2])
}

// BadCoord is the refusal of a vertex that does not fit.
func BadCoord(name string, line int, key string, p [3]float32) error {
	return &finding.Error{File: name, Line: line, Key: key,
		Found:   fmt.Sprintf("a corner at (%g, %g, %g)", p[0], p[1], p[2]),
		Allowed: fmt.Sprintf("finite coordinates between -%g and %g", float64(MaxCoord), float64(MaxCoord)),
		Do:      "repair the mesh in the program it comes from and export it again"}
}

// CheckBytes refuses an empty file and one that is larger than the limit.
func (l Limits) CheckBytes(name string, n int64) error {
	if n == 0 {
		return &finding.Error{File: name, Found: "the file is empty", Do: "export the mesh again"}
	}
	if n > l.Bytes {
		return &finding.Error{File: name, Found: fmt.Sprintf("the file has %d bytes", n),
			Allowed: fmt.Sprintf("at most %d bytes", l.Bytes), Do: "reduce the mesh to fewer triangles"}
	}
	return nil
}

// CheckCounts refuses a mesh without triangles or with more of anything than the
// limit. Counts that are not known yet are passed as 1.
func (l Limits) CheckCounts(name string, vertices, triangles int) error {
	switch {
	case triangles == 0:
		return &finding.Error{File: name, Found: "the mesh has no triangles", Allowed: "at least one",
			Do: "export a surface, not only points or lines"}
	case triangles > l.Triangles:
		return &finding.Error{File: name, Found: fmt.Sprintf("the mesh has %d triangles or more", triangles),
			Allowed: fmt.Sprintf("at most %d", l.Triangles), Do: "reduce the mesh to fewer triangles"}
	case vertices > l.Vertices:
		return &finding.Error{File: name, Found: fmt.Sprintf("the mesh has %d vertices or more", vertices),
			Allowed: fmt.Sprintf("at most %d", l.Vertices), Do: "reduce the mesh to fewer vertices"}
	}
	return nil
}
