package field

import (
	"context"
	"errors"
	"math"
	"runtime"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/finding"
)

// Against the definition in ErodeBall's comment, in float64.
func TestErodeBallAgainstDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := Grid{W: rapid.IntRange(1, 30).Draw(t, "w"), H: rapid.IntRange(1, 30).Draw(t, "h"), PitchMM: 0.1}
		f := New(g)
		rough := rapid.Float64Range(0, 3).Draw(t, "rough")
		for i := range f.Z {
			x, y := float64(i%g.W), float64(i/g.W)
			f.Z[i] = float32(2*math.Sin(x/5)*math.Cos(y/7) + rough*rapid.Float64Range(0, 1).Draw(t, "z"))
		}
		r := rapid.Float64Range(0, 1.5).Draw(t, "r")
		got, err := ErodeBall(context.Background(), f, r)
		if err != nil {
			t.Fatal(err)
		}
		n := int(r/0.1) + 1
		for j := range g.H {
			for i := range g.W {
				want := math.Inf(1)
				for dj := -n; dj <= n; dj++ {
					for di := -n; di <= n; di++ {
						rest := r*r - float64(di*di+dj*dj)*0.1*0.1
						if rest < -1e-12*r*r { // on the rim but for rounding counts
							continue
						}
						z := f.At(min(max(i+di, 0), g.W-1), min(max(j+dj, 0), g.H-1))
						want = min(want, float64(z)-math.Sqrt(math.Max(rest, 0)))
					}
				}
				// Values of some mm in float32, rounded three times; that allowance raises the
				// ball by 1e-6 of its radius over its rim.
				if d := math.Abs(float64(got.At(i, j)) - want); d > 1e-6*(1+r) {
					t.Fatalf("sample (%d, %d), radius %g: off by %g", i, j, r, d)
				}
			}
		}
	})
}

// A plane moves down by r / cos(slope): plane geometry.
func TestErodeBallOfPlane(t *testing.T) {
	f := New(Grid{W: 120, H: 120, PitchMM: 0.05})
	slope := math.Tan(30 * math.Pi / 180)
	for j := range f.H {
		for i := range f.W {
			f.Z[j*f.W+i] = float32(slope * f.XY(i, j).X)
		}
	}
	got, err := ErodeBall(context.Background(), f, 1)
	if err != nil {
		t.Fatal(err)
	}
	want := slope*f.XY(60, 60).X - 1/math.Cos(30*math.Pi/180)
	// The deepest point of the ball falls between samples: at most half a pitch
	// along the circle, which is pitch²/8r high there, divided by cos³.
	if d := float64(got.At(60, 60)) - want; d < -1e-5 || d > 0.05*0.05/8/math.Pow(math.Cos(30*math.Pi/180), 3)+1e-5 {
		t.Errorf("off by %g mm", d)
	}
}

func TestErodeBallRefusesAndRepeats(t *testing.T) {
	f := New(Grid{W: 200, H: 100, PitchMM: 0.1})
	for i := range f.Z {
		f.Z[i] = float32(i * 7919 % 1000)
	}
	var fe *finding.Error
	for _, r := range []float64{-1, math.NaN(), 26} {
		if _, err := ErodeBall(context.Background(), f, r); !errors.As(err, &fe) {
			t.Errorf("radius %g: %v", r, err)
		}
	}
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := ErodeBall(gone, f, 1); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	var first []float32
	for _, n := range []int{1, 2} {
		runtime.GOMAXPROCS(n)
		got, err := ErodeBall(context.Background(), f, 1)
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = got.Z
		}
		if !slices.Equal(first, got.Z) {
			t.Fatal("two cores give another result")
		}
	}
}

// A shell of 2 mm in a drafted piece with a cushioned top.
func BenchmarkErodeBall(b *testing.B) {
	for name, pitch := range map[string]float64{"0.1mm": 0.1, "0.025mm": 0.025} {
		b.Run(name, func(b *testing.B) {
			body, letters := reference()
			g := Around(body.Bounds(), pitch)
			f, _ := SignedDistance(context.Background(), g, body, 14)
			l, _ := SignedDistance(context.Background(), g, letters, 0.14)
			for i, d := range f.Z {
				z := max(0, min(12, float64(d)/math.Tan(8*math.Pi/180)))
				f.Z[i] = float32(z - 0.01*(14-float64(d)) + max(0, min(0.8, float64(l.Z[i])*5.67)))
			}
			for b.Loop() {
				if _, err := ErodeBall(context.Background(), f, 2); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
