package plate

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"os"
	"runtime"
	"slices"
	"strings"
	"testing"

	"golang.org/x/image/vector"
	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/mesh"
	"pgregory.net/rapid"
)

var ctx = context.Background()

// mask is a printer with square pixels of 1 mm: shares of a pixel are mm².
func mask(w, d float64) material.Printer {
	return material.Printer{PlateWidthMM: w, PlateDepthMM: d, PlateHeightMM: 50, PixelMM: 1, LayerMM: 1}
}

func prism(t interface{ Fatal(...any) }, o geom.Outline, heightMM float64) *mesh.Mesh {
	m, err := mesh.Prism(o, 0, heightMM)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func stack(t interface{ Fatal(...any) }, p material.Printer, solids ...Solid) *Stack {
	s, err := NewStack(ctx, solids, p)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func layer(t interface{ Fatal(...any) }, s *Stack, k int) *image.Gray {
	im, err := s.Layer(ctx, k, nil)
	if err != nil {
		t.Fatal(err)
	}
	return im
}

func at(o geom.Outline, x, y float64) geom.Outline { return o.Transform(geom.Move(x, y)) }

func place(m *mesh.Mesh, places ...geom.Affine) Solid {
	if len(places) == 0 {
		places = []geom.Affine{geom.Identity}
	}
	return Solid{Name: "part", Mesh: m, Places: places}
}

// lit is the sum of an image in pixels.
func lit(im *image.Gray) float64 {
	sum := 0
	for _, v := range im.Pix {
		sum += int(v)
	}
	return float64(sum) / 255
}

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

// Vertices, edges and faces that lie in the middle of a layer, where a slice is least
// certain: a stair of two prisms in one mesh, an octahedron and a pyramid.
func TestSlicesThroughVertices(t *testing.T) {
	octahedron := mesh.FromTriangles(func() (soup [][3][3]float32) {
		c := [3]float32{8, 8, 4.5}
		corner := func(dx, dy, dz float32) [3]float32 { return [3]float32{c[0] + dx, c[1] + dy, c[2] + dz} }
		around := [][3]float32{corner(4, 0, 0), corner(0, 4, 0), corner(-4, 0, 0), corner(0, -4, 0)}
		for i, a := range around {
			b := around[(i+1)%4]
			soup = append(soup, [3][3]float32{a, b, corner(0, 0, 4)}, [3][3]float32{b, a, corner(0, 0, -4)})
		}
		return soup
	}())
	if err := octahedron.Check().Err(); err != nil {
		t.Fatal(err)
	}
	s := stack(t, mask(16, 16), place(octahedron))
	for k := range s.Layers {
		h := 4 - math.Abs(float64(k)-4) // the square's half diagonal, 4.5 being the middle
		if a, im := s.AreaMM2(k), lit(layer(t, s, k)); math.Abs(a-2*h*h) > 1e-9 || math.Abs(im-a) > 0.1 {
			t.Errorf("layer %d: area %g mm2, image %g, want %g", k, a, im, 2*h*h)
		}
	}
	// Faces at 0.5 and 2.5, both in the middle of a layer: the lower one counts as below
	// it, the upper one too, so that the height is right.
	m, err := mesh.Prism(at(geom.Rectangle(4, 4), 8, 8), 0.5, 2.5)
	if err != nil {
		t.Fatal(err)
	}
	s = stack(t, mask(16, 16), place(m))
	for k, want := range []float64{16, 16, 0} {
		if a, im := s.AreaMM2(k), lit(layer(t, s, k)); a != want || im != want {
			t.Errorf("layer %d: area %g mm2, image %g, want %g", k, a, im, want)
		}
	}
}

// A cone's slice is a circle whose radius the intercept theorem gives; frustum by
// Heron, cone by Euclid.
func TestStackGivesVolume(t *testing.T) {
	p := material.Printer{PlateWidthMM: 40, PlateDepthMM: 30, PlateHeightMM: 50, PixelMM: 0.05, LayerMM: 0.05}
	const r, h = 12.0, 8.0
	lean := math.Tan(8 * math.Pi / 180)
	f := field.New(field.Around(geom.Circle(r).Bounds(), 0.025))
	bottom := field.New(f.Grid)
	for j := range f.H {
		for i := range f.W {
			at := f.XY(i, j)
			f.Row(j)[i] = float32(1 + min(h, max(0, (r-math.Hypot(at.X, at.Y))/lean)))
		}
	}
	m, err := mesh.Slab(ctx, geom.Circle(r), f, bottom, 0.005)
	if err != nil {
		t.Fatal(err)
	}
	top := r - h*lean
	want := math.Pi*r*r*1 + math.Pi*h/3*(r*r+r*top+top*top)
	s := stack(t, p, place(m, geom.Move(20.013, 15.007)))
	got := summed(t, s)
	t.Logf("images %.3f mm3 (%+.4f %%), mesh %.3f mm3, closed form %.3f mm3", got, 100*(got/want-1), m.Volume(), want)
	if math.Abs(got/want-1) > 1e-3 {
		t.Errorf("images of %g mm3, closed form %g mm3", got, want)
	}
}

// summed is the volume of a stack by its images.
func summed(t testing.TB, s *Stack) float64 {
	t.Helper()
	var im *image.Gray
	sum := 0.0
	for k := range s.Layers {
		var err error
		if im, err = s.Layer(ctx, k, im); err != nil {
			t.Fatal(err)
		}
		n := lit(im)
		// Each edge pixel is rounded to 255 steps; a thousandth of the area is plenty.
		if a := s.AreaMM2(k); math.Abs(n*s.PixelMM*s.PixelMM-a) > 1e-3*a+s.PixelMM*s.PixelMM {
			t.Errorf("layer %d: image of %g mm2, slice of %g mm2", k, n*s.PixelMM*s.PixelMM, a)
		}
		sum += n
	}
	return sum * s.PixelMM * s.PixelMM * s.LayerMM
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

func TestPNG(t *testing.T) {
	for _, size := range [][2]float64{{1, 1}, {40, 32}, {131, 33}, {70, 65}, {64, 300}} {
		w, d := size[0], size[1]
		s := stack(t, mask(w, d), place(prism(t, at(geom.Ellipse(w, d/3), w/2, d/2), 2)))
		want := layer(t, s, 1)
		var runs [2][]byte
		for i := range runs {
			was := runtime.GOMAXPROCS(i + 1)
			var out bytes.Buffer
			err := s.WritePNG(ctx, 1, &out)
			again := layer(t, s, 1)
			runtime.GOMAXPROCS(was)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(again.Pix, want.Pix) {
				t.Errorf("%g x %g: images differ on %d cores", w, d, i+1)
			}
			runs[i] = out.Bytes()
		}
		if !bytes.Equal(runs[0], runs[1]) {
			t.Errorf("%g x %g: files differ on one and two cores", w, d)
		}
		got, err := png.Decode(bytes.NewReader(runs[0]))
		if err != nil {
			t.Errorf("%g x %g: %v", w, d, err)
			continue
		}
		if g, ok := got.(*image.Gray); !ok || g.Rect != want.Rect || !bytes.Equal(g.Pix, want.Pix) {
			t.Errorf("%g x %g: read back as something else", w, d)
		}
		// pHYs stands behind signature, IHDR and two heads: 1000 pixels of 1 mm to the metre.
		if at := bytes.Index(runs[0], []byte("pHYs")); at < 0 || !bytes.Equal(runs[0][at+4:at+13], []byte{0, 0, 3, 232, 0, 0, 3, 232, 1}) {
			t.Error("no size in the file")
		}
	}
}

func TestStackRefuses(t *testing.T) {
	box := prism(t, at(geom.Rectangle(4, 4), 5, 5), 2)
	open := &mesh.Mesh{V: box.V}
	for i, tr := range box.T { // leave out half of a wall that runs away from us
		if a, b, c := box.V[tr[0]], box.V[tr[1]], box.V[tr[2]]; a[0] == b[0] && b[0] == c[0] {
			open.T = slices.Delete(slices.Clone(box.T), i, i+1)
			break
		}
	}
	with := func(change func(*material.Printer)) material.Printer {
		p := mask(10, 10)
		change(&p)
		return p
	}
	for _, c := range []struct {
		name    string
		printer material.Printer
		solid   Solid
		want    string
	}{
		{"pixel", with(func(p *material.Printer) { p.PixelMM = 0 }), place(box), "printer.pixel_mm: 0 mm"},
		{"not a number", with(func(p *material.Printer) { p.PixelMM = math.NaN() }), place(box), "printer.pixel_mm: NaN mm"},
		{"layer", with(func(p *material.Printer) { p.LayerMM = 0 }), place(box), "printer.layer_mm: 0 mm"},
		{"side", with(func(p *material.Printer) { p.PixelMM = 1e-4 }), place(box), "100000 x 100000 pixels"},
		{"no pixel", with(func(p *material.Printer) { p.PixelMM = 30 }), place(box), "0 x 0 pixels"},
		{"pixels", with(func(p *material.Printer) { p.PixelMM = 10.0 / 20000 }), place(box), "20000 x 20000 pixels"},
		{"layers", with(func(p *material.Printer) { p.LayerMM = 1e-6 }), place(box), "at most 200000 layers"},
		{"off the plate", mask(10, 10), place(box, geom.Move(4, 0)), "it lies from (7.000, 3.000)"},
		{"mirrored", mask(10, 10), place(box, geom.Affine{A: -1, D: 1, E: 10}), "mirrors"},
		{"below the plate", mask(10, 10), place(&mesh.Mesh{V: [][3]float32{{1, 1, -1}, {2, 1, 0}, {1, 2, 0}}, T: [][3]uint32{{0, 1, 2}}}), "1 mm below the build plate"},
		{"not finite", mask(10, 10), place(&mesh.Mesh{V: [][3]float32{{1, 1, float32(math.NaN())}}, T: [][3]uint32{{0, 0, 0}}}), "finite"},
	} {
		if _, err := NewStack(ctx, []Solid{c.solid}, c.printer); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	s := stack(t, mask(10, 10), place(open))
	if err := s.WritePNG(ctx, 0, &bytes.Buffer{}); err == nil || !strings.Contains(err.Error(), "open edge") {
		t.Errorf("an open mesh: %v", err)
	}
	for _, k := range []int{-1, s.Layers} {
		if _, err := s.Layer(ctx, k, nil); err == nil || !strings.Contains(err.Error(), "0 to 1") {
			t.Errorf("layer %d: %v", k, err)
		}
	}
}

func TestStackCancelled(t *testing.T) {
	s := stack(t, mask(10, 10), place(prism(t, at(geom.Rectangle(4, 4), 5, 5), 2)))
	gone, cancel := context.WithCancel(ctx)
	cancel()
	var out bytes.Buffer
	if err := s.WritePNG(gone, 0, &out); err != context.Canceled || out.Len() > 0 {
		t.Errorf("PNG cancelled: %v, %d bytes", err, out.Len())
	}
	if _, err := s.Layer(gone, 0, nil); err != context.Canceled {
		t.Errorf("image cancelled: %v", err)
	}
	if _, err := NewStack(gone, []Solid{place(prism(t, at(geom.Rectangle(4, 4), 5, 5), 2))}, mask(10, 10)); err != context.Canceled {
		t.Errorf("stack cancelled: %v", err)
	}
}

// keep writes layers into the folder that PLATE_PICTURES names, to be looked at.
func keep(t testing.TB, s *Stack, name string, layers ...int) {
	dir := os.Getenv("PLATE_PICTURES")
	if dir == "" {
		return
	}
	for _, k := range layers {
		var out bytes.Buffer
		if err := s.WritePNG(ctx, k, &out); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(dir+"/"+fmt.Sprintf("%s-%04d.png", name, k), out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
