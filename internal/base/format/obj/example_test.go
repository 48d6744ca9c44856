package obj_test

import (
	"fmt"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/obj"
)

// The tetrahedron at a cube's corner: a sixth of 3 x 3 x 3 mm is 4.5 mm³.
func ExampleRead() {
	file := `
v 0 0 0
v 3 0 0
v 0 3 0
v 0 0 3
f 1 3 2
f 1 2 4
f 1 4 3
f 2 3 4
`
	m, err := obj.Read("corner.obj", []byte(file), format.Usual())
	if err != nil {
		panic(err)
	}
	fmt.Println(len(m.T), "triangles,", m.Volume(), "mm³")
	// Output: 4 triangles, 4.5 mm³
}
