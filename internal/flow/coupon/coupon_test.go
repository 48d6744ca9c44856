package coupon

import (
	"context"
	"errors"
	"math"
	"sync"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/pour"
)

func work(t testing.TB) Work {
	t.Helper()
	var w Work
	for _, err := range []error{
		func() error { _, err := w.Printer.StartFrom("small plate"); return err }(),
		func() error { _, err := w.Resin.StartFrom("rigid grey resin"); return err }(),
		func() error { _, err := w.Silicone.StartFrom("soft food-grade rubber"); return err }(),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	w.Fonts = artwork.NewFonts()
	w.Master = master.Choices{BaseMM: 3, MarginMM: 8, OverMM: 9, FilletMM: 0.4}
	w.Pads = pour.TestChoices{PadMM: 20, RubberMM: unit.Between(2, 3, 4)}
	w.Tests = []pour.CureTest{{Resin: "grey", Treatment: "washed", Coating: "none"}, {Resin: "grey", Treatment: "washed", Coating: "lacquer"}}
	return w
}

// made is every coupon for a small plate, made once.
var made = sync.OnceValues(func() ([]*Coupon, error) { return Make(context.Background(), work(&testing.T{})) })

func coupons(t *testing.T) map[string]*Coupon {
	t.Helper()
	list, err := made()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]*Coupon{}
	for _, c := range list {
		out[c.Name] = c
	}
	return out
}

func TestEveryCouponIsAClosedSolidThatFitsASmallPlate(t *testing.T) {
	list := coupons(t)
	if len(list) != 7 {
		t.Fatalf("%d coupons", len(list))
	}
	small := material.Printers["small plate"].Value
	for _, c := range list {
		if err := c.Mesh.Check().Err(); err != nil {
			t.Errorf("%s: %v", c.Name, err)
		}
		if pairs, err := c.Mesh.SelfTouching(context.Background()); err != nil || len(pairs) > 0 {
			t.Errorf("%s touches itself: %d pairs of triangles, %v", c.Name, len(pairs), err)
		}
		if c.WidthMM > small.PlateWidthMM-2*small.MarginMM || c.DepthMM > small.PlateDepthMM-2*small.MarginMM {
			t.Errorf("%s: %.1f x %.1f mm does not fit a small plate", c.Name, c.WidthMM, c.DepthMM)
		}
		t.Logf("%s: %.1f x %.1f x %.1f mm, %.0f mm3, %d triangles", c.Name, c.WidthMM, c.DepthMM, c.HeightMM, c.VolumeMM3, len(c.Mesh.T))
	}
}

// What is measured is drawn exactly: the mesh's own corners are looked at. The plan grid
// is 1/8192 mm.
func TestSizesAreDrawnExactly(t *testing.T) {
	for _, axis := range []byte{'X', 'Y'} {
		c := coupons(t)["size in "+string(axis+'a'-'A')]
		along, across := 1, 0 // of bands, of what is measured
		if axis == 'Y' {
			along, across = 0, 1
		}
		for k, over := range []float64{40, 30, 20, 10} {
			var inner []float64
			for _, v := range c.Mesh.V {
				from := float64(v[along])
				if axis == 'Y' { // turned a quarter: the first band is at the right
					from = c.WidthMM - from
				}
				if y := from - 10*float64(k); v[2] != 5 || y < 2-1e-3 || y > 6+1e-3 {
					continue
				}
				inner = append(inner, float64(v[across]))
			}
			window := windowsMM[3-k]
			found := 0
			for _, x := range inner {
				if math.Abs(math.Abs(x-20)-window/2) < 2e-4 {
					found++
				}
			}
			if found < 4 {
				t.Errorf("%c: no window of %g mm among %v", axis, window, inner)
			}
			edge := 0
			for _, v := range c.Mesh.V {
				if v[2] == 5 && math.Abs(math.Abs(float64(v[across])-20)-over/2) < 2e-4 {
					edge++
				}
			}
			if edge < 4 {
				t.Errorf("%c: no step of %g mm", axis, over)
			}
		}
	}
}

func TestTeethBeginAtTheirHeights(t *testing.T) {
	c := coupons(t)["foot"]
	for k, h := range footHeights(0.05) {
		y0 := 2 + 7*float64(len(footStepsMM)-1-k)
		low := math.Inf(1)
		for _, v := range c.Mesh.V {
			if x := math.Abs(float64(v[0]) - 6); x > 5.9 && float64(v[1]) > y0-1e-3 && float64(v[1]) < y0+5+1e-3 {
				low = math.Min(low, float64(v[2]))
			}
		}
		if math.Abs(low-h) > 1e-4 {
			t.Errorf("teeth %d begin at %g mm, want %g mm", k+1, low, h)
		}
	}
	// Heights lie on layers, each once.
	if got := footHeights(0.1); got[1] != 0.1 || len(got) != 8 {
		t.Errorf("layers of 0.1 mm: %v", got)
	}
	if got := footHeights(0.25); len(got) != 5 || got[1] != 0.25 {
		t.Errorf("layers of 0.25 mm: %v", got)
	}
}

// Volumes in closed form: a slab, prisms on it, and as many prisms cut out. Lines and
// gaps cancel.
func TestDetailVolume(t *testing.T) {
	c := coupons(t)["detail"]
	b := c.Drawing[0].Bounds()
	want := b.W() * b.H() * 2
	for _, o := range c.Drawing[1:] {
		r := o.Bounds()
		switch {
		case r.H() > 6: // a line or a gap
		case r.Max.Y < 6: // a figure
			want += o.Area() * 0.4
		default:
			want += o.Area() * riseMM
		}
	}
	if math.Abs(c.VolumeMM3/want-1) > 1e-4 {
		t.Errorf("%g mm3, closed form %g mm3", c.VolumeMM3, want)
	}
}

func TestPadsHoldTheirRubber(t *testing.T) {
	list, err := made()
	if err != nil {
		t.Fatal(err)
	}
	codes := map[string]bool{}
	for _, c := range list {
		if c.Kind != Pad {
			continue
		}
		codes[c.Code] = true
		// Floor, rim and code: the rim is a frustum less a frustum (prismoidal formula).
		outer := prismoid(22.8-0.2, 22.8-0.2, -0.2, 3)
		want := c.WidthMM*c.DepthMM*2 + outer - c.RubberMM3 + c.Drawing[2].Area()*0.8
		if math.Abs(c.VolumeMM3/want-1) > 1e-3 {
			t.Errorf("%s: %g mm3, closed form %g mm3", c.Name, c.VolumeMM3, want)
		}
	}
	if len(codes) != 2 {
		t.Errorf("codes %v", codes)
	}
}

// A figure is as high as it says, and its strokes are about the share of it by which
// readings are judged.
func TestFiguresAreTheirOwnHeight(t *testing.T) {
	m := &maker{Work: work(t)}
	m.letters = apart(m.Fonts)
	for _, h := range append(append([]float64{}, lettersMM...), chocolateLettersMM...) {
		o, err := m.words("8", h, 0, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := o.Bounds().H(); math.Abs(got-h) > 0.01*h {
			t.Errorf("a figure for %g mm is %g mm high", h, got)
		}
	}
	// The stem of a 1 halfway up, by looking for its inside.
	o, err := m.words("1", 10, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	inside := 0
	for x := -5.0; x < 5; x += 0.01 {
		if o.Contains(geom.Vec{X: x, Y: 0}) {
			inside++
		}
	}
	if share := float64(inside) * 0.01 / 10; math.Abs(share-strokeShare) > 0.02 {
		t.Errorf("the stroke of a 1 is %.3f of its height", share)
	}
}

func TestPlatesOfCoupons(t *testing.T) {
	w := work(t)
	list, err := made()
	if err != nil {
		t.Fatal(err)
	}
	plates, err := Arrange(context.Background(), list, 3, w.Printer, w.Resin)
	if err != nil {
		t.Fatal(err)
	}
	if len(plates) != 3 || plates[0].Name != "measure" || len(plates[0].Items) != 4 {
		t.Errorf("%d plates, %d coupons on the first", len(plates), len(plates[0].Items))
	}
	for _, p := range plates {
		var boxes []geom.Rect
		for _, it := range p.Items {
			if it.Turned && it.Coupon.Kind == Size {
				t.Errorf("%s is turned", it.Coupon.Name)
			}
			b := it.Coupon.Drawing[0].Transform(it.Affine()).Bounds()
			if b.Min.X < w.Printer.MarginMM-1e-3 || b.Min.Y < w.Printer.MarginMM-1e-3 || b.Max.X > w.Printer.PlateWidthMM-w.Printer.MarginMM+1e-3 || b.Max.Y > w.Printer.PlateDepthMM-w.Printer.MarginMM+1e-3 {
				t.Errorf("%s leaves the plate: %v", it.Coupon.Name, b)
			}
			for _, o := range boxes {
				if b.Min.X < o.Max.X+2.999 && o.Min.X < b.Max.X+2.999 && b.Min.Y < o.Max.Y+2.999 && o.Min.Y < b.Max.Y+2.999 {
					t.Errorf("%s lies too near to another", it.Coupon.Name)
				}
			}
			boxes = append(boxes, b)
		}
	}
	w.Printer.PlateWidthMM = 30
	var e *finding.Error
	if _, err := Arrange(context.Background(), list, 3, w.Printer, w.Resin); !errors.As(err, &e) || e.Do == "" {
		t.Errorf("a plate 30 mm wide: %v", err)
	}
}

func TestNonsenseIsRefused(t *testing.T) {
	for what, change := range map[string]func(*Work){
		"a pixel of zero": func(w *Work) { w.Printer.PixelMM = 0 },
		"layers of zero":  func(w *Work) { w.Printer.LayerMM = 0 },
		"1000 pads":       func(w *Work) { w.Tests = make([]pour.CureTest, 1000) },
	} {
		w := work(t)
		change(&w)
		var e *finding.Error
		if _, err := Make(context.Background(), w); !errors.As(err, &e) || e.Allowed == "" {
			t.Errorf("%s: %v", what, err)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Make(ctx, work(t)); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}

func BenchmarkMake(b *testing.B) {
	w := work(b)
	for b.Loop() {
		if _, err := Make(context.Background(), w); err != nil {
			b.Fatal(err)
		}
	}
}

// Whatever its letters, a pad is a closed solid: all pairs of the code's symbols are
// set side by side.
func TestNoTwoLettersOfACodeTouch(t *testing.T) {
	const symbols = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
	m := &maker{Work: work(t)}
	m.letters = apart(m.Fonts)
	for _, a := range symbols {
		for _, b := range symbols {
			o, err := m.words(string(a)+string(b), 4, 0, 0)
			if err != nil {
				t.Fatal(err)
			}
			for i := range o {
				for k := range i {
					if o[i].Area() > 0 && o[k].Area() > 0 {
						if d := geom.Distance(geom.Outline{o[i]}, geom.Outline{o[k]}); d < 0.1 {
							t.Errorf("%c and %c are %.3f mm apart", a, b, d)
						}
					}
				}
			}
		}
	}
}
