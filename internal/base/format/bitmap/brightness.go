package bitmap

import (
	"image"
	"image/color"
	"math"
	"runtime"
	"sync"
	"sync/atomic"
)

// Weights of the linear channels in luminance, shares of 1 (source: Rec. ITU-R BT.709-6, 3.2).
const weightR, weightG, weightB = 0.2126, 0.7152, 0.0722

// linear is the sRGB curve for every 16-bit value (IEC 61966-2-1).
var linear = sync.OnceValue(func() *[65536]float32 {
	var t [65536]float32
	for i := range t {
		v := float64(i) / 65535
		if v <= 0.04045 {
			t[i] = float32(v / 12.92)
		} else {
			t[i] = float32(math.Pow((v+0.055)/1.055, 2.4))
		}
	}
	return &t
})

// encode is the inverse of the sRGB curve.
func encode(y float64) float64 {
	if y <= 0.0031308 {
		return 12.92 * y
	}
	return 1.055*math.Pow(y, 1/2.4) - 0.055
}

// encoded tabulates encode over the square root of luminance, where it is nearly
// straight (our choice: interpolation errs by less than 4e-7, a fortieth of a 16-bit step).
const encodedSteps = 1 << 14

var encoded = sync.OnceValue(func() *[encodedSteps + 2]float32 {
	var t [encodedSteps + 2]float32
	for i := range t {
		r := float64(i) / encodedSteps
		t[i] = float32(encode(r * r))
	}
	return &t
})

// brightness reduces a decoded picture; clear reports see-through pixels.
func brightness(img image.Image) (out *Image, clear bool) {
	b := img.Bounds()
	out = &Image{W: b.Dx(), H: b.Dy(), V: make([]float32, b.Dx()*b.Dy()), Bits: 8}
	switch img.ColorModel() {
	case color.Gray16Model, color.RGBA64Model, color.NRGBA64Model, color.Alpha16Model:
		out.Bits = 16
	}
	at := func(x, y int) color.RGBA64 {
		r, g, b, a := img.At(x, y).RGBA()
		return color.RGBA64{R: uint16(r), G: uint16(g), B: uint16(b), A: uint16(a)}
	}
	if fast, ok := img.(image.RGBA64Image); ok {
		at = fast.RGBA64At
	}
	lin, enc := linear(), encoded()
	var seen atomic.Bool
	rows(out.H, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			row := out.V[y*out.W : (y+1)*out.W]
			for x := range row {
				c := at(b.Min.X+x, b.Min.Y+y)
				if c.A != 0xffff { // channels are premultiplied
					seen.Store(true)
					white := 0xffff - c.A
					c.R, c.G, c.B = over(c.R, white), over(c.G, white), over(c.B, white)
				}
				if c.R == c.G && c.G == c.B {
					row[x] = float32(c.R) / 65535
					continue
				}
				s := float32(math.Sqrt(float64(weightR*lin[c.R]+weightG*lin[c.G]+weightB*lin[c.B]))) * encodedSteps
				i := int(s)
				row[x] = min(1, enc[i]+(s-float32(i))*(enc[i+1]-enc[i]))
			}
		}
	})
	return out, seen.Load()
}

// over adds white without wrapping: a broken file may hold channels above its alpha.
func over(c, white uint16) uint16 { return uint16(min(uint32(c)+uint32(white), 0xffff)) }

// rows calls do for bands of rows on all cores; each row belongs to one band.
func rows(h int, do func(y0, y1 int)) {
	n := min(runtime.GOMAXPROCS(0), max(1, h/16))
	var wg sync.WaitGroup
	for k := range n {
		wg.Go(func() { do(h*k/n, h*(k+1)/n) })
	}
	wg.Wait()
}
