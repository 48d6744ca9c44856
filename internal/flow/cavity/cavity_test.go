package cavity

import (
	"context"
	"math"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/piece"

	"pgregory.net/rapid"
)

// body makes a piece of revolution from its height by radius.
func body(radius, pitch float64, height func(r float64) float64) *piece.Piece {
	f := field.New(field.Around(geom.Rect{Min: geom.Vec{X: -radius, Y: -radius}, Max: geom.Vec{X: radius, Y: radius}}.Grow(2*pitch), pitch))
	p := &piece.Piece{Name: "test", Relief: f}
	sum := 0.0
	for j := range f.H {
		for i := range f.W {
			x := f.XY(i, j)
			z := math.Max(0, height(math.Hypot(x.X, x.Y)))
			f.Z[j*f.W+i] = float32(z)
			sum += z
		}
	}
	p.VolumeMM3 = sum * pitch * pitch
	return p
}

func divided(t testing.TB, p *piece.Piece, shell, cap float64) *Cavity {
	t.Helper()
	v, list, err := Make(context.Background(), p, Choices{ShellMM: shell, CapMM: cap}, false)
	if err != nil {
		t.Fatal(err)
	}
	if v == nil {
		t.Fatal(list)
	}
	return v
}

func within(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got/want-1) <= tol) {
		t.Errorf("%s: got %.7g, want %.7g, off by %.3f %% (allowed %.3f %%)", what, got, want, 100*(got/want-1), 100*tol)
	}
	t.Logf("%s: off by %.3f %%", what, 100*(got/want-1))
}

// tolerance: the coarse grid of 0.1 mm places the inner wall within some 2 µm after
// its refinement, 0.1 % of a shell of 2 mm; the sum over a wall that stands nearly
// upright costs a twelfth of its square times the slope for each mm, below 0.1 %.
const tolerance = 3e-3

func cap(a, h float64) float64 { return math.Pi * h * (3*a*a + h*h) / 6 }

// A hemisphere less a shell of t is a hemisphere of r - t (Archimedes: 2/3 π r³; a
// cap cut off at height c is πh(3a² + h²)/6 with h = r - t - c, a² = (r-t)² - c²).
func TestHemisphere(t *testing.T) {
	const r = 15.0
	for _, pitch := range []float64{0.025, 0.05} {
		p := body(r, pitch, func(x float64) float64 { return math.Sqrt(math.Max(0, r*r-x*x)) })
		for _, c := range []struct{ shell, cap float64 }{{2, 0}, {2, 1.8}, {1, 3}, {4, 2}} {
			v := divided(t, p, c.shell, c.cap)
			in := r - c.shell
			fill := cap(math.Sqrt(in*in-c.cap*c.cap), in-c.cap)
			within(t, "filling", v.FillingMM3, fill, tolerance)
			within(t, "shell", v.ShellMM3, 2*math.Pi/3*(r*r*r-in*in*in), tolerance)
			if c.cap > 0 {
				within(t, "cap", v.CapMM3, 2*math.Pi/3*in*in*in-fill, tolerance)
			}
			if math.Abs(v.ThinnestMM-c.shell) > 0.02*c.shell { // measured to samples, not between them
				t.Errorf("thinnest %.3f mm, want %g", v.ThinnestMM, c.shell)
			}
		}
	}
}

// A cone frustum's room has its side moved in by t/cos(draft) and its top down by t;
// V = πh/3 (R² + Rr + r²).
func TestConeFrustum(t *testing.T) {
	for _, draft := range []float64{5, 8, 15, 30} {
		const R, h = 15.0, 12.0
		tan, cos := math.Tan(draft*math.Pi/180), math.Cos(draft*math.Pi/180)
		p := body(R, 0.025, func(x float64) float64 { return math.Min(h, (R-x)/tan) })
		for _, c := range []struct{ shell, cap float64 }{{2, 1.8}, {1.5, 0.5}} {
			radius := func(z float64) float64 { return R - z*tan - c.shell/cos }
			frustum := func(z0, z1 float64) float64 {
				a, b := radius(z0), radius(z1)
				return math.Pi * (z1 - z0) / 3 * (a*a + a*b + b*b)
			}
			v := divided(t, p, c.shell, c.cap)
			within(t, "filling", v.FillingMM3, frustum(c.cap, h-c.shell), tolerance)
			within(t, "cap", v.CapMM3, frustum(0, c.cap), tolerance)
			b := R - h*tan
			within(t, "shell", v.ShellMM3, math.Pi*h/3*(R*R+R*b+b*b)-frustum(0, h-c.shell), tolerance)
		}
	}
}

// Against the definition, by every sample of the relief.
func TestErodeAgainstDefinition(t *testing.T) {
	p := body(4, 0.05, func(x float64) float64 { return 3 + 0.5*math.Cos(5*x) - math.Max(0, x-3)*7 })
	f, err := erode(context.Background(), p.Relief, 0.8, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	for j := 0; j < f.H; j += 7 {
		for i := 0; i < f.W; i += 3 {
			want := math.Inf(1)
			for b := range p.Relief.H {
				for a := range p.Relief.W {
					d := p.Relief.PitchMM * math.Hypot(float64(a-2*i), float64(b-2*j))
					if d <= 0.8 {
						want = math.Min(want, float64(p.Relief.At(a, b))-math.Sqrt(0.64-d*d))
					}
				}
			}
			// The best sample lies beside the best coarse one but for near ties, which
			// cost less than a ball's sag within one coarse sample.
			if got := float64(f.At(i, j)); want > 0 && math.Abs(got-want) > 0.004 {
				t.Fatalf("(%d, %d): %.4f, want %.4f", i, j, got, want)
			}
		}
	}
}

func reference() piece.Choices {
	return piece.Choices{
		Name: "reference", Outline: "rounded rectangle", WidthMM: 36, DepthMM: 28, CornerMM: 4, HeightMM: 12, DraftDeg: 8, Top: "flat",
		Art: []artwork.Choices{{Text: "ORCHARD", Font: "sans bold", Align: "centre", Leading: 1.2, WidthMM: 30, Side: "sunk", DepthMM: 0.8, Profile: "flat", DraftDeg: 10}},
	}
}

func TestPartsMakeTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := reference()
		c.Art = nil
		c.Outline = rapid.SampledFrom([]string{"round", "oval", "rectangle", "heart"}).Draw(t, "outline")
		c.DepthMM, c.HeightMM, c.DraftDeg = 0, rapid.Float64Range(7, 15).Draw(t, "height"), rapid.Float64Range(0, 15).Draw(t, "draft")
		p, list, err := piece.Make(context.Background(), c, piece.Inputs{}, nil, -1, 0.2)
		if err != nil || p == nil {
			t.Fatal(err, list)
		}
		shell := Choices{ShellMM: rapid.Float64Range(0.5, 2.5).Draw(t, "shell"), CapMM: rapid.Float64Range(0.5, 3).Draw(t, "cap")}
		v, list, err := Make(context.Background(), p, shell, false)
		if err != nil || v == nil {
			t.Fatal(err, list)
		}
		if sum := v.ShellMM3 + v.FillingMM3 + v.CapMM3; math.Abs(sum-p.VolumeMM3) > 1e-9*p.VolumeMM3 {
			t.Fatalf("parts %g, whole %g", sum, p.VolumeMM3)
		}
		if v.ShellMM3 <= 0 || v.FillingMM3 <= 0 || v.CapMM3 <= 0 {
			t.Fatalf("%+v", v)
		}
		thicker := shell
		thicker.ShellMM += 0.1
		if w, _, err := Make(context.Background(), p, thicker, false); err != nil || w == nil || w.FillingMM3 > v.FillingMM3 {
			t.Fatal("a thicker shell leaves more filling", err)
		}
	})
}

func TestShellStaysThickBehindSunkArt(t *testing.T) {
	p, list, err := piece.Make(context.Background(), reference(), piece.Inputs{}, nil, -1, 0.025)
	if err != nil || p == nil {
		t.Fatal(err, list)
	}
	v := divided(t, p, 2, 1.8)
	if v.ThinnestMM < 1.97 { // erode's 0.004 mm and half a sample of the steepest wall
		t.Errorf("thinnest %.3f mm behind the art, want 2", v.ThinnestMM)
	}
	if !p.Footprint.Contains(v.ThinnestAt) {
		t.Errorf("the thinnest place %v lies outside the piece", v.ThinnestAt)
	}
}

func TestSolid(t *testing.T) {
	v, list, err := Make(context.Background(), &piece.Piece{VolumeMM3: 7000}, Choices{}, true)
	if err != nil || len(list) != 0 || v.ShellMM3 != 7000 || v.FillingMM3 != 0 || v.CapMM3 != 0 || v.Filling != nil {
		t.Errorf("%+v %v %v", v, list, err)
	}
}

// A shell or a cap that leaves no room, or too little, is named with the thickest one that
// leaves enough; with it the finding is gone.
func TestNoRoom(t *testing.T) {
	p := body(10, 0.05, func(x float64) float64 { return math.Min(6, (10-x)/math.Tan(0.15)) })
	for _, k := range []struct {
		shell, cap float64
		worst      finding.Severity
		key        string // of the remedy
	}{
		{4.5, 1.8, finding.Stop, "shell.thickness_mm"}, {2, 5, finding.Stop, "shell.cap_mm"}, {9, 9, finding.Stop, "piece[1].filling"},
		{3.6, 1.8, finding.Care, "shell.thickness_mm"}, {2, 3.8, finding.Care, "shell.cap_mm"},
	} {
		c := Choices{ShellMM: k.shell, CapMM: k.cap, Least: 0.1}
		v, list, err := Make(context.Background(), p, c, false)
		if err != nil || (v == nil) != (k.worst == finding.Stop) || finding.Worst(list) != k.worst || !strings.Contains(list[0].Do, "make the piece larger") {
			t.Errorf("shell %g, cap %g: %v %v", k.shell, k.cap, list, err)
			continue
		}
		r := list[0].Remedy
		if r.Key != k.key && !strings.Contains(list[0].Do, k.key) {
			t.Errorf("shell %g, cap %g: %+v", k.shell, k.cap, list[0])
		}
		mm, err := strconv.ParseFloat(r.Value, 64)
		switch r.Key {
		case "shell.thickness_mm":
			c.ShellMM = mm
		case "shell.cap_mm":
			c.CapMM = mm
		default:
			continue
		}
		if err != nil || mm < 1 {
			t.Errorf("shell %g, cap %g: remedy %+v", k.shell, k.cap, r)
		}
		if v, list, err = Make(context.Background(), p, c, false); err != nil || v == nil || len(list) > 0 {
			t.Errorf("shell %g, cap %g: with %+v: %v %v", k.shell, k.cap, r, list, err)
		}
	}
	if _, _, err := Make(context.Background(), p, Choices{ShellMM: math.NaN()}, false); err == nil {
		t.Error("NaN is taken")
	}
}

func TestMakeIsDeterministicAndCanBeCancelled(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	p := body(10, 0.05, func(x float64) float64 { return 8 - x*x/20 })
	runtime.GOMAXPROCS(1)
	one := divided(t, p, 2, 1)
	runtime.GOMAXPROCS(2)
	two := divided(t, p, 2, 1)
	if one.FillingMM3 != two.FillingMM3 || one.ThinnestMM != two.ThinnestMM || !slices.Equal(one.Filling.Z, two.Filling.Z) {
		t.Error("one core and two differ")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err := Make(ctx, p, Choices{ShellMM: 2, CapMM: 1}, false); err != context.Canceled {
		t.Errorf("cancelled: %v", err)
	}
}

func BenchmarkReferencePiece(b *testing.B) {
	p, _, err := piece.Make(context.Background(), reference(), piece.Inputs{}, nil, -1, 0.025)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		divided(b, p, 2, 1.8)
	}
}
