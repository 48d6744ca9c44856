package threemf_test

import (
	"bytes"
	"context"
	"fmt"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/formattest"
	"mouldwright/internal/base/format/threemf"
)

// One box of 2 x 3 x 4 mm stands twice on a plate; the revision is read without the meshes.
func Example() {
	plate := &threemf.Model{
		Title:    "plate 1 of 1",
		Metadata: []threemf.Meta{{Name: threemf.Revision, Value: "16JD"}},
		Objects:  []threemf.Object{{Name: "peg", Mesh: formattest.Box([3]float32{0, 0, 0}, [3]float32{2, 3, 4})}},
		Items:    []threemf.Item{{Transform: threemf.Identity}, {Transform: threemf.Move(10, 0, 0)}},
	}
	var file bytes.Buffer
	if err := threemf.Write(context.Background(), &file, plate); err != nil {
		panic(err)
	}
	meta, err := threemf.ReadMetadata("plate.3mf", file.Bytes(), format.Usual())
	if err != nil {
		panic(err)
	}
	for _, m := range meta {
		if m.Name == threemf.Revision {
			fmt.Println("revision", m.Value)
		}
	}
	back, err := threemf.Read("plate.3mf", file.Bytes(), format.Usual())
	if err != nil {
		panic(err)
	}
	fmt.Println(len(back.Items), "items,", back.Merged().Volume(), "mm³")
	// Output:
	// revision 16JD
	// 2 items, 48 mm³
}
