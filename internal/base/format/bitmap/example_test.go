package bitmap_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"

	"mouldwright/internal/base/format/bitmap"
)

// A grey pixel keeps the value that the file stores. Pure green has 0.7152 of white's
// luminance (ITU-R BT.709), which the sRGB curve encodes as 1.055·0.7152^(1/2.4) - 0.055 = 0.862.
func ExampleRead() {
	two := image.NewRGBA(image.Rect(0, 0, 2, 1))
	two.Set(0, 0, color.Gray{Y: 51})
	two.Set(1, 0, color.RGBA{G: 255, A: 255})
	var file bytes.Buffer
	if err := png.Encode(&file, two); err != nil {
		panic(err)
	}
	m, _, err := bitmap.Read("two.png", file.Bytes())
	if err != nil {
		panic(err)
	}
	fmt.Printf("%d x %d px: grey %.3f, green %.3f\n", m.W, m.H, m.V[0], m.V[1])
	// Output: 2 x 1 px: grey 0.200, green 0.862
}
