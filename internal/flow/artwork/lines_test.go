package artwork

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/bitmap"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/peer"
)

// picture samples a function of x, y (pixels, y down) by area, 16 x 16 places a pixel.
func picture(w, h int, f func(x, y float64) float64) *bitmap.Image {
	m := &bitmap.Image{W: w, H: h, V: make([]float32, w*h), Bits: 16}
	for i := range m.V {
		s := 0.0
		for k := range 256 {
			s += f(float64(i%w)+(float64(k%16)+0.5)/16, float64(i/w)+(float64(k/16)+0.5)/16)
		}
		m.V[i] = float32(s / 256)
	}
	return m
}

func disc(cx, cy, r float64) func(x, y float64) float64 {
	return func(x, y float64) float64 {
		if math.Hypot(x-cx, y-cy) <= r {
			return 1
		}
		return 0
	}
}

// traced gives the rings in pixels of the picture, y up, before they are scaled.
func traced(t testing.TB, m *bitmap.Image, s LinesSpec) geom.Outline {
	t.Helper()
	p, per, err := traceable(context.Background(), m, s, 1)
	if err != nil {
		t.Fatal(err)
	}
	tr := tracer{plane: p, level: float32(s.Threshold), invert: s.Invert, speck: speckPx / per / per}
	o, err := tr.all(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return o.Transform(geom.Scale(per, per))
}

// A disc is traced to its circle of radius r, drawn in by smoothing: a blur of
// variance s² moves a curved edge by s²/2r, and s² is 1/12 of the pixel's own square,
// 1/6 of linear interpolation and 0.64 of smoothing. The waves of the interpolation
// between pixels remain, 0.04 pixels at chord and point; in the area they cancel to an
// eighth of that.
func TestTraceDisc(t *testing.T) {
	for _, r := range []float64{6, 20.3, 77.7, 180} {
		c := geom.Vec{X: r + 10.37, Y: r + 9.81}
		side := int(2*r) + 22
		o := traced(t, picture(side, side, disc(c.X, c.Y, r)), LinesSpec{Threshold: 0.5})
		if len(o) != 1 {
			t.Fatalf("radius %g: %d rings", r, len(o))
		}
		c.Y = float64(side) - c.Y
		low, high := math.Inf(1), 0.0
		for i, p := range o[0] {
			q := p.Lerp(o[0][(i+1)%len(o[0])], 0.5)
			low, high = min(low, p.Sub(c).Len(), q.Sub(c).Len()), max(high, p.Sub(c).Len(), q.Sub(c).Len())
		}
		shrink := (1.0/12 + 1.0/6 + leastSigmaPx*leastSigmaPx) / 2 / r
		t.Logf("radius %g: from %+.4f to %+.4f pixels, area %+.4f %%", r, low-r, high-r, 100*(o.Area()/(math.Pi*r*r)-1))
		if low < r-shrink-0.04 || high > r-shrink+0.04 {
			t.Errorf("radius %g: from %g to %g", r, low, high)
		}
		if want := math.Pi * r * r; math.Abs(o.Area()-want+shrink*2*math.Pi*r) > 0.005*2*math.Pi*r {
			t.Errorf("radius %g: area %g, want %g", r, o.Area(), want)
		}
	}
}

// A straight edge is found to 0.03 pixels at any angle and place; without grey
// edges (one bit) to half a pixel, the most that such a picture says.
func TestTraceEdge(t *testing.T) {
	for _, oneBit := range []bool{false, true} {
		worst := 0.0
		for deg := 0.0; deg < 90; deg += 7.3 {
			n := geom.Turn(deg).Apply(geom.Vec{X: 1})
			d := 60.31
			edge := func(x, y float64) float64 {
				if n.X*x+n.Y*y < d {
					return 1
				}
				return 0
			}
			m := picture(120, 120, edge)
			if oneBit {
				for i, v := range m.V {
					m.V[i] = float32(math.Round(float64(v)))
				}
			}
			o := traced(t, m, LinesSpec{Threshold: 0.5})
			for _, p := range o[0] {
				x, y := p.X, 120-p.Y
				if math.Min(x, y) > 5 && math.Max(x, y) < 115 {
					worst = max(worst, math.Abs(n.X*x+n.Y*y-d))
				}
			}
		}
		t.Logf("one bit %v: worst %.4f pixels", oneBit, worst)
		if !oneBit && worst > 0.03 || oneBit && worst > 0.5 {
			t.Errorf("one bit %v: the edge is off by %g pixels", oneBit, worst)
		}
	}
}

func TestLinesSizeAndPlace(t *testing.T) {
	m := picture(200, 100, func(x, y float64) float64 { // a ring and, aside, a speck
		return disc(120, 40, 30)(x, y) - disc(120, 40, 12)(x, y) + disc(20, 80, 1.3)(x, y)
	})
	o, found, err := Lines(context.Background(), "ring", m, LinesSpec{Threshold: 0.5}, 0, 12)
	if err != nil {
		t.Fatal(err)
	}
	b := o.Bounds()
	near(t, "height", b.H(), 12, 1e-6)
	near(t, "centre", b.Center().Len(), 0, 1e-6)
	if len(o) != 2 || !(o[0].Area() > 0 && o[1].Area() < 0) {
		t.Fatalf("%d rings", len(o))
	}
	near(t, "hole", math.Sqrt(-o[1].Area()/math.Pi), 12*12/60.0, 0.01)
	if len(found) != 1 || !strings.Contains(found[0].What, "1 specks") {
		t.Errorf("findings %v", found)
	}

	dark, _, err := Lines(context.Background(), "ring", m, LinesSpec{Threshold: 0.5, Invert: true}, 20, 0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "inverted width", dark.Bounds().W(), 20, 1e-6)
	near(t, "inverted area", dark.Area(), 20*10-math.Pi*(9-1.44), 0.05)
}

// Where two bright squares touch at a corner, the surface decides whether they hang
// together; either way the rings are settled, and nothing is lost or doubled.
func TestTraceSaddles(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	p := newPlane(60, 60)
	for i := range p.v {
		p.v[i] = float32(rng.IntN(2))*0.8 + rng.Float32()*0.1
	}
	tr := tracer{plane: p, level: 0.45}
	o, err := tr.all(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	settled, err := geom.Settle(o, geom.NonZero)
	if err != nil {
		t.Fatal(err)
	}
	if a, b := o.Area(), settled.Area(); math.Abs(a-b) > 1e-3*a {
		t.Errorf("rings of area %g settle to %g", a, b)
	}
	for j := range 60 { // each sample is on its side
		for i := range 60 {
			in := o.Winding(geom.Vec{X: float64(i) + 0.5, Y: float64(j) + 0.5})
			if want := p.v[j*60+i] > 0.45; in != 0 && in != 1 || (in == 1) != want {
				t.Fatalf("sample (%d, %d): winding %d, inside %v", i, j, in, want)
			}
		}
	}
}

func TestLinesRefusals(t *testing.T) {
	flat := picture(40, 40, func(x, y float64) float64 { return 0.2 })
	spot := picture(40, 40, disc(20, 20, 1))
	ring := picture(40, 40, disc(20, 20, 9))
	for name, c := range map[string]struct {
		m    *bitmap.Image
		s    LinesSpec
		w, h float64
		want string
	}{
		"flat":         {flat, LinesSpec{Threshold: 0.5}, 20, 0, "no part is brighter than 0.5"},
		"specks":       {spot, LinesSpec{Threshold: 0.5, SmoothMM: 5}, 1, 0, "only specks"},
		"threshold":    {ring, LinesSpec{Threshold: 1.5}, 20, 0, "threshold: 1.5"},
		"smooth":       {ring, LinesSpec{Threshold: 0.5, SmoothMM: math.NaN()}, 20, 0, "smooth_mm: NaN"},
		"no size":      {ring, LinesSpec{Threshold: 0.5}, 0, 0, "without a size"},
		"minus a size": {ring, LinesSpec{Threshold: 0.5}, -1, 0, "width_mm: -1"},
	} {
		_, _, err := Lines(context.Background(), "art.png", c.m, c.s, c.w, c.h)
		var e *finding.Error
		if !errors.As(err, &e) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v does not say %q", name, err, c.want)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err := Lines(ctx, "art.png", ring, LinesSpec{Threshold: 0.5}, 20, 0); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

// A picture of noise ends with an outline or a clear refusal.
func TestLinesOfNoise(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	m := &bitmap.Image{W: 600, H: 600, V: make([]float32, 360_000), Bits: 8}
	for i := range m.V {
		m.V[i] = rng.Float32()
	}
	o, _, err := Lines(context.Background(), "noise", m, LinesSpec{Threshold: 0.5}, 40, 0)
	var e *finding.Error
	if err != nil && !errors.As(err, &e) {
		t.Fatal(err)
	}
	t.Logf("%d points, error %v", o.Points(), err)
}

func TestLinesSameOnAnyNumberOfCores(t *testing.T) {
	m := picture(150, 90, func(x, y float64) float64 { return 0.5 + 0.5*math.Sin(x/7)*math.Cos(y/5+x/30) })
	run := func() string {
		o, _, err := Lines(context.Background(), "waves", m, LinesSpec{Threshold: 0.55, SmoothMM: 0.3}, 25, 0)
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprint(o)
	}
	want := run()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if run() != want {
		t.Error("one core gives another outline")
	}
}

// OpenCV counts the pixels above the threshold and finds as many outer and inner
// contours (findContours with its hierarchy) as Lines has rings. Its own contours
// run through pixel centres, so areas are compared with its count of pixels: the
// tolerance is a twentieth of a pixel along the outline.
func TestTraceOpenCV(t *testing.T) {
	python := peer.Python(t, "cv2", "python3-opencv")
	m := picture(320, 240, func(x, y float64) float64 {
		v := disc(100, 100, 70)(x, y) - disc(90, 110, 30)(x, y) + disc(92, 112, 14)(x, y)
		if x > 200 && x < 290 && y > 30+(x-200)/5 && y < 200 {
			v = 1
		}
		return v - disc(245, 120, 22)(x, y)
	})
	dir := t.TempDir()
	pgm := fmt.Appendf(nil, "P5\n%d %d\n255\n", m.W, m.H)
	for _, v := range m.V {
		pgm = append(pgm, byte(math.Round(float64(v)*255)))
	}
	file := filepath.Join(dir, "art.pgm")
	if err := os.WriteFile(file, pgm, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(python, "-c", `
import cv2, sys
g = cv2.imread(sys.argv[1], cv2.IMREAD_GRAYSCALE)
_, b = cv2.threshold(g, 127, 255, cv2.THRESH_BINARY)
c, h = cv2.findContours(b, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
print(len(c), sum(1 for k in h[0] if k[3] >= 0), cv2.countNonZero(b))`, file).Output()
	if err != nil {
		t.Fatal(err)
	}
	var rings, holes int
	var pixels float64
	if _, err := fmt.Sscan(string(out), &rings, &holes, &pixels); err != nil {
		t.Fatal(err)
	}
	o := traced(t, m, LinesSpec{Threshold: 0.5})
	inner := 0
	for _, r := range o {
		if r.Area() < 0 {
			inner++
		}
	}
	t.Logf("%d rings, %d holes, area %.2f pixels; OpenCV %d, %d, %.0f", len(o), inner, o.Area(), rings, holes, pixels)
	if len(o) != rings || inner != holes {
		t.Errorf("%d rings with %d holes, OpenCV has %d with %d", len(o), inner, rings, holes)
	}
	if tol := o.Perimeter() / 20; math.Abs(o.Area()-pixels) > tol {
		t.Errorf("area %g, OpenCV counts %g, allowed %g", o.Area(), pixels, tol)
	}
}

func BenchmarkLines(b *testing.B) {
	m := &bitmap.Image{W: 1200, H: 900, V: make([]float32, 1200*900), Bits: 8}
	for i := range m.V {
		x, y := float64(i%1200), float64(i/1200)
		m.V[i] = float32(0.5 + 0.5*math.Sin(x/27)*math.Cos(y/25+x/130))
	}
	for b.Loop() {
		if _, _, err := Lines(context.Background(), "waves", m, LinesSpec{Threshold: 0.55, SmoothMM: 0.15}, 30, 0); err != nil {
			b.Fatal(err)
		}
	}
}
