package picture

import (
	"context"
	"fmt"
	"image"
	"image/color"
	"math"
	"strconv"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/artwork"
)

// Scale says how a quantity is shown: its name and unit, and the values at the pale
// and the deep end. Low may be the larger one, where little is what matters.
type Scale struct {
	Title string // "draft"
	Unit  string // "°"
	Low   float64
	High  float64
}

// tones is one hue from pale to deep, even in CIE L* and so even to the eye, in grey
// as in colour; 256 steps from L* 94 to 24.
var tones = func() (t [256]color.NRGBA) {
	for i := range t {
		v := float64(i) / 255
		l := 94 - 70*v
		chroma := 6 + 26*math.Sin(math.Pi*(0.12+0.76*v)) // little at the ends, where few colours exist
		c := lab(l, chroma*0.62, chroma*0.78)
		t[i] = color.NRGBA{encodeFlat(c.r), encodeFlat(c.g), encodeFlat(c.b), 255}
	}
	return
}()

// tone is the colour of a value; beyond the ends it is that of the end.
func (s Scale) tone(v float64) color.NRGBA {
	t := (v - s.Low) / (s.High - s.Low)
	if math.IsNaN(t) {
		return color.NRGBA{255, 255, 255, 255}
	}
	return tones[int(math.Min(math.Max(t, 0), 1)*255+0.5)]
}

// Map shows a quantity over the plane inside an outline, as seen from above, with
// its legend below: five values and the unit. The longer side is sizePx.
func Map(ctx context.Context, f *field.Field, o geom.Outline, s Scale, sizePx int) (image.Image, error) {
	if err := (Look{SizePx: sizePx}).check(); err != nil {
		return nil, err
	}
	if s.Low == s.High || math.IsNaN(s.Low+s.High) || math.IsInf(s.Low+s.High, 0) {
		return nil, fmt.Errorf("picture: a scale from %g to %g", s.Low, s.High)
	}
	b := o.Bounds()
	if b.Empty() {
		b = f.Bounds()
	}
	b = b.Grow(0.04 * math.Max(b.W(), b.H()))
	pitch := math.Max(b.W(), b.H()) / float64(sizePx)
	w, h := max(1, int(b.W()/pitch)), max(1, int(b.H()/pitch))
	strip := max(24, w/8) // of the legend
	out := image.NewNRGBA(image.Rect(0, 0, w, h+strip))
	mask := fill(o, w, h, b.Min.X, b.Min.Y, pitch)
	err := field.ForRows(ctx, h, func(from, to int) {
		for y := from; y < to; y++ {
			for x := range w {
				j := h - 1 - y
				c := s.tone(float64(bilinear(f, b.Min.X+(float64(x)+0.5)*pitch, b.Min.Y+(float64(j)+0.5)*pitch)))
				out.SetNRGBA(x, y, over(c, mask.Pix[j*mask.Stride+x]))
			}
		}
	})
	if err != nil {
		return nil, err
	}
	return out, s.legend(out, h, strip)
}

// over puts a colour on white by its cover.
func over(c color.NRGBA, a uint8) color.NRGBA {
	mix := func(v uint8) uint8 { return uint8((int(v)*int(a) + 255*(255-int(a)) + 127) / 255) }
	return color.NRGBA{mix(c.R), mix(c.G), mix(c.B), 255}
}

// legend draws the scale into the strip below row top: its bar, its name, its values.
func (s Scale) legend(m *image.NRGBA, top, strip int) error {
	w := m.Rect.Dx()
	for y := top; y < top+strip; y++ {
		for x := range w {
			m.SetNRGBA(x, y, color.NRGBA{255, 255, 255, 255})
		}
	}
	x0, x1 := w/16, w-w/16
	bar := max(3, strip/6)
	for y := top + strip/3; y < top+strip/3+bar; y++ {
		for x := x0; x < x1; x++ {
			t := (float64(x-x0) + 0.5) / float64(x1-x0)
			m.SetNRGBA(x, y, s.tone(s.Low+t*(s.High-s.Low)))
		}
	}
	em := float64(strip) * 0.27
	fonts := artwork.NewFonts()
	title := s.Title
	if s.Unit != "" {
		title += ", " + s.Unit
	}
	if err := write(m, title, float64(x0), float64(top)+float64(strip)*0.17, em, -1, fonts); err != nil {
		return err
	}
	for k := range 5 {
		t := float64(k) / 4
		v := s.Low + t*(s.High-s.Low)
		x := float64(x0) + t*float64(x1-x0)
		for y := top + strip/3 + bar; y < top+strip/3+bar+max(2, strip/16); y++ {
			m.SetNRGBA(min(int(x), w-1), y, color.NRGBA{0x2b, 0x1a, 0x12, 255})
		}
		if err := write(m, strconv.FormatFloat(v, 'g', 3, 64), x, float64(top)+float64(strip)*0.78, em, 0, fonts); err != nil {
			return err
		}
	}
	return nil
}

// write sets a text of the given size in pixels; side -1 starts it at x, 0 centres it.
// y is the middle of its ink.
func write(m *image.NRGBA, s string, x, y, em float64, side int, fonts *artwork.Fonts) error {
	o, _, err := artwork.Text(artwork.TextSpec{Text: s, Font: "sans", Align: "centre", Leading: 1.2, SizeMM: em}, fonts)
	if err != nil {
		return err
	}
	if side < 0 {
		x -= o.Bounds().Min.X
	}
	w, h := m.Rect.Dx(), m.Rect.Dy()
	a := fill(o.Transform(geom.Scale(1, -1).Then(geom.Move(x, y))), w, h, 0, 0, 1)
	for i, c := range a.Pix {
		if c > 0 {
			px := m.Pix[4*i : 4*i+3]
			for k, v := range [3]uint8{0x2b, 0x1a, 0x12} {
				px[k] = uint8((int(v)*int(c) + int(px[k])*(255-int(c)) + 127) / 255)
			}
		}
	}
	return nil
}
