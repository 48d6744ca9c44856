// Package threemf writes and reads 3MF files: meshes with names, instances, unit and
// metadata in one ZIP archive (3MF Core Specification 1.4.0, 3MF Consortium).
//
//	Model --Write--> 3MF bytes   (millimetres, byte-identical on any number of cores)
//	3MF bytes --Read--> Model    (any unit, turned into millimetres)
//	3MF bytes --ReadMetadata--> []Meta   (the revision, without reading the meshes)
//	Model --Merged--> mesh.Mesh  (all instances in their places)
package threemf

import (
	"math"

	"mouldwright/internal/base/mesh"
)

// Model is what one file holds.
type Model struct {
	Title       string // "" leaves it out
	Application string // the program that wrote the file, with its version; "" is Mouldwright
	Metadata    []Meta // beside those two, in the order they are written
	Objects     []Object
	Items       []Item // what stands on the plate
}

// Meta is one named text. Name is one of the core's own (Designer, Description,
// Copyright, LicenseTerms, Rating, CreationDate, ModificationDate) or Revision.
type Meta struct{ Name, Value string }

// Names of metadata. A name that the core does not list must carry a namespace.
const (
	Revision  = Prefix + ":Revision" // the short code of the job's revision
	Prefix    = "mw"
	Namespace = "urn:mouldwright:3mf:1"
)

// Object is a mesh that items place any number of times. It must be a closed,
// oriented 2-manifold: every edge shared by exactly two triangles that run along it
// in opposite directions, normals outward (core specification, 4.1).
type Object struct {
	Name string
	Mesh *mesh.Mesh
}

// Item is one instance of an object on the plate.
type Item struct {
	Object     int // index into Objects
	Transform  Transform
	PartNumber string // "" leaves it out
}

// Transform is an affine map in the order of the file's attribute: a point (x, y, z, 1)
// as a row times the 4x3 matrix m00 m01 m02, m10 m11 m12, m20 m21 m22, m30 m31 m32. The
// last three are the shift in mm.
type Transform [12]float64

// Identity leaves everything in place, by definition.
var Identity = Transform{0: 1, 4: 1, 8: 1}

// Move shifts by (x, y, z) mm.
func Move(x, y, z float64) Transform { return Transform{1, 0, 0, 0, 1, 0, 0, 0, 1, x, y, z} }

// Then is the map that does t first and u after it.
func (t Transform) Then(u Transform) Transform {
	var r Transform
	for row := range 4 {
		for col := range 3 {
			r[3*row+col] = t[3*row]*u[col] + t[3*row+1]*u[3+col] + t[3*row+2]*u[6+col]
			if row == 3 {
				r[3*row+col] += u[9+col]
			}
		}
	}
	return r
}

// Apply moves a point.
func (t Transform) Apply(p [3]float32) [3]float32 {
	x, y, z := float64(p[0]), float64(p[1]), float64(p[2])
	return [3]float32{
		float32(x*t[0] + y*t[3] + z*t[6] + t[9]),
		float32(x*t[1] + y*t[4] + z*t[7] + t[10]),
		float32(x*t[2] + y*t[5] + z*t[8] + t[11]),
	}
}

// det is the determinant of the linear part: negative for a mirror, NaN for
// anything that is not finite.
func (t Transform) det() float64 {
	for _, v := range t {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return math.NaN()
		}
	}
	return t[0]*(t[4]*t[8]-t[5]*t[7]) - t[1]*(t[3]*t[8]-t[5]*t[6]) + t[2]*(t[3]*t[7]-t[4]*t[6])
}

// Merged is all items as one mesh in mm, each in its place; a mirrored one keeps its
// outside outside.
func (m *Model) Merged() *mesh.Mesh {
	out := &mesh.Mesh{}
	for _, item := range m.Items {
		src, base := m.Objects[item.Object].Mesh, uint32(len(out.V))
		for _, p := range src.V {
			out.V = append(out.V, item.Transform.Apply(p))
		}
		mirrored := item.Transform.det() < 0
		for _, t := range src.T {
			if mirrored {
				t[1], t[2] = t[2], t[1]
			}
			out.T = append(out.T, [3]uint32{base + t[0], base + t[1], base + t[2]})
		}
	}
	return out
}
