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

// Change shows a piece before, after, and by how much its heights differ, side by side,
// all seen from above at one scale with the light from the back left. by is after less
// before in mm, over both. What was raised is brown, what was lowered is blue and hatched,
// so that a grey print tells them apart too; what is as it was is white. widthPx is that of
// the whole picture.
func Change(ctx context.Context, before, after, by *field.Field, widthPx int) (image.Image, error) {
	if err := (Look{SizePx: widthPx}).check(); err != nil {
		return nil, err
	}
	most := 0.0
	for _, z := range by.Z {
		most = math.Max(most, math.Abs(float64(z)))
	}
	if !(most > 0) || math.IsInf(most, 0) {
		return nil, fmt.Errorf("picture: heights that differ by %g mm", most)
	}
	most = niceAbove(most)
	b := by.Bounds()
	b = b.Grow(0.05 * math.Max(b.W(), b.H()))
	em := float64(widthPx) * 0.0142
	head, foot := int(2*em), int(3.6*em)
	w := max(1, widthPx/3)
	pitch := b.W() / float64(w)
	h := max(1, int(b.H()/pitch))
	if h > maxSlim*w { // a rod, longer than it is wide
		h = maxSlim * w
		pitch = b.H() / float64(h)
		b.Min.X, b.Max.X = b.Center().X-pitch*float64(w)/2, b.Center().X+pitch*float64(w)/2
	}
	out := image.NewNRGBA(image.Rect(0, 0, 3*w, head+h+foot))
	for i := range out.Pix {
		out.Pix[i] = 255
	}
	panels := []func(x, y float64) color.NRGBA{
		func(x, y float64) color.NRGBA { return relief(before, x, y, pitch) },
		func(x, y float64) color.NRGBA { return relief(after, x, y, pitch) },
	}
	for k, at := range panels {
		err := field.ForRows(ctx, h, func(from, to int) {
			for j := from; j < to; j++ {
				for i := range w {
					out.SetNRGBA(k*w+i, head+j, at(b.Min.X+(float64(i)+0.5)*pitch, b.Max.Y-(float64(j)+0.5)*pitch))
				}
			}
		})
		if err != nil {
			return nil, err
		}
	}
	err := field.ForRows(ctx, h, func(from, to int) {
		for j := from; j < to; j++ {
			for i := range w {
				x, y := b.Min.X+(float64(i)+0.5)*pitch, b.Max.Y-(float64(j)+0.5)*pitch
				c := signed(float64(by.SampleOrZero(x, y))/most, i, j, hatchPx(widthPx))
				if rim(after, x, y, pitch) || rim(before, x, y, pitch) && (i+j)/4%2 == 0 {
					c = ink
				}
				out.SetNRGBA(2*w+i, head+j, c)
			}
		}
	})
	if err != nil {
		return nil, err
	}
	fonts := artwork.NewFonts()
	for k, name := range []string{"before", "after", "changed by"} {
		if err := write(out, name, (float64(k)+0.5)*float64(w), 1.1*em, em, 0, fonts); err != nil {
			return nil, err
		}
	}
	// The legend stands under all three: a narrow piece has no room for it.
	from, to, top := int(0.18*float64(3*w)), int(0.82*float64(3*w)), head+h+int(0.5*em)
	for x := from; x < to; x++ {
		t := 2*(float64(x-from)+0.5)/float64(to-from) - 1
		for y := range int(0.8 * em) {
			out.SetNRGBA(x, top+y, signed(t, x, y, hatchPx(widthPx)))
		}
		out.SetNRGBA(x, top, ink)
		out.SetNRGBA(x, top+int(0.8*em), ink)
	}
	for k := -2; k <= 2; k++ {
		x := float64(from) + (float64(k)+2)/4*float64(to-from)
		word := strconv.FormatFloat(math.Abs(float64(k))*most/2, 'g', 3, 64)
		switch {
		case k < 0:
			word = "−" + word
		case k > 0:
			word = "+" + word
		}
		if err := write(out, word, x, float64(top)+1.6*em, 0.9*em, 0, fonts); err != nil {
			return nil, err
		}
	}
	for _, l := range []struct {
		words string
		t     float64
	}{{"lower, hatched", 0.25}, {"mm", 0.5}, {"higher", 0.75}} {
		if err := write(out, l.words, float64(from)+l.t*float64(to-from), float64(top)+2.6*em, 0.9*em, 0, fonts); err != nil {
			return nil, err
		}
	}
	return out, nil
}

var ink = color.NRGBA{0x2b, 0x1a, 0x12, 255}

// hatchPx is the distance of the hatching's lines.
func hatchPx(widthPx int) int { return max(5, widthPx/170) }

// maxSlim bounds how much higher than wide a panel is.
const maxSlim = 3

// signed is the colour of a change from -1 to 1: pale to deep, brown for more, blue with
// white lines for less.
func signed(t float64, i, j, every int) color.NRGBA {
	v := math.Min(math.Abs(t), 1)
	if v < 0.004 || math.IsNaN(t) {
		return color.NRGBA{255, 255, 255, 255}
	}
	l, chroma := 90-62*v, 14+26*math.Sin(math.Pi*(0.1+0.7*v))
	c := lab(l, chroma*0.55, chroma*0.85)
	if t < 0 {
		c = lab(l, chroma*0.1, -chroma)
		if (i+j)%every < max(1, every/3) {
			return color.NRGBA{255, 255, 255, 255}
		}
	}
	return color.NRGBA{encodeFlat(c.r), encodeFlat(c.g), encodeFlat(c.b), 255}
}

// relief is a piece's surface in grey, lit from the back left; white outside.
func relief(f *field.Field, x, y, pitch float64) color.NRGBA {
	if !within(f, x, y) {
		return color.NRGBA{255, 255, 255, 255}
	}
	if rim(f, x, y, pitch) {
		return ink
	}
	d := math.Max(pitch, f.PitchMM)
	gx := float64(f.SampleOrZero(x+d, y)-f.SampleOrZero(x-d, y)) / (2 * d)
	gy := float64(f.SampleOrZero(x, y+d)-f.SampleOrZero(x, y-d)) / (2 * d)
	n := math.Sqrt(1 + gx*gx + gy*gy)
	light := (0.5*gx - 0.5*gy + 0.7071) / n // towards (-1, 1, √2)/2
	c := lab(30+66*math.Max(0, light), 3, 7)
	return color.NRGBA{encodeFlat(c.r), encodeFlat(c.g), encodeFlat(c.b), 255}
}

// within tells whether a place is on the piece, by the nearest sample.
func within(f *field.Field, x, y float64) bool {
	i, j := int(math.Round((x-f.X0)/f.PitchMM)), int(math.Round((y-f.Y0)/f.PitchMM))
	return i >= 0 && j >= 0 && i < f.W && j < f.H && f.At(i, j) > 0
}

// rim tells whether a place is the piece's edge, a pixel or two wide.
func rim(f *field.Field, x, y, pitch float64) bool {
	if !within(f, x, y) {
		return false
	}
	d := 1.5 * pitch
	return !within(f, x+d, y) || !within(f, x-d, y) || !within(f, x, y+d) || !within(f, x, y-d)
}

// niceAbove is the least of 1, 1.5, 2, 3, 5, 7 times a power of ten that is not below v.
func niceAbove(v float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 1.5, 2, 3, 5, 7, 10} {
		if v <= m*p*(1+1e-6) {
			return m * p
		}
	}
	return 10 * p
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
