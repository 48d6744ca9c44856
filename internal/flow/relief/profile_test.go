package relief

import (
	"context"
	"math"
	"runtime"
	"slices"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"

	"pgregory.net/rapid"
)

const pitch = 0.025

func make1(t testing.TB, o geom.Outline, depth float64, profile string, draft float64) *field.Field {
	t.Helper()
	g := field.Around(o.Bounds().Grow(OutsideMM(depth, profile, draft, pitch)+2*pitch), pitch)
	f, err := FromOutline(context.Background(), g, o, depth, profile, draft)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func volume(f *field.Field) float64 {
	sum := 0.0
	for _, z := range f.Z {
		sum += float64(z)
	}
	return sum * f.PitchMM * f.PitchMM
}

// within fails when got differs from want by more than the relative tolerance.
func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.Abs(got/want-1) > tol {
		t.Errorf("%s: got %.6g, want %.6g, off by %.3f %% (allowed %.3f %%)", what, got, want, 100*(got/want-1), 100*tol)
	}
}

// The wall of a rectangle moves in by s and out by s: inside (a-2s)(b-2s), outside
// ab + 2(a+b)s + πs² (Steiner's formula for convex sets, J. Steiner 1840).
func TestFlatVolumeIsThatOfItsWalls(t *testing.T) {
	for _, c := range []struct{ draft, turn float64 }{{10, 0}, {30, 0}, {10, 27}, {45, 45}, {0, 33}} {
		const a, b, depth = 5.0, 3.0, 0.8
		f := make1(t, geom.Rectangle(a, b).Transform(geom.Turn(c.turn)), depth, Flat, c.draft)
		r := RunMM(depth, Flat, c.draft, pitch) / 2
		want := depth / (2 * r) * ((a*b*r + (a+b)*r*r + math.Pi*r*r*r/3) + (a*b*r - (a+b)*r*r + 4*r*r*r/3))
		// The sum's error is a twelfth of pitch² times slope times length of the wall's
		// two edges: 0.01 % with two samples, less with more.
		within(t, "volume", volume(f), want, 2e-4)
	}
}

func TestFlatStandsOnItsOutlineAtHalfDepth(t *testing.T) {
	f := make1(t, geom.Rectangle(5, 3), 0.8, Flat, 10)
	// Along y = 0 the wall crosses half the depth at x = 2.5, linearly between samples.
	j := int(math.Round(-f.Y0 / pitch))
	row := f.Row(j)
	for i := len(row) - 2; i > 0; i-- {
		if row[i] >= 0.4 {
			x := f.X0 + pitch*(float64(i)+float64((row[i]-0.4)/(row[i]-row[i+1])))
			if math.Abs(x-2.5) > 1e-5 { // float32 heights on a wall of slope 5.7
				t.Errorf("half depth at %.6f mm, want 2.5", x)
			}
			break
		}
	}
}

func TestVeeRisesFromItsOutline(t *testing.T) {
	for _, c := range []struct{ width, depth, draft, want float64 }{
		{1, 0.8, 10, 0.5}, // a right angle, too narrow for the depth
		{3, 0.8, 10, 0.8}, // wide enough
		{1, 0.8, 60, 0.5 / math.Tan(60*math.Pi/180)}, // flatter than a right angle
	} {
		f := make1(t, geom.Rectangle(6, c.width), c.depth, Vee, c.draft)
		if got := float64(slices.Max(f.Z)); math.Abs(got-c.want) > 1e-5 {
			t.Errorf("ridge of a stroke %g mm wide: %.5f mm, want %.5f", c.width, got, c.want)
		}
	}
}

// A straight stroke's section is a semicircle of its half width, begun by a wall.
func TestRoundIsASemicircle(t *testing.T) {
	for _, turn := range []float64{0, 7, 30, 45, 90} {
		const half, depth, draft = 0.41, 0.8, 10.0
		o := geom.Rectangle(8, 2*half).Transform(geom.Turn(turn).Then(geom.Move(0.003, 0.011)))
		f := make1(t, o, depth, Round, draft)
		s, c := math.Sincos(turn * math.Pi / 180)
		worst := 0.0
		for j := range f.H {
			for i := range f.W {
				p := f.XY(i, j)
				along, across := (p.X-0.003)*c+(p.Y-0.011)*s, (p.Y-0.011)*c-(p.X-0.003)*s
				if math.Abs(along) > 3 || math.Abs(across) >= half {
					continue
				}
				want := math.Min(math.Sqrt(half*half-across*across), (half-math.Abs(across))/math.Tan(draft*math.Pi/180))
				worst = math.Max(worst, math.Abs(float64(f.At(i, j))-want))
			}
		}
		// Centres along the middle line are at most 1.41 samples apart: the crest sags
		// by pitch²/(4 half) = 0.4 µm, the steep flank by a few times that.
		if worst > 0.002 {
			t.Errorf("turned by %g: %.4f mm off the semicircle", turn, worst)
		}
	}
}

// A disc's round section turned about its middle: V = 2π ∫ ρ z(ρ) dρ, by Simpson's
// rule on the section that the package documents.
func TestRoundSectionOfADisc(t *testing.T) {
	for _, c := range []struct{ radius, depth, draft float64 }{
		{2, 0.5, 20},   // a plateau with round shoulders
		{0.5, 0.8, 20}, // half a ball, lower than the depth
	} {
		r, slope := math.Min(c.radius, c.depth), 1/math.Tan(c.draft*math.Pi/180)
		section := func(rho float64) float64 {
			d := math.Min(c.radius-rho, r)
			return rho * math.Min(slope*d, math.Sqrt(d*(2*r-d)))
		}
		const n = 20000
		sum := section(0) + section(c.radius)
		for i := 1; i < n; i++ {
			sum += float64(2+2*(i%2)) * section(c.radius*float64(i)/n)
		}
		// A twelfth of pitch² times the foot's slope times its length: 0.19 % of the small
		// disc, less what the edges give back. The polygon is finer than geom.Circle's,
		// whose flattening of 2 µm would cost 0.9 %.
		o := geom.Polygon(3000, c.radius, 0)
		within(t, "volume", volume(make1(t, o, c.depth, Round, c.draft)), 2*math.Pi*c.radius/(3*n)*sum, 2e-3)
	}
}

// Against the definition: the highest of all balls centred on samples is a lower
// bound, and the tallest that fits with radius r at distance d, 2rd - d², an upper one.
func TestBallsAgainstDefinition(t *testing.T) {
	o := geom.Heart(2.2, 2)
	const p, r = 0.05, 0.4
	g := field.Around(o.Bounds().Grow(2*p), p)
	d, err := field.SignedDistance(context.Background(), g, o, 2)
	if err != nil {
		t.Fatal(err)
	}
	f, err := balls(context.Background(), d, r)
	if err != nil {
		t.Fatal(err)
	}
	for j := range g.H {
		for i := range g.W {
			x := g.XY(i, j)
			low := 0.0
			for b := range g.H {
				for a := range g.W {
					if q := math.Min(float64(d.At(a, b)), r); q > 0 {
						e := g.XY(a, b).Sub(x)
						low = math.Max(low, q*q-e.Dot(e))
					}
				}
			}
			q := math.Max(0, float64(d.At(i, j)))
			high := r
			if q < r {
				high = math.Sqrt(2*r*q - q*q)
			}
			// Centres between samples gain at most half a sample.
			got := float64(f.At(i, j))
			if got < math.Sqrt(low)-1e-5 || got > high+1e-5 {
				t.Fatalf("at (%d, %d): %.5f, want %.5f to %.5f", i, j, got, math.Sqrt(low), high)
			}
		}
	}
}

func TestHeightsStayWithinDepth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		profile := rapid.SampledFrom([]string{Flat, Vee, Round}).Draw(t, "profile")
		depth := rapid.Float64Range(0.05, 3).Draw(t, "depth")
		draft := rapid.Float64Range(0, 60).Draw(t, "draft")
		o := geom.Polygon(rapid.IntRange(3, 9).Draw(t, "corners"), rapid.Float64Range(0.2, 3).Draw(t, "radius"), 0)
		const p = 0.1
		g := field.Around(o.Bounds().Grow(OutsideMM(depth, profile, draft, p)+2*p), p)
		f, err := FromOutline(context.Background(), g, o, depth, profile, draft)
		if err != nil {
			t.Fatal(err)
		}
		d, err := field.SignedDistance(context.Background(), g, o, 100)
		if err != nil {
			t.Fatal(err)
		}
		for k, z := range f.Z {
			if z < 0 || z > float32(depth) {
				t.Fatalf("height %g of depth %g", z, depth)
			}
			if z > 0 && float64(d.Z[k]) < -OutsideMM(depth, profile, draft, p)-1e-5 {
				t.Fatalf("height %g at %g mm outside, the foot stands %g outside", z, -d.Z[k], OutsideMM(depth, profile, draft, p))
			}
		}
		for i := range g.W {
			if f.At(i, 0) != 0 || f.At(i, g.H-1) != 0 {
				t.Fatal("the border of the grid is not 0")
			}
		}
	})
}

func TestFromOutlineIsDeterministic(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, profile := range []string{Flat, Vee, Round} {
		runtime.GOMAXPROCS(1)
		one := make1(t, geom.Heart(6, 5), 0.7, profile, 12)
		runtime.GOMAXPROCS(2)
		if two := make1(t, geom.Heart(6, 5), 0.7, profile, 12); !slices.Equal(one.Z, two.Z) {
			t.Errorf("%s differs between one core and two", profile)
		}
	}
}

func TestFromOutlineRefuses(t *testing.T) {
	g := field.Grid{W: 4, H: 4, PitchMM: 1}
	for _, c := range []struct {
		depth, draft float64
		profile      string
	}{{0, 10, Flat}, {-1, 10, Flat}, {math.NaN(), 10, Flat}, {1, -1, Flat}, {1, 90, Flat}, {1, math.NaN(), Flat}, {1, 10, "square"}} {
		if _, err := FromOutline(context.Background(), g, geom.Circle(1), c.depth, c.profile, c.draft); err == nil {
			t.Errorf("%+v is taken", c)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for _, profile := range []string{Flat, Round} {
		if _, err := FromOutline(ctx, g, geom.Circle(1), 1, profile, 10); err != context.Canceled {
			t.Errorf("%s, cancelled: %v", profile, err)
		}
	}
}
