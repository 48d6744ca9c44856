package bitmap

import (
	"image"
	"image/color"
	"io"

	"golang.org/x/image/webp"
)

// decodeWebP decodes WebP. The lossy kind stores YCbCr with black at 16 and white
// at 235 (ITU-R BT.601, as RFC 6386, 9.2 says), but the library's picture would be
// read as JPEG's YCbCr, black at 0: dark grey instead of black.
func decodeWebP(r io.Reader) (image.Image, error) {
	img, err := webp.Decode(r)
	switch m := img.(type) {
	case *image.YCbCr:
		return studio{m, nil}, err
	case *image.NYCbCrA:
		return studio{&m.YCbCr, m}, err
	}
	return img, err
}

// studio shows a YCbCr picture of BT.601's range, with alpha or without.
type studio struct {
	*image.YCbCr
	alpha *image.NYCbCrA
}

func (m studio) ColorModel() color.Model { return color.NRGBAModel }
func (m studio) At(x, y int) color.Color { return m.RGBA64At(x, y) }

// RGBA64At converts one pixel (BT.601: 219 steps of Y, 224 of Cb and Cr).
func (m studio) RGBA64At(x, y int) color.RGBA64 {
	c := m.YCbCrAt(x, y)
	l := 255.0 / 219 * (float64(c.Y) - 16)
	cb, cr := 255.0/224*(float64(c.Cb)-128), 255.0/224*(float64(c.Cr)-128)
	a := 255.0
	if m.alpha != nil {
		a = float64(m.alpha.A[m.alpha.AOffset(x, y)])
	}
	to := func(v float64) uint16 { return uint16(max(0, min(255, v))*a*257/255 + 0.5) }
	return color.RGBA64{R: to(l + 1.402*cr), G: to(l - 0.344136*cb - 0.714136*cr), B: to(l + 1.772*cb), A: uint16(a * 257)}
}
