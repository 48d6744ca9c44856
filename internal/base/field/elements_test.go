package field

import (
	"context"
	"errors"
	"math"
	"runtime"
	"slices"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

func ramp(g Grid, a, b float64) *Field {
	f := New(g)
	for j := range g.H {
		for i := range g.W {
			p := g.XY(i, j)
			f.Z[j*g.W+i] = float32(a*p.X + b*p.Y)
		}
	}
	return f
}

func TestElementsOnOtherWindows(t *testing.T) {
	f := New(Grid{W: 5, H: 4, PitchMM: 0.5, X0: 1, Y0: 2})
	o := New(Grid{W: 3, H: 3, PitchMM: 0.5, X0: 2.5, Y0: 1.5}) // overlaps columns 3-4, rows 0-1
	o.Fill(7)
	f.Add(o)
	for j := range f.H {
		for i := range f.W {
			want := float32(0)
			if i >= 3 && j <= 1 {
				want = 7
			}
			if f.At(i, j) != want {
				t.Errorf("sample (%d, %d) is %g, want %g", i, j, f.At(i, j), want)
			}
		}
	}
	o.Fill(3)
	f.Min(o)
	f.Max(o)
	if lo, hi := f.Extremes(); lo != 0 || hi != 3 {
		t.Errorf("extremes %g to %g, want 0 to 3", lo, hi)
	}
	s := f.Sub(Grid{W: 2, H: 3, PitchMM: 0.5, X0: 3, Y0: 1.5}, -1) // f ends at x = 3 and begins at y = 2
	if want := []float32{-1, -1, 3, -1, 3, -1}; !slices.Equal(s.Z, want) {
		t.Errorf("window %v, want %v", s.Z, want)
	}
	f.Clamp(1, 2)
	f.Map(func(z float32) float32 { return 10 * z })
	if f.Sum() != 16*10+4*20 || f.VolumeMM3() != f.Sum()/4 {
		t.Errorf("sum %g, volume %g", f.Sum(), f.VolumeMM3())
	}
	if m := f.Above(15); slices.Index(m.On, true) != 3 || m.Not().On[3] {
		t.Error("the mask above 15 is wrong")
	}
	defer func() {
		if recover() == nil {
			t.Error("a grid between the samples is taken")
		}
	}()
	f.Max(New(Grid{W: 3, H: 3, PitchMM: 0.5, X0: 1.2}))
}

// The volume of a frustum against h/3 (A + sqrt(AB) + B): a drafted cylinder.
func TestVolumeOfFrustum(t *testing.T) {
	o := geom.Circle(10)
	g := Around(o.Bounds().Grow(0.1), 0.05)
	f, err := SignedDistance(context.Background(), g, o, 5)
	if err != nil {
		t.Fatal(err)
	}
	tan := math.Tan(10 * math.Pi / 180)
	f.Map(func(d float32) float32 { return float32(max(0, min(8, float64(d)/tan))) })
	a, b := 100*math.Pi, math.Pi*math.Pow(10-8*tan, 2)
	want := 8.0 / 3 * (a + math.Sqrt(a*b) + b)
	if got := f.VolumeMM3(); math.Abs(got/want-1) > 1e-3 {
		t.Errorf("volume %g mm³, closed form %g", got, want)
	}
}

// Bilinear interpolation gives back planes, and so do the differences.
func TestSampleAndGradientOfPlane(t *testing.T) {
	f := ramp(Grid{W: 9, H: 7, PitchMM: 0.25, X0: -1, Y0: 3}, 2, -3)
	p := geom.Vec{X: 0.3, Y: 3.9}
	if got, want := f.Sample(p), 2*p.X-3*p.Y; math.Abs(got-want) > 1e-6 {
		t.Errorf("sample %g, want %g", got, want)
	}
	if got := f.Sample(geom.Vec{X: 99, Y: -99}); got != float64(f.At(8, 0)) {
		t.Errorf("beyond the corner: %g", got)
	}
	if got, want := f.SampleOrZero(p.X, p.Y), 2*p.X-3*p.Y; math.Abs(float64(got)-want) > 1e-6 {
		t.Errorf("sample %g, want %g", got, want)
	}
	if got := f.SampleOrZero(1, 4.5); got != f.At(8, 6) { // the last corner belongs to the grid
		t.Errorf("at the last corner: %g, want %g", got, f.At(8, 6))
	}
	for _, out := range []geom.Vec{{X: 99, Y: 4}, {X: 0, Y: -99}, {X: math.NaN(), Y: 4}} {
		if got := f.SampleOrZero(out.X, out.Y); got != 0 {
			t.Errorf("beyond the grid at %v: %g", out, got)
		}
	}
	for _, at := range [][2]int{{0, 0}, {4, 3}, {8, 6}} {
		if g := f.Gradient(at[0], at[1]); g.Sub(geom.Vec{X: 2, Y: -3}).Len() > 1e-5 {
			t.Errorf("gradient at %v is %v", at, g)
		}
	}
	fine, err := Resample(context.Background(), f, Grid{W: 30, H: 25, PitchMM: 0.06, X0: -1, Y0: 3})
	if err != nil {
		t.Fatal(err)
	}
	for j := range fine.H {
		for i := range fine.W {
			if p := fine.XY(i, j); math.Abs(float64(fine.At(i, j))-f.Sample(p)) > 1e-5 {
				t.Fatalf("resampled at %v: %g, want %g", p, fine.At(i, j), f.Sample(p))
			}
		}
	}
}

// A Gaussian blurred by a Gaussian is one whose variances add.
func TestBlurOfGaussian(t *testing.T) {
	g := Grid{W: 161, H: 161, PitchMM: 0.05, X0: -4, Y0: -4}
	gauss := func(s float64) *Field {
		f := New(g)
		for j := range g.H {
			for i := range g.W {
				r := g.XY(i, j).Len()
				f.Z[j*g.W+i] = float32(math.Exp(-r*r/(2*s*s)) / (s * s))
			}
		}
		return f
	}
	got, err := Blur(context.Background(), gauss(0.3), 0.4)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range gauss(0.5).Z {
		// Cut off at four sigma; the top is 1/0.25 = 4.
		if math.Abs(float64(got.Z[i]-want)) > 4*2e-4 {
			t.Fatalf("sample %d: %g, want %g", i, got.Z[i], want)
		}
	}
	flat := New(Grid{W: 3, H: 2, PitchMM: 1})
	flat.Fill(5)
	if f, err := Blur(context.Background(), flat, 9); err != nil || math.Abs(f.Sum()-30) > 1e-4 {
		t.Errorf("an even field does not stay even: %v %v", f, err)
	}
	var fe *finding.Error
	if _, err := Blur(context.Background(), flat, -1); !errors.As(err, &fe) {
		t.Errorf("sigma -1: %v", err)
	}
}

// Sums, blurs and resampling do not depend on the number of cores.
func TestElementsAreDeterministic(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	f := New(Grid{W: 300, H: 500, PitchMM: 0.1})
	for i := range f.Z {
		f.Z[i] = float32(i*7919%1000) / 7
	}
	var first []float32
	var sum float64
	for _, n := range []int{1, 2, 5} {
		runtime.GOMAXPROCS(n)
		b, err := Blur(context.Background(), f, 0.5)
		if err != nil {
			t.Fatal(err)
		}
		b, err = Resample(context.Background(), b, Grid{W: 200, H: 300, PitchMM: 0.13})
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first, sum = b.Z, f.Sum()
		}
		if !slices.Equal(first, b.Z) || f.Sum() != sum {
			t.Fatalf("%d cores give another result", n)
		}
	}
}

func TestForRowsCoversEachRowOnce(t *testing.T) {
	for _, h := range []int{1, 7, 64, 1000} {
		seen := make([]int32, h)
		if err := ForRows(context.Background(), h, func(j0, j1 int) {
			for j := j0; j < j1; j++ {
				seen[j]++
			}
		}); err != nil {
			t.Fatal(err)
		}
		for j, n := range seen {
			if n != 1 {
				t.Errorf("row %d of %d came %d times", j, h, n)
			}
		}
	}
}

func BenchmarkBlur(b *testing.B) {
	f := New(Grid{W: 1440, H: 1120, PitchMM: 0.025})
	for b.Loop() {
		if _, err := Blur(context.Background(), f, 0.15); err != nil {
			b.Fatal(err)
		}
	}
}
