package piece

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"slices"
	"strings"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/flow/artwork"
)

// frustum is an OBJ of a cone frustum on n corners, with a cone stuck in its side
// from below when hollow is set.
func frustum(n int, below, above, height float64) []byte {
	var b strings.Builder
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		fmt.Fprintf(&b, "v %.9f %.9f 0\nv %.9f %.9f %.9f\n", below*c, below*s, above*c, above*s, height)
	}
	fmt.Fprintf(&b, "v 0 0 0\nv 0 0 %.9f\n", height)
	for i := range n {
		p, q := 2*i+1, 2*((i+1)%n)+1
		fmt.Fprintf(&b, "f %d %d %d\nf %d %d %d\n", p, q, q+1, p, q+1, p+1)
		fmt.Fprintf(&b, "f %d %d %d\nf %d %d %d\n", 2*n+1, q, p, 2*n+2, p+1, q+1)
	}
	return []byte(b.String())
}

func withMesh(below, above, height float64) (Choices, Inputs) {
	c := Choices{Name: "mesh", Outline: "mesh", File: "body.obj", Up: "z", WidthMM: 30, HeightMM: 12, Top: "flat"}
	return c, Inputs{Fonts: fonts, Files: map[string][]byte{"body.obj": frustum(256, below, above, height)}}
}

// A mesh of a cone frustum, V = πh/3 (R² + Rr + r²) of the polygon with 256 corners.
func TestMeshBody(t *testing.T) {
	c, in := withMesh(10, 8, 6) // scaled by 1.5 to 30 mm
	p, list, err := Make(context.Background(), c, in, nil, -1, pitch)
	if err != nil || p == nil {
		t.Fatal(err, list)
	}
	polygon := 256 / 2 * math.Sin(2*math.Pi/256) // area of the unit polygon
	want := polygon * 9 / 3 * (15*15 + 15*12 + 12*12)
	within(t, "volume", p.VolumeMM3, want, promised)
	within(t, "footprint", p.Footprint.Area(), polygon*15*15, promised)
	if math.Abs(p.BodyMM-9) > 1e-3 || p.UndercutMM3() > 1e-3*want {
		t.Errorf("body %g mm high, undercut %g mm³", p.BodyMM, p.UndercutMM3())
	}
	if want := math.Atan(3.0/9) * 180 / math.Pi; math.Abs(p.MinDraftDeg-want) > 0.2 {
		t.Errorf("draft %.2f°, want %.2f°", p.MinDraftDeg, want)
	}
}

// Upside down the top view fills a ring: πhR² less the frustum.
func TestMeshUndercutIsReported(t *testing.T) {
	c, in := withMesh(8, 10, 6)
	p, list, err := Make(context.Background(), c, in, nil, -1, pitch)
	if err != nil || p == nil {
		t.Fatal(err, list)
	}
	polygon := 256 / 2 * math.Sin(2*math.Pi/256)
	within(t, "undercut", p.UndercutMM3(), polygon*9*(15*15-(15*15+15*12+12*12)/3.0), 5e-3)
	if p.MinDraftDeg > 1 {
		t.Errorf("sheer sides have %g° of draft", p.MinDraftDeg)
	}
}

func TestMeshOfTwoBodiesIsRefused(t *testing.T) {
	c, in := withMesh(10, 8, 6)
	var b strings.Builder
	for i, x := range []float64{0, 3} {
		fmt.Fprintf(&b, "v %g 0 0\nv %g 0 0\nv %g 1 0\nv %g 0 1\n", x, x+1, x, x)
		for _, f := range [][3]int{{1, 3, 2}, {1, 2, 4}, {2, 3, 4}, {3, 1, 4}} {
			fmt.Fprintf(&b, "f %d %d %d\n", f[0]+4*i, f[1]+4*i, f[2]+4*i)
		}
	}
	in.Files["body.obj"] = []byte(b.String())
	p, list, err := Make(context.Background(), c, in, nil, -1, 0.1)
	if err != nil || p != nil || len(list) == 0 || !strings.Contains(list[len(list)-1].What, "2 bodies") {
		t.Errorf("got %v, %v, %v", p, list, err)
	}
}

// silhouette of a disc of samples is a ring within a sample of the circle.
func TestSilhouette(t *testing.T) {
	g := field.Grid{W: 201, H: 201, PitchMM: 0.1, X0: -10, Y0: -10}
	inside := make([]bool, g.W*g.H)
	for k := range inside {
		p := g.XY(k%g.W, k/g.W)
		r := math.Hypot(p.X, p.Y)
		inside[k] = r < 8 && r > 3
	}
	o, err := silhouette(g, inside)
	if err != nil || len(o) != 2 {
		t.Fatal(len(o), err)
	}
	for _, r := range o {
		radius := 8.0
		if r.Area() < 0 {
			radius = 3
		}
		for _, p := range r {
			if math.Abs(math.Hypot(p.X, p.Y)-radius) > 0.15 { // half a sample's diagonal, and simplified
				t.Errorf("a corner at radius %.3f, want %g", math.Hypot(p.X, p.Y), radius)
			}
		}
	}
}

// A picture of one grey, placed off the middle and turned, stands where it was put.
func TestTonePlaced(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 40, 20))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	img.SetGray(0, 0, color.Gray{Y: 254}) // not quite even, so that nothing is stretched
	var file bytes.Buffer
	if err := png.Encode(&file, img); err != nil {
		t.Fatal(err)
	}
	c := plain("rectangle", 40, 40, 8, 5, 0)
	c.Art = []artwork.Choices{{File: "grey.png", As: "auto", WidthMM: 10, XMM: 6, YMM: -4, TurnDeg: 90, Side: "raised", DepthMM: 0.5, Profile: "flat", DraftDeg: 30, Gamma: 1, SmoothMM: 0.15}}
	p, list, err := Make(context.Background(), c, Inputs{Files: map[string][]byte{"grey.png": file.Bytes()}}, nil, -1, 0.05)
	if err != nil || p == nil {
		t.Fatal(err, list)
	}
	inside := func(x, y float64) bool { // 10 mm upright, 5 mm wide, with its foot on the picture's border
		return math.Abs(x-6) < 2.5 && math.Abs(y+4) < 5
	}
	for j := range p.Relief.H {
		for i := range p.Relief.W {
			q := p.Relief.XY(i, j)
			z := float64(p.Relief.At(i, j))
			if z > 8.001 && !inside(q.X, q.Y) {
				t.Fatalf("raised at (%.2f, %.2f)", q.X, q.Y)
			}
			if math.Abs(q.X-6) < 2.1 && math.Abs(q.Y+4) < 4.6 && math.Abs(z-8.5) > 0.01 {
				t.Fatalf("%.3f mm at (%.2f, %.2f), want 8.5", z, q.X, q.Y)
			}
		}
	}
}

func TestVectorArtAndFootprint(t *testing.T) {
	in := Inputs{Files: map[string][]byte{
		"leaf.svg": []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 10"><path d="M0 5 Q10 -5 20 5 Q10 15 0 5Z"/></svg>`),
		"two.svg":  []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 10"><rect width="5" height="5"/><rect x="9" width="5" height="5"/></svg>`),
	}}
	c := plain("file", 40, 0, 6, 8, 0.5)
	c.File = "leaf.svg"
	c.Art = []artwork.Choices{{File: "leaf.svg", As: "auto", WidthMM: 15, Side: "sunk", DepthMM: 0.5, Profile: "vee", DraftDeg: 10}}
	p, list, err := Make(context.Background(), c, in, nil, -1, 0.05)
	if err != nil || p == nil {
		t.Fatal(err, list)
	}
	// A parabola's segment has two thirds of its box: twice 2/3 x 20 x 5, scaled by 2.
	within(t, "footprint", p.Footprint.Area(), 2.0/3*40*20, promised)
	if low := slices.Max(p.Relief.Z); math.Abs(float64(low)-6) > 1e-5 {
		t.Errorf("highest %g, want 6", low)
	}
	if z := p.Relief.At(p.Relief.W/2, p.Relief.H/2); math.Abs(float64(z)-5.5) > 0.01 {
		t.Errorf("middle at %g, want 5.5", z)
	}
	c.File = "two.svg"
	if p, list, err = Make(context.Background(), c, in, nil, -1, 0.05); err != nil || p != nil || !strings.Contains(list[len(list)-1].What, "2 bodies") {
		t.Errorf("two shapes: %v %v", list, err)
	}
	c.File = "gone.svg"
	if _, _, err = Make(context.Background(), c, in, nil, -1, 0.05); err == nil || !strings.Contains(err.Error(), "gone.svg") {
		t.Errorf("missing file: %v", err)
	}
}
