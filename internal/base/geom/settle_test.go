package geom

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"
)

// near reports whether p lies so close to an edge of o that the raster decides.
func near(o Outline, p Vec) bool {
	_, d := o.Nearest(p)
	return d < 3*SettleMM
}

// star is a closed polygon through n random points: it crosses itself about n²/6 times.
func star(r *rand.Rand, n int, size float64) Ring {
	ring := make(Ring, n)
	for i := range ring {
		ring[i] = Vec{size * (r.Float64() - .5), size * (r.Float64() - .5)}
	}
	return ring
}

// lattice is a closed polygon whose points lie on few lines, so that edges run
// along each other and meet in common points.
func lattice(r *rand.Rand, n int) Ring {
	ring := make(Ring, n)
	for i := range ring {
		ring[i] = Vec{float64(r.IntN(7)), float64(r.IntN(7))}
	}
	return ring
}

func inside(o Outline, rule FillRule, p Vec) bool {
	if rule == EvenOdd {
		return o.Winding(p)%2 != 0
	}
	return o.Winding(p) != 0
}

// checkSettled holds the result to everything Settle promises except the area.
func checkSettled(t *testing.T, o Outline) {
	t.Helper()
	if crosses(o) {
		t.Error("edges cross")
	}
	for i, r := range o {
		if len(r) < 3 {
			t.Fatalf("ring %d has %d points", i, len(r))
		}
		for j, p := range r {
			if p == r[(j+1)%len(r)] {
				t.Errorf("ring %d repeats point %d", i, j)
			}
		}
		if i == 0 && r.Area() < 0 {
			t.Error("the first ring is a hole")
		}
		if r.Area() < 0 { // a hole lies in the outer ring before it
			outer := i
			for o[outer].Area() < 0 {
				outer--
			}
			// The middle of its longest edge is on no vertex of the outer ring.
			best, mid := 0.0, Vec{}
			for j, p := range r {
				if q := r[(j+1)%len(r)]; q.Sub(p).Len() > best {
					best, mid = q.Sub(p).Len(), p.Lerp(q, .5)
				}
			}
			if o[outer].winding(mid) != 1 {
				t.Errorf("hole %d does not lie in outer ring %d", i, outer)
			}
		}
	}
}

// The area is checked by points: the definition of the fill rules (SVG 2, section
// 13.4.2) applied to the input, against the result.
func TestSettleCoversTheSameArea(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for n := 0; n < 400; n++ {
		var in Outline
		for k := 1 + r.IntN(3); k > 0; k-- {
			switch n % 3 {
			case 0:
				in = append(in, star(r, 3+r.IntN(30), 10))
			case 1:
				in = append(in, lattice(r, 3+r.IntN(14)))
			default:
				c := Circle(.5 + 3*r.Float64())
				if r.IntN(2) == 0 {
					c = c.Transform(Scale(-1, 1))
					slices.Reverse(c[0])
				}
				in = append(in, c.Transform(Move(r.Float64()*4, r.Float64()*4))...)
			}
		}
		for _, rule := range []FillRule{NonZero, EvenOdd} {
			out, err := Settle(in, rule)
			if err != nil {
				t.Fatalf("case %d: %v", n, err)
			}
			checkSettled(t, out)
			b := in.Bounds().Grow(.1)
			for k := 0; k < 200; k++ {
				p := Vec{b.Min.X + r.Float64()*b.W(), b.Min.Y + r.Float64()*b.H()}
				if inside(in, rule, p) != out.Contains(p) && !near(in, p) {
					t.Fatalf("case %d, rule %d: point %v is inside before: %v, after: %v", n, rule, p, inside(in, rule, p), out.Contains(p))
				}
			}
			if w := out; len(w) > 0 {
				again, err := Settle(w, NonZero)
				if err != nil {
					t.Fatal(err)
				}
				if d := math.Abs(again.Area() - w.Area()); d > SettleMM*w.Perimeter() {
					t.Errorf("case %d: settling again changes the area by %g mm²", n, d)
				}
			}
		}
	}
}

func TestSettleKnownShapes(t *testing.T) {
	sq := func(x, y, s float64) Ring { return Ring{{x, y}, {x + s, y}, {x + s, y + s}, {x, y + s}} }
	bow := Ring{{0, 0}, {2, 2}, {2, 0}, {0, 2}}
	for _, c := range []struct {
		name string
		in   Outline
		rule FillRule
		area float64
		n    int
	}{
		{"two squares overlapping by 1", Outline{sq(0, 0, 2), sq(1, 1, 2)}, NonZero, 7, 1},
		{"the same, even-odd", Outline{sq(0, 0, 2), sq(1, 1, 2)}, EvenOdd, 6, 2},
		{"square in square, even-odd", Outline{sq(0, 0, 4), sq(1, 1, 2)}, EvenOdd, 12, 2},
		{"square in square, both counter-clockwise", Outline{sq(0, 0, 4), sq(1, 1, 2)}, NonZero, 16, 1},
		{"bow tie", Outline{bow}, NonZero, 2, 2},
		{"clockwise square", Outline{{{0, 0}, {0, 1}, {1, 1}, {1, 0}}}, NonZero, 1, 1},
		{"island in a hole", Outline{sq(0, 0, 6), sq(1, 1, 4), sq(2, 2, 2)}, EvenOdd, 36 - 16 + 4, 3},
		{"side by side, joined along an edge", Outline{sq(0, 0, 1), sq(1, 0, 1)}, NonZero, 2, 1},
		{"spike and repeated points", Outline{{{0, 0}, {1, 0}, {1, 0}, {3, 0}, {1, 0}, {1, 1}, {0, 1}, {0, .5}}}, NonZero, 1, 1},
		{"sliver", Outline{{{0, 0}, {10, 0}, {10, .0004}, {0, .0004}}}, NonZero, 0, 0},
		{"a line", Outline{{{0, 0}, {1, 1}, {2, 2}}}, NonZero, 0, 0},
		{"nothing", nil, NonZero, 0, 0},
	} {
		out, err := Settle(c.in, c.rule)
		if err != nil {
			t.Fatal(c.name, err)
		}
		checkSettled(t, out)
		if math.Abs(out.Area()-c.area) > 1e-12 || len(out) != c.n {
			t.Errorf("%s: area %g in %d rings, want %g in %d: %v", c.name, out.Area(), len(out), c.area, c.n, out)
		}
	}
	out, _ := Settle(Outline{{{0, 0}, {1, 0}, {1, 0}, {3, 0}, {1, 0}, {1, 1}, {0, 1}, {0, .5}}}, NonZero)
	if len(out[0]) != 4 {
		t.Errorf("the square with spike keeps %d points: %v", len(out[0]), out[0])
	}
}

func TestSettleLimits(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	comb := make(Ring, 0, 4200) // 2,000 lines across 2,000 lines: 4 million crossings
	for i := 0; i < 2000; i++ {
		y := float64(i) / 10
		comb = append(comb, Vec{-1, y}, Vec{201, y + .03})
	}
	for i := 0; i < 2000; i++ {
		x := float64(i)/10 + .01
		comb = append(comb, Vec{x, -1}, Vec{x + .03, 201})
	}
	for name, c := range map[string]struct {
		in   Outline
		want string
	}{
		"too many points":    {Outline{star(r, MaxPoints+1, 10)}, "at most 500000 points"},
		"not a number":       {Outline{{{0, 0}, {1, math.NaN()}, {1, 1}}}, "numbers from -10000 to 10000 mm"},
		"infinite":           {Outline{{{0, 0}, {1, math.Inf(1)}, {1, 1}}}, "numbers from -10000 to 10000 mm"},
		"too far":            {Outline{{{0, 0}, {1, 10001}, {1, 1}}}, "numbers from -10000 to 10000 mm"},
		"too many crossings": {Outline{comb}, "at most 200000 crossings"},
	} {
		if _, err := Settle(c.in, NonZero); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v does not say %q", name, err, c.want)
		}
	}
}

func TestSettleIsDeterministic(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	in := Outline{star(rand.New(rand.NewPCG(5, 6)), 60, 10)}
	var first Outline
	for n := 0; n < 6; n++ {
		runtime.GOMAXPROCS(1 + n%2)
		out, err := Settle(in, EvenOdd)
		if err != nil {
			t.Fatal(err)
		}
		if n == 0 {
			first = out
		}
		if !slices.EqualFunc(first, out, func(a, b Ring) bool { return slices.Equal(a, b) }) {
			t.Fatal("two runs differ")
		}
	}
}

func FuzzSettle(f *testing.F) {
	f.Add([]byte{0, 0, 9, 9, 9, 0, 0, 9}, false)
	f.Add([]byte{1, 1, 3, 3, 5, 5, 3, 3, 1, 5, 255, 2, 2, 8, 2, 8, 8}, true)
	f.Add([]byte("a lattice of letters crosses itself in many places"), true)
	// Edges of 400 mm that run within a few rasters of each other: this once took for ever.
	f.Add([]byte("a yattxce of lesters crossAes0itself in manx plAcetof lesanx plAcetofsters \xcarossAes0itself in manx p lesters crossAes0itself in anx pl@cetof lesanx plAcetofsters \xcaross"), true)
	f.Add([]byte("a la\xfftige of letters crksses itself in many placesers crksses itself ins itsel of letters crksses itself in many placesers crksses"), true)
	f.Fuzz(func(t *testing.T, b []byte, fine bool) {
		if len(b) > 300 {
			return
		}
		// Pairs of bytes are points on a small lattice, or on the raster's own scale.
		scale := 1.0 / 8
		if fine {
			scale = SettleMM / 3
		}
		in := Outline{nil}
		for i := 0; i+1 < len(b); i += 2 {
			if b[i] == 255 {
				in = append(in, nil)
				continue
			}
			x := float64(b[i])
			if fine && i%4 == 0 { // long thin edges
				x *= 1e5
			}
			in[len(in)-1] = append(in[len(in)-1], Vec{x * scale, float64(b[i+1]) * scale})
		}
		for _, rule := range []FillRule{NonZero, EvenOdd} {
			out, err := Settle(in, rule)
			if err != nil {
				t.Fatal(err)
			}
			checkSettled(t, out)
			box := in.Bounds()
			for k := 0; k < 40 && !box.Empty(); k++ {
				p := Vec{box.Min.X + box.W()*float64(k*7%40)/39.3, box.Min.Y + box.H()*float64(k)/39.7}
				// Slivers are dropped: ask only where the inside is wider than that.
				if inside(in, rule, p) != out.Contains(p) {
					if _, d := in.Nearest(p); d > SliverMM {
						t.Fatalf("point %v: inside before %v, after %v", p, inside(in, rule, p), out.Contains(p))
					}
				}
			}
		}
	})
}

func BenchmarkSettleCircles(b *testing.B) {
	var in Outline
	for i := 0; i < 20; i++ {
		in = append(in, Circle(3).Transform(Move(float64(i)*2, 0))...)
	}
	b.ReportMetric(float64(in.Points()), "points")
	for b.Loop() {
		if _, err := Settle(in, NonZero); err != nil {
			b.Fatal(err)
		}
	}
}
