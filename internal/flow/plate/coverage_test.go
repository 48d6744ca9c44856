package plate

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"math"
	"testing"

	"golang.org/x/image/vector"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
	"pgregory.net/rapid"
)

// Half planes and a hole by hand: a plate of 6 x 4 pixels, seen from above.
func TestImageByHand(t *testing.T) {
	o := geom.Outline{{{X: 0.5, Y: 0.25}, {X: 5, Y: 0.25}, {X: 5, Y: 4}, {X: 0.5, Y: 4}}, {{X: 2, Y: 1}, {X: 2, Y: 2.5}, {X: 3, Y: 2.5}, {X: 3, Y: 1}}}
	s := stack(t, mask(6, 4), place(prism(t, o, 2)))
	want := []byte{ // 255/2 = 127.5, 255*3/4 = 191.25, 255*3/8 = 95.6; halves are rounded up
		128, 255, 255, 255, 255, 0,
		128, 255, 128, 255, 255, 0,
		128, 255, 0, 255, 255, 0,
		96, 191, 191, 191, 191, 0,
	}
	for k := range 2 {
		if got := layer(t, s, k); s.Layers != 2 || !bytes.Equal(got.Pix, want) {
			t.Errorf("layer %d of %d:\n%v, want\n%v", k, s.Layers, got.Pix, want)
		}
		if a := s.AreaMM2(k); math.Abs(a-(4.5*3.75-1.5)) > 1e-12 {
			t.Errorf("area of %g mm2, want %g mm2", a, 4.5*3.75-1.5)
		}
	}
	if s.AreaMM2(-1) != 0 || s.AreaMM2(2) != 0 {
		t.Error("an area outside the stack")
	}
	// The same turned by 90 degrees about the plate's corner and moved back.
	turned := layer(t, stack(t, mask(4, 6), place(prism(t, o, 2), geom.Affine{B: 1, C: -1, E: 4})), 0)
	for j := range 6 {
		for i := range 4 {
			// Pixel (x, y) from the front corner goes to (4-1-y, x).
			if x, y := 5-j, 3-i; turned.Pix[j*4+i] != want[(3-y)*6+x] {
				t.Errorf("turned: pixel (%d, %d) is %d, want %d", i, j, turned.Pix[j*4+i], want[(3-y)*6+x])
			}
		}
	}
}

// A part over the plate's edges by half a pixel loses that and no more.
func TestImageCutAtTheEdge(t *testing.T) {
	s := stack(t, mask(4, 4), place(prism(t, at(geom.Rectangle(5, 5), 2, 2), 1)))
	for i, v := range layer(t, s, 0).Pix {
		if v != 255 {
			t.Errorf("pixel %d is %d", i, v)
		}
	}
}

// The area of a circle, by the image and by the slice, and of one that is cut by turns.
func TestCircle(t *testing.T) {
	const r = 7.3
	disc := geom.Circle(r)
	for _, place0 := range []geom.Affine{geom.Move(9.37, 8.61), geom.Turn(33).Then(geom.Move(9.37, 8.61))} {
		s := stack(t, mask(20, 18), place(prism(t, disc, 1), place0))
		im, want := lit(layer(t, s, 0)), math.Pi*r*r
		// The polygon lies inside the circle by up to FlattenMM, two thirds of that on average.
		if a := s.AreaMM2(0); a > want || a < want-2*math.Pi*r*geom.FlattenMM {
			t.Errorf("area %g mm2, circle %g mm2", a, want)
		}
		// About 60 edge pixels, each off by 1/510 at most and by no system.
		if a := s.AreaMM2(0); math.Abs(im-a) > 60.0/510 {
			t.Errorf("image of %g pixels, slice of %g", im, a)
		}
	}
}

// Random polygons against clipping at every single pixel.
func TestImageAgainstClipping(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 9).Draw(t, "n")
		number := rapid.OneOf(rapid.Float64Range(0, 8), rapid.Map(rapid.IntRange(0, 16), func(k int) float64 { return float64(k) / 2 }))
		ring := make(geom.Ring, n)
		for i := range ring {
			ring[i] = geom.Vec{X: number.Draw(t, "x"), Y: number.Draw(t, "y")}
		}
		o, err := geom.Settle(geom.Outline{ring}, geom.NonZero)
		if err != nil || o.Area() < 0.01 {
			t.Skip()
		}
		m, err := mesh.Prism(o, 0, 1)
		if err != nil {
			t.Skip() // touching itself on the plan grid
		}
		im := layer(t, stack(t, mask(8, 8), place(m)), 0)
		for j := range 8 {
			for i := range 8 {
				both, err := geom.Intersect(o, at(geom.Rectangle(1, 1), float64(i)+0.5, float64(7-j)+0.5))
				if err != nil {
					t.Fatal(err)
				}
				// Rounding to 255 steps, and corners moved to the plan grid: 0.1 µm along
				// edges of up to 9 x 1.5 mm in a pixel, 0.0004 of its share at the most.
				if got, want := float64(im.GrayAt(i, j).Y), 255*both.Area(); math.Abs(got-want) > 0.5+255*1e-3 {
					t.Fatalf("pixel (%d, %d) is %g, its clipped share %g", i, j, got, want)
				}
			}
		}
	})
}

// The rasteriser of golang.org/x/image/vector is that of font programs; above 512 pixels
// it sums in float32, which is good to a step of 255 here.
func TestImageAgainstFontRasteriser(t *testing.T) {
	const w, d = 700, 600
	heart := geom.Heart(500, 450).Transform(geom.Turn(17).Then(geom.Move(351.3, 300.7)))
	ring := geom.Outline{geom.Circle(120)[0]}.Transform(geom.Move(340.1, 320.9))
	hole, err := geom.Subtract(heart, ring)
	if err != nil {
		t.Fatal(err)
	}
	m := prism(t, hole, 1)
	im := layer(t, stack(t, mask(w, d), place(m)), 0)
	r := vector.NewRasterizer(w, d)
	for _, ring := range mesh.Level(hole, 0) {
		for i, v := range ring {
			x, y := v[0], d-v[1]
			if i == 0 {
				r.MoveTo(x, y)
			} else {
				r.LineTo(x, y)
			}
		}
		r.ClosePath()
	}
	theirs := image.NewAlpha(image.Rect(0, 0, w, d))
	r.DrawOp = draw.Src
	r.Draw(theirs, theirs.Rect, image.NewUniform(color.Opaque), image.Point{})
	most, differ := 0, 0
	for i, v := range im.Pix {
		e := int(v) - int(theirs.Pix[i])
		if e != 0 {
			differ++
		}
		most = max(most, e, -e)
	}
	t.Logf("%d of %d pixels differ, by %d of 255 at most", differ, w*d, most)
	if most > 1 {
		t.Errorf("off by %d of 255", most)
	}
}

// One part placed twice, turned, is drawn as two parts are.
func TestCopies(t *testing.T) {
	heart := prism(t, geom.Heart(9, 8), 1)
	a, b := geom.Move(6.2, 7.1), geom.Turn(90).Then(geom.Move(18.4, 7.9))
	once := layer(t, stack(t, mask(25, 15), place(heart, a, b)), 0)
	twice := layer(t, stack(t, mask(25, 15), place(heart, a), place(heart, b)), 0)
	if !bytes.Equal(once.Pix, twice.Pix) {
		t.Error("images differ")
	}
}
