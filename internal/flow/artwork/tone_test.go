package artwork

import (
	"context"
	"errors"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/bitmap"
	"mouldwright/internal/base/format/svg"
	"mouldwright/internal/base/geom"
)

func tone(t testing.TB, m *bitmap.Image, s ToneSpec, widthMM, pitchMM float64) *field.Field {
	t.Helper()
	f, _, err := Tone(context.Background(), "test", m, s, widthMM, pitchMM)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// A ramp from black (left) to white bends to x^gamma: the closed form, away from
// the ends by the smoothing's reach; 1e-3 is what smoothing adds to a curved ramp,
// sigma²/2 times its second derivative.
func TestToneRamp(t *testing.T) {
	ramp := picture(400, 100, func(x, y float64) float64 { return x / 400 })
	for _, s := range []ToneSpec{{Gamma: 1}, {Gamma: 2.2}, {Gamma: 0.5}, {Gamma: 2.2, Invert: true}} {
		f := tone(t, ramp, s, 40, 0.05)
		for _, j := range []int{5, f.H / 2, f.H - 6} {
			for i := 40; i < f.W-40; i++ {
				x := f.XY(i, j).X/40 + 0.5
				want := math.Pow(x, s.Gamma)
				if s.Invert {
					want = 1 - want
				}
				if e := math.Abs(float64(f.At(i, j)) - want); e > 1e-3 {
					t.Fatalf("%+v at %.3f: %g, want %g", s, x, f.At(i, j), want)
				}
			}
		}
	}
}

// The grid is centred on the origin, on multiples of the pitch, y up.
func TestTonePlace(t *testing.T) {
	m := picture(100, 50, func(x, y float64) float64 { // bright in the upper left corner
		if x < 20 && y < 10 {
			return 1
		}
		return 0
	})
	f := tone(t, m, ToneSpec{Gamma: 1}, 20, 0.1)
	near(t, "left", f.X0, -10, 1e-9)
	near(t, "front", f.Y0, -5, 1e-9)
	if f.W != 201 || f.H != 101 {
		t.Errorf("%d x %d samples", f.W, f.H)
	}
	at := func(x, y float64) float64 {
		return float64(f.At(int(math.Round((x-f.X0)/0.1)), int(math.Round((y-f.Y0)/0.1))))
	}
	near(t, "upper left", at(-8, 4), 1, 1e-6)
	near(t, "lower left", at(-8, -4), 0, 1e-6)
	near(t, "upper right", at(8, 4), 0, 1e-6)
	near(t, "edge", at(-6, 4), 0.5, 0.01)
}

// A picture far finer than the grid is averaged: stripes of one pixel leave grey,
// without moiré, and the mean of any picture is kept.
func TestToneAveragesWithoutAliasing(t *testing.T) {
	m := &bitmap.Image{W: 3001, H: 200, V: make([]float32, 3001*200), Bits: 8}
	for i := range m.V {
		m.V[i] = float32(i % 3001 % 2)
	}
	f := tone(t, m, ToneSpec{Gamma: 1}, 30, 0.1)
	for i := 3; i < f.W-3; i++ {
		near(t, "stripes", float64(f.At(i, f.H/2)), 0.5, 0.01)
	}
}

// Smoothing halves a wave of the asked length and leaves a long one alone.
func TestToneSmooth(t *testing.T) {
	for _, c := range []struct{ wave, smooth, want float64 }{{1, 1, 0.5}, {10, 1, math.Exp2(-0.01)}, {0.5, 1, 0.0625}} {
		m := picture(1500, 40, func(x, y float64) float64 { return 0.5 + 0.4*math.Cos(2*math.Pi*(x/50)/c.wave) })
		f := tone(t, m, ToneSpec{Gamma: 1, SmoothMM: c.smooth}, 30, 0.025)
		low, high := float32(1), float32(0)
		for _, v := range f.Row(f.H / 2)[200 : f.W-200] {
			low, high = min(low, v), max(high, v)
		}
		near(t, "amplitude", float64(high-low)/0.8, c.want, 0.01)
	}
}

// Local contrast: none changes nothing; full doubles small waves, presses a large
// step to between 0.65 of its height and the whole, keeps the order of tones, and
// grows no rim along the step: a thirtieth of its height is allowed for sampling
// the brightnesses, where a plain blur as base (unsharp masking of gain 2) grows
// half the height.
func TestLocalContrast(t *testing.T) {
	ctx := context.Background()
	at := func(f func(x int) float64, c float64) []float32 {
		p := newPlane(480, 480)
		for i := range p.v {
			p.v[i] = float32(f(i % 480))
		}
		if err := strengthen(ctx, p, c); err != nil {
			t.Fatal(err)
		}
		return p.row(240)
	}
	step := func(x int) float64 {
		if x >= 240 {
			return 0.7
		}
		return 0.3
	}
	wave := func(x int) float64 { return step(x) + 0.01*math.Sin(float64(x)*2*math.Pi/8) }
	for x, v := range at(wave, 0) {
		near(t, "without contrast", float64(v), wave(x), 2e-6)
	}
	full := at(wave, 1)
	for _, part := range [][]float32{full[80:160], full[320:400]} {
		near(t, "amplitude of the wave", float64(slices.Max(part)-slices.Min(part))/2, 0.02, 0.002)
	}
	bare := at(step, 1)
	height := float64(bare[400] - bare[80])
	rim := max(bare[80]-slices.Min(bare[:240]), slices.Max(bare[240:])-bare[400])
	t.Logf("step of 0.4 becomes %.4f, with a rim of %.4f", height, rim)
	if rim > 0.4/30 {
		t.Errorf("a rim of %g along a step of 0.4", rim)
	}
	if height < 0.65*0.4-0.004 || height > 0.4 {
		t.Errorf("a step of 0.4 becomes %g", height)
	}
}

// What small waves in the ramp of a whole picture get stays in range.
func TestLocalContrastStaysInRange(t *testing.T) {
	for _, size := range [][2]int{{1, 1}, {5, 300}, {17, 16}, {64, 63}} {
		p := newPlane(size[0], size[1])
		for i := range p.v {
			p.v[i] = float32(i%7) / 6
		}
		if err := strengthen(context.Background(), p, 1); err != nil {
			t.Fatal(err)
		}
		for _, v := range p.v {
			if !(v >= 0 && v <= 1) {
				t.Fatalf("%v: value %g", size, v)
			}
		}
	}
}

func TestDepthKeepsHeights(t *testing.T) {
	m := picture(300, 300, func(x, y float64) float64 { return 0.1 + 0.8*x*y/90_000 })
	f, found, err := Depth(context.Background(), "test", m, ToneSpec{Gamma: 5, Contrast: 1, SmoothMM: 0.1}, 15, 0.05)
	if err != nil || len(found) > 0 {
		t.Fatal(err, found)
	}
	for j := 10; j < f.H-10; j++ {
		for i := 10; i < f.W-10; i++ {
			p := f.XY(i, j)
			want := 0.1 + 0.8*(p.X/15+0.5)*(0.5-p.Y/15)
			if math.Abs(float64(f.At(i, j))-want) > 1e-5 { // less than a 16-bit step
				t.Fatalf("at %v: %g, want %g", p, f.At(i, j), want)
			}
		}
	}
	m.Bits = 8
	_, found, _ = Depth(context.Background(), "test", m, ToneSpec{Gamma: 1}, 15, 0.05)
	if len(found) != 1 || !strings.Contains(found[0].What, "256 steps") {
		t.Errorf("findings %v", found)
	}
}

func TestToneRefusals(t *testing.T) {
	m := picture(10, 10, func(x, y float64) float64 { return 1 })
	for name, c := range map[string]struct {
		s        ToneSpec
		w, pitch float64
		want     string
	}{
		"gamma":    {ToneSpec{Gamma: 0}, 10, 0.1, "gamma: 0"},
		"contrast": {ToneSpec{Gamma: 1, Contrast: 2}, 10, 0.1, "local_contrast: 2"},
		"smooth":   {ToneSpec{Gamma: 1, SmoothMM: math.Inf(1)}, 10, 0.1, "smooth_mm: +Inf"},
		"width":    {ToneSpec{Gamma: 1}, math.NaN(), 0.1, "a width of NaN"},
		"pitch":    {ToneSpec{Gamma: 1}, 10, 0, "pitch of 0"},
		"samples":  {ToneSpec{Gamma: 1}, 1000, 0.001, "samples"},
	} {
		_, _, err := Tone(context.Background(), "art.png", m, c.s, c.w, c.pitch)
		var e *finding.Error
		if !errors.As(err, &e) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v does not say %q", name, err, c.want)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err := Tone(ctx, "art.png", m, ToneSpec{Gamma: 1, Contrast: 1}, 10, 0.1); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	if _, found, _ := Tone(context.Background(), "art.png", m, ToneSpec{Gamma: 1}, 10, 0.1); len(found) != 1 {
		t.Errorf("coarse picture: %v", found)
	}
}

func TestToneSameOnAnyNumberOfCores(t *testing.T) {
	m := picture(211, 143, func(x, y float64) float64 { return 0.5 + 0.5*math.Sin(x*y/900) })
	s := ToneSpec{Gamma: 1.3, Contrast: 0.6, SmoothMM: 0.2}
	want := tone(t, m, s, 20, 0.05)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if !slices.Equal(want.Z, tone(t, m, s, 20, 0.05).Z) {
		t.Error("one core gives other heights")
	}
}

func TestVector(t *testing.T) {
	d, _, err := svg.Read(context.Background(), "test", []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="50mm" viewBox="0 0 50 50"><circle cx="15" cy="20" r="8"/><rect x="25" y="14" width="10" height="12"/></svg>`))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ w, h, wantW, wantH float64 }{
		{0, 0, 28, 16}, {14, 0, 14, 8}, {0, 32, 56, 32}, {14, 4, 7, 4}, {14, 40, 14, 8},
	} {
		o, err := Vector(d, c.w, c.h)
		if err != nil {
			t.Fatal(err)
		}
		b := o.Bounds()
		near(t, "width", b.W(), c.wantW, 1e-3)
		near(t, "height", b.H(), c.wantH, 1e-3)
		near(t, "centre", b.Center().Len(), 0, 1e-3)
		f := c.wantW / 28
		near(t, "area", o.Area(), (math.Pi*64+120)*f*f, 1e-3*o.Area())
	}
	if _, err := Vector(d, math.NaN(), 0); err == nil {
		t.Error("a width of NaN was taken")
	}
	if _, err := Vector(&svg.Drawing{Outline: geom.Outline{}}, 5, 5); err == nil {
		t.Error("an empty drawing was taken")
	}
}

func BenchmarkTone(b *testing.B) {
	m := &bitmap.Image{W: 1600, H: 1200, V: make([]float32, 1600*1200), Bits: 8}
	for i := range m.V {
		m.V[i] = float32(0.5 + 0.5*math.Sin(float64(i%1600)*float64(i/1600)/90_000))
	}
	for b.Loop() {
		tone(b, m, ToneSpec{Gamma: 1.2, Contrast: 0.3, SmoothMM: 0.15}, 30, 0.025)
	}
}
