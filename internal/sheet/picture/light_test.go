package picture

import (
	"context"
	"errors"
	"image"
	"image/color"
	"math"
	"runtime"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
)

// dome is a spherical cap of base radius 10 and height 4: its sphere has the radius
// (10² + 4²) / 8 = 14.5.
func dome(pitch float64) (*field.Field, geom.Outline) {
	o := geom.Circle(10)
	f := field.New(field.Around(o.Bounds().Grow(1), pitch))
	for j := range f.H {
		for i := range f.W {
			p := f.XY(i, j)
			if r2 := p.Dot(p); r2 < 100 {
				f.Z[j*f.W+i] = float32(math.Sqrt(14.5*14.5-r2) - 10.5)
			}
		}
	}
	return f, o
}

func take(t testing.TB, kind string, look Look) *image.NRGBA {
	t.Helper()
	f, o := dome(0.05)
	m, err := Chocolate(t.Context(), f, o, kind, look)
	if err != nil {
		t.Fatal(err)
	}
	return m.(*image.NRGBA)
}

func grey(c color.Color) float64 {
	r, g, b, _ := c.RGBA()
	return (0.2126*float64(r) + 0.7152*float64(g) + 0.0722*float64(b)) / 65535
}

// The window stands at the upper left: there a dome is brighter than at the lower
// right, and its shadow falls to the lower right.
func TestLightComesFromTheUpperLeft(t *testing.T) {
	m := take(t, Milk, Look{SizePx: 300})
	w := m.Bounds().Dx()
	at := func(x, y float64) float64 { return grey(m.At(int(x*float64(w)), int(y*float64(w)))) }
	if a, b := at(0.35, 0.35), at(0.65, 0.65); a <= b*1.1 {
		t.Errorf("upper left %.3f, lower right %.3f", a, b)
	}
	if a, b := at(0.11, 0.11), at(0.85, 0.85); a <= b {
		t.Errorf("ground: upper left %.3f, lower right %.3f", a, b)
	}
}

func TestKindsAreToldApart(t *testing.T) {
	middle := func(kind string) color.NRGBA {
		m := take(t, kind, Look{SizePx: 200})
		return m.NRGBAAt(m.Rect.Dx()/2, m.Rect.Dy()/2)
	}
	d, m, w := middle(Dark), middle(Milk), middle(White)
	if !(grey(d)*1.3 < grey(m) && grey(m)*1.3 < grey(w)) {
		t.Errorf("dark %v, milk %v, white %v", d, m, w)
	}
	for _, c := range []color.NRGBA{d, m, w} {
		if !(c.R > c.G && c.G > c.B) {
			t.Errorf("%v is not warm", c)
		}
	}
}

func TestGrounds(t *testing.T) {
	for _, v := range []View{Above, Chair} {
		m := take(t, Dark, Look{SizePx: 240, View: v, Ground: Blank})
		if c := m.NRGBAAt(0, 0); c != (color.NRGBA{255, 255, 255, 255}) {
			t.Errorf("view %d: a page's corner is %v", v, c)
		}
		m = take(t, Dark, Look{SizePx: 240, View: v, Ground: Clear})
		if c := m.NRGBAAt(0, 0); c.A != 0 {
			t.Errorf("view %d: a clear corner is %v", v, c)
		}
		if c := m.NRGBAAt(m.Rect.Dx()/2, m.Rect.Dy()/2); c.A != 255 {
			t.Errorf("view %d: a clear picture's middle is %v", v, c)
		}
	}
}

func TestSameBytesOnAnyNumberOfCores(t *testing.T) {
	for _, v := range []View{Above, Chair} {
		look := Look{SizePx: 160, View: v}
		before := runtime.GOMAXPROCS(1)
		a := take(t, Dark, look)
		runtime.GOMAXPROCS(4)
		b := take(t, Dark, look)
		runtime.GOMAXPROCS(before)
		if string(a.Pix) != string(b.Pix) {
			t.Errorf("view %d differs", v)
		}
	}
}

// Published pairs of L*a*b* (D65) and sRGB: the primaries, as colour calculators
// have them (from memory, no source at hand; the formula is CIE 15's). One step in
// 255 is the rounding of the second decimal of L*a*b*.
func TestLab(t *testing.T) {
	for _, c := range []struct {
		l, a, b float64
		want    [3]uint8
	}{
		{53.24, 80.09, 67.20, [3]uint8{255, 0, 0}},
		{87.73, -86.18, 83.18, [3]uint8{0, 255, 0}},
		{32.30, 79.19, -107.86, [3]uint8{0, 0, 255}},
		{53.59, 0, 0, [3]uint8{128, 128, 128}},
	} {
		v := lab(c.l, c.a, c.b)
		for i, x := range [3]float32{v.r, v.g, v.b} {
			if d := int(encodeFlat(x)) - int(c.want[i]); d < -1 || d > 1 {
				t.Errorf("L*a*b* %v: %d, want %d", c, encodeFlat(x), c.want[i])
			}
		}
	}
}

// A scale is even to the eye: equal steps in L*, read back from its colours.
func TestScaleIsEven(t *testing.T) {
	lightness := func(c color.NRGBA) float64 {
		y := 0.0
		for i, v := range [3]uint8{c.R, c.G, c.B} {
			s := float64(v) / 255
			if s > 0.04045 {
				s = math.Pow((s+0.055)/1.055, 2.4)
			} else {
				s /= 12.92
			}
			y += s * [3]float64{0.2126, 0.7152, 0.0722}[i]
		}
		return 116*math.Cbrt(y) - 16
	}
	for k := 1; k <= 8; k++ {
		want := 90 - 62*float64(k)/8
		// One byte is 0.4 L*; a colour just outside sRGB is cut by about one more.
		if got := lightness(signed(float64(k)/8, 0, 0, 8)); math.Abs(got-want) > 1.5 {
			t.Errorf("step %d: L* %.1f, want %.1f", k, got, want)
		}
	}
}

func TestResampleKeepsPlanes(t *testing.T) {
	f := field.New(field.Grid{W: 60, H: 50, PitchMM: 0.1, X0: -3, Y0: -2})
	plane := func(p geom.Vec) float64 { return 3 + 0.2*p.X - 0.4*p.Y }
	for j := range f.H {
		for i := range f.W {
			f.Z[j*f.W+i] = float32(plane(f.XY(i, j)))
		}
	}
	for _, pitch := range []float64{0.04, 0.1, 0.27} {
		g := field.Grid{W: 8, H: 8, PitchMM: pitch, X0: -0.5, Y0: -0.3}
		out, err := resample(t.Context(), f, g)
		if err != nil {
			t.Fatal(err)
		}
		for j := range g.H {
			for i := range g.W {
				// float32 sums of up to 30 weights.
				if d := math.Abs(float64(out.At(i, j)) - plane(g.XY(i, j))); d > 2e-5 {
					t.Fatalf("pitch %g: off by %g", pitch, d)
				}
			}
		}
	}
}

func TestBlurKeepsTheSum(t *testing.T) {
	f := field.New(field.Grid{W: 101, H: 101, PitchMM: 1})
	f.Z[50*101+50] = 1
	out, err := boxBlur(t.Context(), f, 6)
	if err != nil {
		t.Fatal(err)
	}
	var sum, second float64
	for j := range f.H {
		for i := range f.W {
			v := float64(out.At(i, j))
			sum += v
			second += v * float64((i-50)*(i-50))
		}
	}
	// Running sums in float32 over 101 samples.
	if math.Abs(sum-1) > 1e-4 {
		t.Errorf("sum %g", sum)
	}
	// Three boxes of whole width come within a tenth of the asked deviation.
	if sd := math.Sqrt(second / sum); math.Abs(sd-6) > 0.6 {
		t.Errorf("standard deviation %g, want 6", sd)
	}
}

// Rays meet the sphere where geometry says they do.
func TestRayMeetsTheSphere(t *testing.T) {
	f, o := dome(0.05)
	body := func(int) (Body, error) { return Body{f, o, Dark}, nil }
	s, err := newScene(t.Context(), Chair, o.Bounds().Grow(3), 0.05, body, []Placed{{}})
	if err != nil {
		t.Fatal(err)
	}
	m := newMarcher(s, [3]float64{20, -40, 45})
	for _, to := range [][2]float64{{0, 0}, {3, -2}, {-5, 4}, {1, 6}, {-8, -3}} {
		e := [3]float64{20, -40, 45}
		d := [3]float64{to[0] - e[0], to[1] - e[1], 1 - e[2]}
		l := math.Sqrt(d[0]*d[0] + d[1]*d[1] + d[2]*d[2])
		x, y, z, hit := m.ray(d[0]/l, d[1]/l, d[2]/l, 0)
		if !hit {
			t.Fatalf("towards %v: no hit", to)
		}
		r := math.Sqrt(x*x + y*y + (z+10.5)*(z+10.5))
		// The place is found to half a thousandth of a millimetre; what remains is the
		// grid's chord, pitch²/(8 R), and its rounding.
		if math.Abs(r-14.5) > 0.003 {
			t.Errorf("towards %v: at radius %.4f", to, r)
		}
	}
	if _, _, z, hit := newMarcher(s, [3]float64{0, -40, 40}).ray(0, 0.1, -math.Sqrt(0.99), 0); hit || z != 0 {
		t.Errorf("a ray beside the dome hits at z %g", z)
	}
}

// What is free for a tile's rays together is free for each of them.
func TestFreeIsFreeForEachRay(t *testing.T) {
	o := geom.Outline{thin(geom.RoundedRectangle(36, 28, 6)[0])}
	f := made(o, 12, 1.5, 0.1, wheel(10), 0.8)
	body := func(int) (Body, error) { return Body{f, o, Dark}, nil }
	s, err := newScene(t.Context(), Chair, o.Bounds().Grow(9), 0.1, body, []Placed{{}, {XMM: 40, TurnDeg: 30}})
	if err != nil {
		t.Fatal(err)
	}
	c := s.seat(400)
	c.march = newMarcher(s, c.eye)
	met, saved := 0, 0
	for y := 0; y < c.h; y += tile {
		for x := 0; x < c.w; x += tile {
			free := c.free(x, y)
			for k := range tile * tile {
				dx, dy, dz := c.towards(float64(x+k%tile)+0.125, float64(y+k/tile)+0.875)
				px, py, pz, hit := c.march.ray(dx, dy, dz, 0)
				qx, qy, qz, same := c.march.ray(dx, dy, dz, free)
				// The two come from other sides to a place that is within closeMM above or
				// below; along a surface that the ray grazes that is some samples.
				if off := math.Hypot(px-qx, py-qy); hit != same || off > 0.2 || math.Abs(pz-qz) > 0.2 {
					t.Fatalf("pixel %d, %d: (%.3f %.3f %.3f) %v, free to %.2f mm (%.3f %.3f %.3f) %v", x+k%tile, y+k/tile, px, py, pz, hit, free, qx, qy, qz, same)
				}
				if hit {
					met++
				} else if math.IsInf(free, 1) {
					saved++
				}
			}
		}
	}
	if met < c.w*c.h/4 || saved < c.w*c.h/10 {
		t.Errorf("%d of %d rays meet something, %d pass in tiles that meet nothing", met, c.w*c.h, saved)
	}
}

// A scene of one turned body is the body seen from another side: its area stays.
func TestSceneTurnsBodies(t *testing.T) {
	o := geom.Rectangle(20, 10)
	f := field.New(field.Around(o.Bounds().Grow(1), 0.1))
	for j := range f.H {
		for i := range f.W {
			if o.Contains(f.XY(i, j)) {
				f.Z[j*f.W+i] = 3
			}
		}
	}
	body := func(int) (Body, error) { return Body{f, o, Dark}, nil }
	s, err := newScene(t.Context(), Above, geom.Rect{Min: geom.Vec{X: -15, Y: -15}, Max: geom.Vec{X: 15, Y: 15}}, 0.1, body, []Placed{{TurnDeg: 37}})
	if err != nil {
		t.Fatal(err)
	}
	var cover, volume float64
	for i, c := range s.cover {
		cover += float64(c) / 255
		volume += float64(s.h.Z[i])
	}
	if a := cover * 0.01; math.Abs(a-200) > 1 { // 8 bits of cover along a rim of 60 mm
		t.Errorf("area %.2f mm², want 200", a)
	}
	if v := volume * 0.01; math.Abs(v-600) > 6 { // the rim's samples are half in, half out
		t.Errorf("volume %.1f mm³, want 600", v)
	}
	// The corner that was at (10, 5) is now where a turn of 37° puts it.
	p := geom.Turn(37).Apply(geom.Vec{X: 9.5, Y: 4.5})
	if s.kindAt(p.X, p.Y) == 0 {
		t.Error("the turned corner is empty")
	}
}

func TestHeightsOfASheet(t *testing.T) {
	s := &mesh.Sheet{V: [][3]float32{{0, 0, 0}, {4, 0, 0}, {0, 4, 4}}, T: [][3]uint32{{0, 1, 2}}}
	f := Heights(s, 0.5)
	for _, c := range [][3]float64{{1, 1, 1}, {0.5, 3, 3}, {0, 0, 0}, {3, 3, 0}} {
		if z := f.SampleOrZero(c[0], c[1]); math.Abs(float64(z)-c[2]) > 1e-6 {
			t.Errorf("at %g, %g: %g, want %g", c[0], c[1], z, c[2])
		}
	}
}

func TestRefusals(t *testing.T) {
	f, o := dome(0.2)
	for _, px := range []int{0, 15, MaxPx + 1} {
		if _, err := Chocolate(t.Context(), f, o, Dark, Look{SizePx: px}); err == nil {
			t.Errorf("%d px: no error", px)
		}
	}
	if _, err := Chocolate(t.Context(), f, nil, Dark, Look{SizePx: 100}); err == nil {
		t.Error("no outline: no error")
	}
	if _, _, err := Map(t.Context(), f, o, Looks, MaxPx+1); err == nil {
		t.Error("too large a map: no error")
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	for _, v := range []View{Above, Chair} {
		if _, err := Chocolate(ctx, f, o, Dark, Look{SizePx: 400, View: v}); !errors.Is(err, context.Canceled) {
			t.Errorf("view %d: %v", v, err)
		}
	}
}
