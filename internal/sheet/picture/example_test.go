package picture_test

import (
	"bytes"
	"context"
	"fmt"
	"image/png"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/sheet/picture"
)

// A dome of dark chocolate from straight above, on white paper: the picture is as large as
// asked, and dark in the middle.
func ExampleChocolate() {
	disc := geom.Circle(15)
	dome, err := field.SignedDistance(context.Background(), field.Around(disc.Bounds(), 0.1), disc, 8)
	if err != nil {
		panic(err)
	}
	dome.Clamp(0, 8)
	m, err := picture.Chocolate(context.Background(), dome, disc, picture.Dark, picture.Look{SizePx: 200, View: picture.Above, Ground: picture.Blank})
	if err != nil {
		panic(err)
	}
	var file bytes.Buffer
	if err := picture.WritePNG(&file, m); err != nil {
		panic(err)
	}
	back, err := png.Decode(&file)
	if err != nil {
		panic(err)
	}
	size := back.Bounds()
	middle, _, _, _ := back.At(size.Dx()/2, size.Dy()/2).RGBA()
	corner, _, _, _ := back.At(0, 0).RGBA()
	fmt.Println(size.Dx(), "px; middle dark:", middle < 0x8000, "; corner white:", corner > 0xf000)
	// Output: 200 px; middle dark: true ; corner white: true
}
