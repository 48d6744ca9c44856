package field

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// signedBrute is the definition: the least distance to any edge, the sign by the
// winding number.
func signedBrute(o geom.Outline, p geom.Vec, limit float64) float64 {
	best := limit
	for _, r := range o {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if a == b {
				continue
			}
			d := b.Sub(a)
			t := math.Min(1, math.Max(0, p.Sub(a).Dot(d)/d.Dot(d)))
			best = math.Min(best, a.Add(d.Times(t)).Sub(p).Len())
		}
	}
	if o.Winding(p) == 0 {
		return -best
	}
	return best
}

// Against the definition, on polygons that cross themselves, repeat points, run
// along the rows and the columns, and reach beyond the grid.
func TestSignedDistanceAgainstDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := Grid{W: rapid.IntRange(1, 24).Draw(t, "w"), H: rapid.IntRange(1, 40).Draw(t, "h"),
			PitchMM: rapid.SampledFrom([]float64{0.025, 0.1, 0.3}).Draw(t, "pitch"),
			X0:      rapid.Float64Range(-3, 3).Draw(t, "x0"), Y0: rapid.Float64Range(-3, 3).Draw(t, "y0")}
		onSamples := rapid.Bool().Draw(t, "points on samples")
		coord := func(n int, o float64) float64 {
			if onSamples {
				return o + g.PitchMM*float64(rapid.IntRange(-5, n+5).Draw(t, "k"))
			}
			return o + g.PitchMM*rapid.Float64Range(-5, float64(n+5)).Draw(t, "c")
		}
		o := make(geom.Outline, rapid.IntRange(0, 3).Draw(t, "rings"))
		for i := range o {
			o[i] = make(geom.Ring, rapid.IntRange(0, 9).Draw(t, "points"))
			for k := range o[i] {
				o[i][k] = geom.Vec{X: coord(g.W, g.X0), Y: coord(g.H, g.Y0)}
			}
		}
		limit := rapid.SampledFrom([]float64{0.01, 0.1, 1, 20}).Draw(t, "limit")
		f, err := SignedDistance(context.Background(), g, o, limit)
		if err != nil {
			t.Fatal(err)
		}
		for j := 0; j < g.H; j++ {
			for i := 0; i < g.W; i++ {
				got, want := float64(f.At(i, j)), signedBrute(o, g.XY(i, j), limit)
				// 32-bit rounding of distances up to 20 mm is 1e-6; closer to an edge
				// than the rounding of a crossing the sign is free.
				if math.Abs(got-want) > 2e-6 && math.Abs(want) > 1e-9 {
					t.Fatalf("sample (%d, %d): %g, want %g", i, j, got, want)
				}
			}
		}
	})
}

// The distance from a circle is known: r - |p|, up to the flattening of the circle.
func TestSignedDistanceOfCircle(t *testing.T) {
	o := geom.Circle(5)
	g := Around(o.Bounds().Grow(2), 0.05)
	f, err := SignedDistance(context.Background(), g, o, 10)
	if err != nil {
		t.Fatal(err)
	}
	for j := 0; j < g.H; j++ {
		for i := 0; i < g.W; i++ {
			if got, want := float64(f.At(i, j)), 5-g.XY(i, j).Len(); math.Abs(got-want) > geom.FlattenMM+1e-6 {
				t.Fatalf("at %v: %g, want %g", g.XY(i, j), got, want)
			}
		}
	}
}

func TestSignedDistanceIsDeterministic(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	r := rand.New(rand.NewPCG(1, 1))
	o := geom.Outline{make(geom.Ring, 300)}
	for i := range o[0] {
		o[0][i] = geom.Vec{X: 10 * r.Float64(), Y: 10 * r.Float64()}
	}
	var first []float32
	for _, n := range []int{1, 2, 5} {
		runtime.GOMAXPROCS(n)
		f, err := SignedDistance(context.Background(), Around(o.Bounds(), 0.02), o, 0.7)
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = f.Z
		}
		if !slices.Equal(first, f.Z) {
			t.Fatalf("%d cores give another result", n)
		}
	}
}

func TestSignedDistanceRefuses(t *testing.T) {
	ctx, o := context.Background(), geom.Circle(1)
	ok := Grid{W: 10, H: 10, PitchMM: 1}
	for name, run := range map[string]func() error{
		"grid without samples": func() error { _, err := SignedDistance(ctx, Grid{PitchMM: 1}, o, 1); return err },
		"grid too large": func() error {
			_, err := SignedDistance(ctx, Grid{W: 1 << 20, H: 1 << 20, PitchMM: 1}, o, 1)
			return err
		},
		"pitch not a number": func() error { _, err := SignedDistance(ctx, Grid{W: 1, H: 1, PitchMM: math.NaN()}, o, 1); return err },
		"endless rectangle": func() error {
			return Around(geom.Rect{Min: geom.Vec{}, Max: geom.Vec{X: math.Inf(1), Y: 1e300}}, 1e-9).Check()
		},
		"empty rectangle": func() error { return Around(geom.EmptyRect(), 0.1).Check() },
		"no limit":        func() error { _, err := SignedDistance(ctx, ok, o, 0); return err },
		"limit no number": func() error { _, err := SignedDistance(ctx, ok, o, math.NaN()); return err },
		"bad outline": func() error {
			_, err := SignedDistance(ctx, ok, geom.Outline{{{X: math.NaN()}, {X: 1}, {Y: 1}}}, 1)
			return err
		},
	} {
		var fe *finding.Error
		if err := run(); !errors.As(err, &fe) || fe.Found == "" || fe.Allowed == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
	gone, cancel := context.WithCancel(ctx)
	cancel()
	if _, err := SignedDistance(gone, ok, o, 1); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

// reference is the body of the reference piece and seven stand-ins for its
// letters: rings with about as many points and as much perimeter as bold capitals.
func reference() (body, letters geom.Outline) {
	body = geom.RoundedRectangle(36, 28, 4)
	for i := range 7 {
		at := geom.Move(float64(i-3)*4.3, 0)
		letters = append(letters, geom.Heart(3.8, 4.3).Transform(at)...)
		hole := geom.Heart(2, 2.2).Transform(at)
		slices.Reverse(hole[0])
		letters = append(letters, hole...)
	}
	return body, letters
}

// The whole sampling of the reference piece, 36 x 28 mm at 25 µm: the body as far
// as its sides reach (12 mm at 8 degrees), the letters as far as theirs do (0.8 mm at 10).
func BenchmarkSignedDistanceReference(b *testing.B) {
	body, letters := reference()
	g := Around(body.Bounds(), 0.025)
	for b.Loop() {
		for _, c := range []struct {
			o     geom.Outline
			limit float64
		}{{body, 12 * math.Tan(8*math.Pi/180)}, {letters, 0.8 * math.Tan(10*math.Pi/180)}} {
			if _, err := SignedDistance(context.Background(), g, c.o, c.limit); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.ReportMetric(float64(g.W*g.H), "samples")
}

// As far as distances go in the reference piece: what a domed top asks for.
func BenchmarkSignedDistanceFar(b *testing.B) {
	body, letters := reference()
	g := Around(body.Bounds(), 0.025)
	for name, o := range map[string]geom.Outline{"body": body, "letters": letters} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := SignedDistance(context.Background(), g, o, 14); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
