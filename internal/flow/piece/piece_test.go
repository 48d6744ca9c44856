package piece

import (
	"context"
	"errors"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow/artwork"

	"pgregory.net/rapid"
)

const pitch = 0.025

var fonts = artwork.NewFonts()

// plain is a piece without art.
func plain(outline string, w, d, height, draft, edge float64) Choices {
	return Choices{Name: "test", Outline: outline, WidthMM: w, DepthMM: d, HeightMM: height, DraftDeg: draft, EdgeMM: edge, Top: "flat", Corners: 6}
}

func made(t testing.TB, c Choices, pitchMM float64) *Piece {
	t.Helper()
	p, list, err := Make(context.Background(), c, Inputs{Fonts: fonts, DensityGML: 1.3}, nil, -1, pitchMM)
	if err != nil {
		t.Fatal(err)
	}
	if p == nil {
		t.Fatalf("stopped: %v", list)
	}
	return p
}

// within fails when got differs from want by more than the relative tolerance.
func within(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got/want-1) <= tol) {
		t.Errorf("%s: got %.8g, want %.8g, off by %.4f %% (allowed %.4f %%)", what, got, want, 100*(got/want-1), 100*tol)
	}
}

// promised is the accuracy of volumes that the design promises, 0.1 %.
const promised = 1e-3

func tan(deg float64) float64 { return math.Tan(deg * math.Pi / 180) }

// Kepler's (the prismatoid) rule h (A0 + 4 Am + A1)/6 is exact where the area of a
// section is quadratic in its height, as that of a rounded rectangle moved inwards
// is: (w-2s)(d-2s) - (4-π)(r-s)² for s <= r.
func TestVolumeOfRoundedRectangleFrustum(t *testing.T) {
	c := plain("rounded rectangle", 36, 28, 12, 8, 0)
	c.CornerMM = 4
	area := func(z float64) float64 {
		s := z * tan(8)
		return (36-2*s)*(28-2*s) - (4-math.Pi)*(4-s)*(4-s)
	}
	within(t, "volume", made(t, c, pitch).VolumeMM3, 12*(area(0)+4*area(6)+area(12))/6, promised)
}

// V = πh/3 (R² + Rr + r²), Euclid XII.10 less the cone cut off.
func TestVolumeOfConeFrustum(t *testing.T) {
	for _, draft := range []float64{3, 8, 20, 40} {
		const R, h = 16.0, 10.0
		r := R - h*tan(draft)
		p := made(t, plain("round", 2*R, 0, h, draft, 0), pitch)
		within(t, "volume", p.VolumeMM3, math.Pi*h/3*(R*R+R*r+r*r), promised)
		if math.Abs(p.HeightMM-h) > 1e-6 {
			t.Errorf("height %g, want %g", p.HeightMM, h)
		}
	}
}

// A dome over a circle is a spherical cap: V = πh(3a² + h²)/6 (Archimedes, On the
// Sphere and Cylinder II), on the frustum under its rim.
func TestVolumeOfDomeIsThatOfACap(t *testing.T) {
	for _, rise := range []float64{1.5, 5, 9} {
		const R, height, draft = 16.0, 12.0, 8.0
		c := plain("round", 2*R, 0, height, draft, 0)
		c.Top, c.RiseMM = "domed", rise
		rim := height - rise
		a := R - rim*tan(draft)
		want := math.Pi*rim/3*(R*R+R*a+a*a) + math.Pi*rise*(3*a*a+rise*rise)/6
		p := made(t, c, pitch)
		within(t, "volume", p.VolumeMM3, want, promised)
		if math.Abs(p.HeightMM-height) > 0.005 {
			t.Errorf("height %g, want %g", p.HeightMM, height)
		}
		// Everywhere, not only in sum: 5 µm is a fifth of a sample.
		sphere := (a*a + rise*rise) / (2 * rise)
		for j := range p.Relief.H {
			for i := range p.Relief.W {
				x := p.Relief.XY(i, j)
				if r := math.Hypot(x.X, x.Y); r < a-0.05 {
					want := rim + math.Sqrt(sphere*sphere-r*r) - (sphere - rise)
					if got := float64(p.Relief.At(i, j)); math.Abs(got-want) > 0.005 {
						t.Fatalf("rise %g: %.4f mm at radius %.3f, the sphere has %.4f", rise, got, r, want)
					}
				}
			}
		}
	}
}

// A dome without a rim is half an ellipsoid at most: V = 2π/3 a b c.
func TestVolumeOfHalfBall(t *testing.T) {
	c := plain("round", 30, 0, 15, 8, 0)
	c.Top, c.RiseMM = "domed", 15
	within(t, "half ball", made(t, c, pitch).VolumeMM3, 2*math.Pi/3*15*15*15, promised)
	c = plain("oval", 36, 26, 11, 8, 0)
	c.Top, c.RiseMM = "domed", 11
	b := 13.0 // the radius that the rise is held against; above it the section is a circle's
	R := (b*b + 11*11) / 22
	// Affine image of the cap over a circle of radius 13, stretched by 18/13.
	within(t, "oval dome", made(t, c, pitch).VolumeMM3, 18.0/13*math.Pi*11*11*(3*R-11)/3, promised)
}

// The edge's section is a straight wall, an arc tangent to it and to the top, and the
// top: turned about the axis, V = π ∫ ρ(z)² dz by Simpson's rule in z.
func TestVolumeOfRoundedEdge(t *testing.T) {
	for _, edge := range []float64{1, 3} {
		const R, h, draft = 16.0, 10.0, 8.0
		lean := draft * math.Pi / 180
		// Centre of the arc: edge below the top, edge away from the wall.
		x := (edge + (h-edge)*math.Sin(lean)) / math.Cos(lean)
		area := func(z float64) float64 {
			d := z * tan(draft)
			if v := z - (h - edge); v > edge*math.Sin(lean) {
				d = x - math.Sqrt(math.Max(0, edge*edge-v*v))
			}
			return math.Pi * (R - d) * (R - d)
		}
		const n = 100000
		sum := area(0) + area(h)
		for i := 1; i < n; i++ {
			sum += float64(2+2*(i%2)) * area(h*float64(i)/n)
		}
		within(t, "volume", made(t, plain("round", 2*R, 0, h, draft, edge), pitch).VolumeMM3, h/(3*n)*sum, promised)
	}
}

func TestMinDraftIsTheSteepestWalls(t *testing.T) {
	c := referencePiece()
	for _, d := range []struct{ side, art, want float64 }{{8, 10, 8}, {12, 5, 5}, {20, 30, 20}, {8, 45, 8}} {
		c.DraftDeg, c.Art[0].DraftDeg, c.Art[0].WidthMM = d.side, d.art, 24
		// Half a bin is 0.007°; a wall seven samples wide has two blurred cells at its edges, which lean more.
		if got := made(t, c, pitch).MinDraftDeg; math.Abs(got-d.want) > 0.1 {
			t.Errorf("sides %g°, art %g°: got %.2f°, want %g°", d.side, d.art, got, d.want)
		}
	}
	c = plain("rectangle", 20, 20, 5, 0, 0)
	if got, want := made(t, c, pitch).MinDraftDeg, math.Atan(2*pitch/5)*180/math.Pi; math.Abs(got-want) > 0.02 {
		t.Errorf("sheer sides: got %.3f°, want those of two samples, %.3f°", got, want)
	}
	c = plain("round", 20, 0, 3, 45, 0)
	c.Top, c.RiseMM = "domed", 3
	c.HeightMM = 3
	if got := made(t, c, pitch).MinDraftDeg; got != 90 {
		t.Errorf("a flat dome has no wall: got %g°", got)
	}
}

func shapeWords() (words []string) {
	for _, s := range shapes {
		words = append(words, s.word)
	}
	return words
}

// The job file takes every shape, and beside them what is made from art.
func TestEveryShapeHasItsWord(t *testing.T) {
	f, _ := reflect.TypeFor[Choices]().FieldByName("Outline")
	if got, want := strings.Split(f.Tag.Get("enum"), ","), append(shapeWords(), "file", "text", "mesh"); !slices.Equal(got, want) {
		t.Errorf("outline takes %v, shapes and art give %v", got, want)
	}
}

// All sizes times f, the pitch too, is the same shape: its volume goes with the cube.
func TestVolumeGoesWithTheCube(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := plain(rapid.SampledFrom(shapeWords()).Draw(t, "outline"),
			rapid.Float64Range(16, 50).Draw(t, "width"), 0, rapid.Float64Range(4, 8).Draw(t, "height"), rapid.Float64Range(0, 20).Draw(t, "draft"), rapid.Float64Range(0, 1).Draw(t, "edge"))
		c.Top = rapid.SampledFrom([]string{"flat", "cushioned", "domed"}).Draw(t, "top")
		c.RiseMM, c.CornerMM = rapid.Float64Range(0.5, 3).Draw(t, "rise"), rapid.Float64Range(0, 5).Draw(t, "corner")
		f := rapid.Float64Range(0.5, 2).Draw(t, "factor")
		p, list, err := Make(context.Background(), c, Inputs{}, nil, -1, 0.2)
		if err != nil || p == nil {
			t.Fatal(err, list)
		}
		q, list, err := Make(context.Background(), scaled(c, f), Inputs{}, nil, -1, 0.2*f)
		if err != nil || q == nil {
			t.Fatal(err, list)
		}
		// What does not scale is the flattening of curves, 2 µm of some 10 mm.
		within2(t, q.VolumeMM3, p.VolumeMM3*f*f*f, 1e-3)
	})
}

func within2(t *rapid.T, got, want, tol float64) {
	if !(math.Abs(got/want-1) <= tol) {
		t.Fatalf("got %.8g, want %.8g", got, want)
	}
}

func TestArtAddsAndTakes(t *testing.T) {
	for _, profile := range []string{"flat", "vee", "round"} {
		c := referencePiece()
		art := c.Art[0]
		art.Profile = profile
		c.Art = nil
		body := made(t, c, 0.05)
		for _, side := range []string{"raised", "sunk"} {
			art.Side = side
			c.Art = []artwork.Choices{art}
			p := made(t, c, 0.05)
			if p.BodyMM != 12 {
				t.Errorf("body %g mm high, want 12", p.BodyMM)
			}
			for i, z := range p.Relief.Z {
				d := z - body.Relief.Z[i]
				if side == "sunk" {
					d = -d
				}
				if d < 0 || d > 0.8+1e-5 { // heights are float32
					t.Fatalf("%s %s art changes a height by %g", side, profile, d)
				}
			}
			// The same art twice is the same piece: the highest counts, not the sum.
			c.Art = []artwork.Choices{art, art}
			if twice := made(t, c, 0.05); !slices.Equal(twice.Relief.Z, p.Relief.Z) {
				t.Errorf("%s %s art twice is another piece", side, profile)
			}
		}
	}
}

func TestWeightIsMet(t *testing.T) {
	c := referencePiece()
	c.EdgeMM = 1
	for _, g := range []float64{8, 12, 25} {
		c.WeightG = g
		p := made(t, c, pitch)
		within(t, "mass", p.VolumeMM3*1.3/1000, g, promised)
		if w := p.Footprint.Bounds().W(); math.Abs(w-36*p.Scale) > 1e-6 {
			t.Errorf("width %g mm at scale %g", w, p.Scale)
		}
	}
}

func TestRowsShareABody(t *testing.T) {
	c := referencePiece()
	c.Names = true
	c.Art[0].Text = "{name}"
	d, _, err := Prepare(context.Background(), c, Inputs{Fonts: fonts}, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range []string{"Ysoline", "Orrin", "Ysoline"} {
		row := map[string]string{"name": name}
		p, _, err := d.Piece(context.Background(), row, i)
		if err != nil {
			t.Fatal(err)
		}
		alone, _, err := Make(context.Background(), c, Inputs{Fonts: fonts}, row, i, 0.05)
		if err != nil {
			t.Fatal(err)
		}
		if p.Name != "test: "+name && p.Name != "reference: "+name || p.Row != i {
			t.Errorf("named %q, row %d", p.Name, p.Row)
		}
		if !slices.Equal(p.Relief.Z, alone.Relief.Z) {
			t.Errorf("%s differs from the piece made alone", name)
		}
	}
}

// One name of many that cannot be made is named.
func TestANameThatFailsIsNamed(t *testing.T) {
	c := referencePiece()
	c.Names = true
	c.Art[0].Text, c.Art[0].WidthMM, c.Art[0].HeightMM = "{name}", 0, 6
	d, list, err := Prepare(context.Background(), c, Inputs{Fonts: fonts}, 0.1)
	if err != nil || d == nil {
		t.Fatal(err, list)
	}
	p, list, err := d.Piece(context.Background(), map[string]string{"name": "Ysoline the Second"}, 3)
	if err != nil || p != nil || len(list) == 0 || list[0].Where != "piece[1].art[1].text (Ysoline the Second)" {
		t.Errorf("too long: %v %v", list, err)
	}
	_, _, err = d.Piece(context.Background(), map[string]string{"name": "a\x07b"}, 4)
	if err == nil || !strings.Contains(err.Error(), "piece[1].art[1]") || !strings.Contains(err.Error(), "U+0007") || !strings.Contains(err.Error(), "(a\ufffdb)") {
		t.Errorf("control character: %v", err)
	}
}

func TestTextOutlineHoldsItsLetters(t *testing.T) {
	c := referencePiece()
	c.Outline, c.MarginMM, c.Names = "text", 3, true
	c.HeightMM = 8
	c.Art[0].Text = "{name}"
	var widths []float64
	for i, name := range []string{"Ysoline", "Orrin"} {
		p, list, err := Make(context.Background(), c, Inputs{Fonts: fonts}, map[string]string{"name": name}, i, 0.05)
		if err != nil || p == nil {
			t.Fatal(err, list)
		}
		if len(p.Footprint) != 1 {
			t.Errorf("%s: %d rings", name, len(p.Footprint))
		}
		// 30 mm of letters and a margin on both sides, within the flattening of arcs.
		if w := p.Footprint.Bounds().W(); math.Abs(w-36) > 0.02 {
			t.Errorf("%s: %g mm wide, want 36", name, w)
		}
		widths = append(widths, p.Footprint.Bounds().H())
	}
	if widths[0] == widths[1] {
		t.Error("two names have one footprint")
	}
}

func TestFindings(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Choices)
		where  string
		words  string
	}{
		{"art over the edge", func(c *Choices) { c.Art[0].WidthMM = 34 }, "piece[1].art[1].text", "over the edge of the top"},
		{"art beside the piece", func(c *Choices) { c.Art[0].XMM = 90 }, "piece[1].art[1].text", "over the edge of the top"},
		{"sunk too deep", func(c *Choices) { c.Art[0].Side, c.Art[0].DepthMM, c.Art[0].DraftDeg = "sunk", 10.5, 0 }, "piece[1].art[1].depth_mm", "at least 2 mm must stay"},
		{"edge larger than the side", func(c *Choices) { c.EdgeMM = 15 }, "piece[1].edge_mm", "at most"},
		{"no top left", func(c *Choices) { c.DraftDeg, c.HeightMM = 45, 15 }, "piece[1].height_mm", "no top is left"},
		{"rise above height", func(c *Choices) { c.Top, c.RiseMM = "domed", 13 }, "piece[1].rise_mm", "more than the height"},
		{"corner too large", func(c *Choices) { c.CornerMM = 15 }, "piece[1].corner_mm", "half the shorter side"},
		{"round and deep", func(c *Choices) { c.Outline = "round" }, "piece[1].depth_mm", "as deep as wide"},
		{"text falls apart", func(c *Choices) { c.Outline, c.MarginMM, c.Art[0].Text = "text", 0.2, "I     I" }, "piece[1].margin_mm", "falls apart"},
		{"weight out of reach", func(c *Choices) { c.WeightG = 0.001 }, "piece[1].weight_g", "times as large"},
	} {
		t.Run(c.name, func(t *testing.T) {
			choices := referencePiece()
			c.change(&choices)
			p, list, err := Make(context.Background(), choices, Inputs{Fonts: fonts, DensityGML: 1.3, FloorMM: 2}, nil, -1, 0.1)
			if err != nil {
				t.Fatal(err)
			}
			if p != nil || finding.Worst(list) != finding.Stop {
				t.Fatalf("not stopped: %v", list)
			}
			last := list[len(list)-1]
			if last.Where != c.where || !strings.Contains(last.What, c.words) || last.Do == "" {
				t.Errorf("got %q, %q, %q", last.Where, last.What, last.Do)
			}
			t.Log(last)
		})
	}
}

func TestImpossibleChoicesAreRefused(t *testing.T) {
	nan := math.NaN()
	for key, change := range map[string]func(*Choices){
		"width_mm":         func(c *Choices) { c.WidthMM = nan },
		"height_mm":        func(c *Choices) { c.HeightMM = -1 },
		"draft_deg":        func(c *Choices) { c.DraftDeg = 90 },
		"edge_mm":          func(c *Choices) { c.EdgeMM = math.Inf(1) },
		"outline":          func(c *Choices) { c.Outline = "square" },
		"top":              func(c *Choices) { c.Top = "pointed" },
		"corners":          func(c *Choices) { c.Outline, c.Corners = "polygon", 2 },
		"art[1].side":      func(c *Choices) { c.Art[0].Side = "" },
		"art[1].depth_mm":  func(c *Choices) { c.Art[0].DepthMM = nan },
		"art[1].x_mm":      func(c *Choices) { c.Art[0].XMM = nan },
		"art[1].draft_deg": func(c *Choices) { c.Art[0].DraftDeg = 90 },
		"file":             func(c *Choices) { c.Outline, c.File = "mesh", "gone.stl" },
	} {
		c := referencePiece()
		change(&c)
		_, _, err := Make(context.Background(), c, Inputs{Fonts: fonts}, nil, -1, 0.1)
		var refusal *finding.Error
		if !errors.As(err, &refusal) || refusal.Key != "piece[1]."+key {
			t.Errorf("%s: got %v", key, err)
		}
	}
	if _, _, err := Make(context.Background(), referencePiece(), Inputs{Fonts: fonts}, nil, -1, nan); err == nil {
		t.Error("a pitch that is no number is taken")
	}
}

// The margin that a finding names as the smallest must do.
func TestTheMarginNamedWorks(t *testing.T) {
	c := referencePiece()
	c.Outline, c.Art[0].Text, c.HeightMM, c.DraftDeg = "text", "I  I", 4, 5
	c.MarginMM = 0.5
	p, list, err := Make(context.Background(), c, Inputs{Fonts: fonts}, nil, -1, 0.1)
	if err != nil || p != nil {
		t.Fatal(err, "not stopped")
	}
	_, after, _ := strings.Cut(list[len(list)-1].Do, "margin_mm to ")
	var margin float64
	for _, r := range strings.Fields(after)[0] {
		if r != '.' {
			margin = margin*10 + float64(r-'0')
		}
	}
	c.MarginMM = margin / 10
	if p, list, err = Make(context.Background(), c, Inputs{Fonts: fonts}, nil, -1, 0.1); err != nil || p == nil {
		t.Errorf("margin %g: %v %v", c.MarginMM, list, err)
	}
}

func TestArtWithoutSizeIsFitted(t *testing.T) {
	for _, outline := range shapeWords() {
		c := referencePiece()
		c.Outline, c.DepthMM, c.Corners = outline, 0, 3
		c.Art[0].WidthMM = 0
		p, list, err := Make(context.Background(), c, Inputs{Fonts: fonts}, nil, -1, 0.1)
		if err != nil || p == nil {
			t.Fatalf("%s: %v %v", outline, list, err)
		}
		if !slices.ContainsFunc(list, func(f finding.Finding) bool {
			return f.Where == "piece[1].art[1].width_mm" && f.Severity == finding.Note
		}) {
			t.Errorf("%s: the assumed size is not noted: %v", outline, list)
		}
	}
}

func TestMakeIsDeterministic(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, top := range []string{"flat", "cushioned", "domed"} {
		c := referencePiece()
		c.Top, c.RiseMM, c.EdgeMM, c.Art[0].Profile = top, 2, 1, "round"
		runtime.GOMAXPROCS(1)
		one := made(t, c, 0.05)
		runtime.GOMAXPROCS(2)
		two := made(t, c, 0.05)
		if !slices.Equal(one.Relief.Z, two.Relief.Z) || one.VolumeMM3 != two.VolumeMM3 || one.MinDraftDeg != two.MinDraftDeg {
			t.Errorf("%s differs between one core and two", top)
		}
	}
}

func TestMakeCanBeCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err := Make(ctx, referencePiece(), Inputs{Fonts: fonts}, nil, -1, 0.05); err != context.Canceled {
		t.Errorf("got %v", err)
	}
}
