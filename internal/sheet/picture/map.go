package picture

import (
	"context"
	"image"
	"image/color"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// Tone is how a value is shown at a pixel: its colour, and its hatch where a sign or a
// kind must be told apart in grey as in colour.
type Tone func(v float64, x, y int) color.NRGBA

// Off shows how far something lies off, up to most on both sides, as signed does; hatch
// lines lie every so many pixels.
func Off(most float64, every int) Tone {
	return func(v float64, x, y int) color.NRGBA { return signed(v/most, x, y, every) }
}

// Looks shows a finish: 0 glossy, 1 satin, 2 and 3 steps that show, a layer light and
// the next one dark.
func Looks(v float64, x, y int) color.NRGBA {
	switch {
	case v < 0.5:
		return even(94, 1, 6)
	case v < 1.5:
		return even(79, 2, 10)
	case v < 2.5:
		return even(52, 14, 24)
	}
	return even(28, 10, 16)
}

func even(l, a, b float64) color.NRGBA {
	c := lab(l, a, b)
	return color.NRGBA{encodeFlat(c.r), encodeFlat(c.g), encodeFlat(c.b), 255}
}

// Map shows a quantity over the plane inside an outline, as seen from above on white, and
// says what it shows in mm. Of several samples in a pixel the one farthest from 0 counts,
// so that what is narrow is seen. The longer side is sizePx.
func Map(ctx context.Context, f *field.Field, o geom.Outline, tone Tone, sizePx int) (image.Image, geom.Rect, error) {
	if err := (Look{SizePx: sizePx}).check(); err != nil {
		return nil, geom.Rect{}, err
	}
	b := o.Bounds()
	if b.Empty() {
		b = f.Bounds()
	}
	b = b.Grow(0.01 * math.Max(b.W(), b.H()))
	pitch := math.Max(b.W(), b.H()) / float64(sizePx)
	w, h := max(1, int(b.W()/pitch)), max(1, int(b.H()/pitch))
	b.Max = geom.Vec{X: b.Min.X + float64(w)*pitch, Y: b.Min.Y + float64(h)*pitch}
	out := image.NewNRGBA(image.Rect(0, 0, w, h))
	mask := fill(o, w, h, b.Min.X, b.Min.Y, pitch)
	// samples from which to which lie in pixel k, at least one
	span := func(k int, from, origin float64, n int) (int, int) {
		lo := (from + float64(k)*pitch - origin) / f.PitchMM
		i0, i1 := int(math.Ceil(lo)), int(math.Ceil(lo+pitch/f.PitchMM))-1
		if i1 < i0 {
			i0 = int(math.Round(lo + pitch/f.PitchMM/2))
			i1 = i0
		}
		return max(i0, 0), min(i1, n-1)
	}
	err := field.ForRows(ctx, h, func(from, to int) {
		for y := from; y < to; y++ {
			row := h - 1 - y
			j0, j1 := span(row, b.Min.Y, f.Y0, f.H)
			for x := range w {
				i0, i1 := span(x, b.Min.X, f.X0, f.W)
				v := float32(0)
				for j := j0; j <= j1; j++ {
					for i := i0; i <= i1; i++ {
						if z := f.Z[j*f.W+i]; z > v && z > -v || z < v && z < -v {
							v = z
						}
					}
				}
				out.SetNRGBA(x, y, over(tone(float64(v), x, y), mask.Pix[row*mask.Stride+x]))
			}
		}
	})
	return out, b, err
}

// over puts a colour on white by its cover.
func over(c color.NRGBA, a uint8) color.NRGBA {
	mix := func(v uint8) uint8 { return uint8((int(v)*int(a) + 255*(255-int(a)) + 127) / 255) }
	return color.NRGBA{mix(c.R), mix(c.G), mix(c.B), 255}
}
