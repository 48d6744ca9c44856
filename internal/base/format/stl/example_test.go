package stl_test

import (
	"bytes"
	"fmt"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/formattest"
	"mouldwright/internal/base/format/stl"
)

// A binary STL of n triangles has 84 + 50 n bytes; read again, its corners are welded, and
// the box of 2 x 3 x 4 mm is closed as before.
func Example() {
	box := formattest.Box([3]float32{0, 0, 0}, [3]float32{2, 3, 4})
	var file bytes.Buffer
	if err := stl.Write(&file, box, "a box"); err != nil {
		panic(err)
	}
	fmt.Println(file.Len(), "bytes, headed", stl.Header(file.Bytes()))

	m, err := stl.Read("box.stl", file.Bytes(), format.Usual())
	if err != nil {
		panic(err)
	}
	fmt.Println(len(m.V), "vertices,", m.Volume(), "mm³")
	// Output:
	// 684 bytes, headed a box
	// 8 vertices, 24 mm³
}
