package ply_test

import (
	"fmt"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/ply"
)

// The tetrahedron at a cube's corner: a sixth of 3 x 3 x 3 mm is 4.5 mm³.
func ExampleRead() {
	file := `ply
format ascii 1.0
element vertex 4
property float x
property float y
property float z
element face 4
property list uchar int vertex_indices
end_header
0 0 0
3 0 0
0 3 0
0 0 3
3 0 2 1
3 0 1 3
3 0 3 2
3 1 2 3
`
	m, err := ply.Read("corner.ply", []byte(file), format.Usual())
	if err != nil {
		panic(err)
	}
	fmt.Println(len(m.T), "triangles,", m.Volume(), "mm³")
	// Output: 4 triangles, 4.5 mm³
}
