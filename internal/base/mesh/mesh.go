// Package mesh turns height fields into closed triangle meshes and judges meshes.
//
//	field.Field + outline --Relief--> Sheet      (a surface single-valued over the plane)
//	rings               --Plane---> Sheet        (flat or linearly inclined between rings)
//	Sheets + walls      --Builder-> Mesh         (welded, closed, oriented)
//
// A tile of a master is a Builder that gets the plane between the pieces, each
// piece's Sheet moved to its place, the walls along the tile's outline, and the
// underside. Sheets meet exactly because they share the points of their rings.
package mesh

// Mesh is a triangle mesh in mm: T indexes V, counter-clockwise seen from outside.
type Mesh struct {
	V [][3]float32
	T [][3]uint32
}

// Ring3 is a closed polyline in space, the last point joined to the first;
// counter-clockwise seen from above around a sheet, clockwise around its hole.
type Ring3 [][3]float32

// Sheet is an open surface that is single-valued over the plane, its triangles
// counter-clockwise seen from above. Rings are its whole boundary.
// Vertices are mm.
type Sheet struct {
	V     [][3]float32
	T     [][3]uint32
	Rings []Ring3
}
