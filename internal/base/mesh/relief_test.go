package mesh

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

func flatten(s *Sheet) []float32 {
	var out []float32
	for _, v := range s.V {
		out = append(out, v[:]...)
	}
	for _, t := range s.T {
		out = append(out, float32(t[0]), float32(t[1]), float32(t[2]))
	}
	return out
}

// checkSheet asks what holds for every sheet: counter-clockwise triangles that fill
// the rings exactly (so that none touches another), and the bound, both ways.
func checkSheet(t *testing.T, s *Sheet, f *field.Field, tol float64) {
	t.Helper()
	if got, want := planTwice(t, s), ringsTwice(s.Rings); got != want {
		t.Errorf("twice the area in plan is %d, want %d", got, want)
	}
	d, err := Deviate(context.Background(), s, f)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d triangles, farthest sample %.5f mm from the mesh, farthest place %.5f mm from the relief", len(s.T), d.ToMeshMM, d.ToReliefMM)
	if d.ToMeshMM > tol || d.ToReliefMM > tol {
		t.Errorf("%.5f and %.5f mm apart, want at most %g", d.ToMeshMM, d.ToReliefMM, tol)
	}
}

func TestReliefKeepsTheBoundBothWays(t *testing.T) {
	box := rectangle(-4, -3, 4, 3)
	hole := circle(0.3, 0.2, 1)
	reverse(hole)
	r := rand.New(rand.NewPCG(7, 8))
	rough := make([]float64, 64)
	for i := range rough {
		rough[i] = r.NormFloat64()
	}
	letters := insideBand(field.Around(box2(box), 0.025), word(t, "ORCHARD", 7.5), 0.2*math.Tan(math.Pi/18))
	cases := []struct {
		name    string
		outline geom.Outline
		pitch   float64
		height  func(x, y float64) float64
		add     []float64
		over    float64 // share by which the bound may be passed
	}{
		{name: "flat", outline: geom.Outline{box}, pitch: 0.05, height: func(x, y float64) float64 { return 2 }},
		{name: "slope", outline: geom.Outline{circle(0, 0, 2.9)}, pitch: 0.05, height: func(x, y float64) float64 { return 0.3*x - 2*y }},
		{name: "dome in a disc with a hole", outline: geom.Outline{circle(0, 0, 2.9), hole}, pitch: 0.025,
			height: func(x, y float64) float64 { return math.Sqrt(25 - x*x - y*y) }},
		{name: "domes side by side", outline: geom.Outline{box}, pitch: 0.025,
			height: func(x, y float64) float64 { return math.Abs(math.Sin(2*x)*math.Cos(3*y)) * 0.7 }},
		{name: "waves in a star", outline: geom.Outline{{{X: -3, Y: -2}, {X: 0, Y: -1}, {X: 3, Y: -2.5}, {X: 1, Y: 0.5}, {X: 2, Y: 2.7}, {X: -0.5, Y: 1}}}, pitch: 0.02,
			height: func(x, y float64) float64 { return 0.4*math.Sin(3*x+y) + 0.2*math.Cos(7*y-2*x) }},
		{name: "letters with steep walls", outline: geom.Outline{box}, pitch: 0.025,
			height: func(x, y float64) float64 { return 1 }, add: letters},
		{name: "smooth noise", outline: geom.Outline{box}, pitch: 0.04, height: func(x, y float64) float64 {
			z := 0.0
			for k := 0; k < 64; k += 4 {
				z += 0.05 * rough[k] * math.Sin(6*rough[k+1]*x+6*rough[k+2]*y+9*rough[k+3])
			}
			return z
		}},
		// White noise is as rough as samples can be: its slope, taken at one sample, says
		// little of the way to the next. The first row inside is quiet, see Relief.
		{name: "raw noise", over: 0.1, outline: geom.Outline{box}, pitch: 0.1, height: func(x, y float64) float64 {
			if math.Abs(x) > 3.85 || math.Abs(y) > 2.85 {
				return 0.05
			}
			return 0.1 * r.Float64()
		}},
		{name: "steps", outline: geom.Outline{box}, pitch: 0.05, height: func(x, y float64) float64 { return math.Floor(x*1.5) + math.Floor(y) }},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f := sampled(field.Around(c.outline.Bounds(), c.pitch), c.height)
			for i, d := range c.add {
				f.Z[i] += float32(d / math.Tan(math.Pi/18))
			}
			s, err := Relief(context.Background(), f, c.outline, ToleranceMM)
			if err != nil {
				t.Fatal(err)
			}
			checkSheet(t, s, f, ToleranceMM*(1+c.over))
			corners := map[[2]float32]bool{}
			for _, r := range s.Rings {
				for _, v := range r {
					corners[plan(v)] = true
				}
			}
			for _, r := range Level(c.outline, 0) {
				for _, v := range r {
					if !corners[plan(v)] {
						t.Fatalf("the outline's point %v is no ring vertex", v)
					}
				}
			}
		})
	}
}

func box2(r geom.Ring) geom.Rect { return geom.Outline{r}.Bounds() }

func TestReferencePiece(t *testing.T) {
	f, o := reference(t)
	s, err := ReliefEdge(context.Background(), f, o, ToleranceMM, 0)
	if err != nil {
		t.Fatal(err)
	}
	checkSheet(t, s, f, ToleranceMM)
	if len(s.T) > 12000 {
		t.Errorf("%d triangles, want at most 12000", len(s.T))
	}
	want := Level(o, 0)
	if len(s.Rings) != len(want) || !slices.Equal(s.Rings[0], want[0]) {
		t.Error("the ring is not the outline at z = 0")
	}
	// The piece as a closed solid, its foot the same ring.
	base, err := Plane(want)
	if err != nil {
		t.Fatal(err)
	}
	var b Builder
	b.Up(s)
	b.Down(base)
	m, err := b.Mesh()
	if err != nil {
		t.Fatal(err)
	}
	if touching, err := m.SelfTouching(context.Background()); err != nil || len(touching) > 0 {
		t.Errorf("%d pairs of triangles touch, %v", len(touching), err)
	}
	// The relief's own volume by the sum over samples; the mesh may differ by its
	// tolerance all over the surface at most.
	sum := 0.0
	for _, z := range f.Z {
		sum += float64(z)
	}
	near(t, "volume", m.Volume(), sum*f.PitchMM*f.PitchMM, volumeShare)
}

func TestReliefDoesNotDependOnTheNumberOfCores(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	f, o := waves(300)
	var first []float32
	for _, n := range []int{1, 2, 5} {
		runtime.GOMAXPROCS(n)
		s, err := Relief(context.Background(), f, o, ToleranceMM)
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = flatten(s)
		}
		if !slices.Equal(first, flatten(s)) {
			t.Errorf("%d cores give another mesh", n)
		}
	}
}

// stopAfter is a context that is cancelled when it has been asked n times.
type stopAfter struct {
	context.Context
	n int
}

func (s *stopAfter) Err() error {
	if s.n--; s.n < 0 {
		return context.Canceled
	}
	return nil
}

func TestReliefStopsWhenCancelled(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	f, o := waves(300)
	for _, n := range []int{0, 1, 10, 40, 100} {
		if _, err := Relief(&stopAfter{context.Background(), n}, f, o, ToleranceMM); !errors.Is(err, context.Canceled) {
			t.Errorf("cancelled after %d questions: %v", n, err)
		}
	}
}

func TestReliefRefusesBadInput(t *testing.T) {
	g := field.Grid{W: 21, H: 21, PitchMM: 0.1}
	good := func() *field.Field { return sampled(g, func(x, y float64) float64 { return x }) }
	inside := geom.Outline{rectangle(0.5, 0.5, 1.5, 1.5)}
	nan := good()
	nan.Z[3*21+7] = float32(math.NaN())
	cases := []struct {
		name string
		f    *field.Field
		o    geom.Outline
		tol  float64
		want string
	}{
		{"outline beyond the grid", good(), geom.Outline{rectangle(0.5, 0.5, 3, 1.5)}, 0.01, "(3.000, 0.500)"},
		{"NaN height", nan, inside, 0.01, "(0.700, 0.300)"},
		{"no tolerance", good(), inside, 0, "tolerance"},
		{"crossing outline", good(), geom.Outline{{{X: 0, Y: 0}, {X: 1, Y: 1}, {X: 1, Y: 0}, {X: 0, Y: 1}}}, 0.01, "cross at (0.5000, 0.5000)"},
		{"no outline", good(), nil, 0.01, "without rings"},
		{"two points", good(), geom.Outline{{{X: 0, Y: 0}, {X: 1, Y: 1}}}, 0.01, "different points"},
		{"far out", field.New(field.Grid{W: 2, H: 2, PitchMM: 1, X0: 5000}), inside, 0.01, "5000"},
		{"one row", field.New(field.Grid{W: 9, H: 1, PitchMM: 1}), inside, 0.01, "9 x 1"},
		{"no pitch", field.New(field.Grid{W: 9, H: 9}), inside, 0.01, "pitch"},
	}
	for _, c := range cases {
		_, err := Relief(context.Background(), c.f, c.o, c.tol)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q", c.name, err, c.want)
		}
	}
}

func BenchmarkReferencePiece(b *testing.B) {
	f, o := reference(b)
	var s *Sheet
	for b.Loop() {
		var err error
		if s, err = ReliefEdge(context.Background(), f, o, ToleranceMM, 0); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(s.T)), "triangles")
}

func BenchmarkLettered1200(b *testing.B) {
	f, o := lettered(b)
	var s *Sheet
	for b.Loop() {
		var err error
		if s, err = Relief(context.Background(), f, o, ToleranceMM); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(s.T)), "triangles")
}

func BenchmarkField1200(b *testing.B) {
	f, o := waves(1200)
	var s *Sheet
	for b.Loop() {
		var err error
		if s, err = Relief(context.Background(), f, o, ToleranceMM); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(s.T)), "triangles")
}
