package plate

import (
	"context"
	"math"
	"reflect"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/master"
	"pgregory.net/rapid"
)

var (
	printer = material.Printer{PlateWidthMM: 143, PlateDepthMM: 89, PlateHeightMM: 165, PixelMM: 0.05, LayerMM: 0.05, MarginMM: 2, LiftS: unit.Sure(8)}
	resin   = material.Resin{ExposureS: 2.5, BottomExposureS: 30, BottomLayers: 5, LossShare: 0.1}
)

// By hand: 20 mm in layers of 0.05 mm are 400 layers; 5 x 38 s + 395 x 10.5 s = 4337.5 s.
func TestTime(t *testing.T) {
	n := Layers(20, 0.05)
	if n != 400 {
		t.Fatalf("%d layers, want 400", n)
	}
	if got := TimeMin(n, printer, resin).Likely * 60; math.Abs(got-4337.5) > 1e-6 {
		t.Errorf("%g s, want 4337.5 s", got)
	}
	// A layer is there when its middle is: no blank last image.
	for h, want := range map[float64]int{20.001: 400, 20.024: 400, 20.026: 401, 0.001: 1} {
		if n := Layers(h, 0.05); n != want {
			t.Errorf("%g mm: %d layers, want %d", h, n, want)
		}
	}
	p := printer
	p.LiftS = unit.Between(6, 8, 10)
	if r := TimeMin(400, p, resin); !r.Ordered() || math.Abs(r.High-r.Low-400*4/60.0) > 1e-9 {
		t.Errorf("lift of 6 to 10 s gives %v min", r)
	}
	if got := TimeMin(3, printer, resin).Likely * 60; math.Abs(got-3*38) > 1e-6 {
		t.Errorf("fewer layers than bottom layers: %g s, want 114 s", got)
	}
}

func TestTooLarge(t *testing.T) {
	parts := []master.Part{
		{Name: "tray 1 tile 1", Copies: 1, WidthMM: 80, DepthMM: 139.5, HeightMM: 12},
		{Name: "tray 1 tile 2", Copies: 1, WidthMM: 20, DepthMM: 20, HeightMM: 170},
		{Name: "tray 1 tile 3", Copies: 1, WidthMM: 85, DepthMM: 139, HeightMM: 12},
	}
	p, found, err := Make(context.Background(), parts, Choices{GapMM: 3}, printer, resin)
	if err != nil {
		t.Fatal(err)
	}
	if len(found) != 2 || finding.Worst(found) != finding.Stop || found[0].Where != "tray 1 tile 1" || !strings.Contains(found[0].What, "too large at every turn for 139.0 x 85.0 mm") || !strings.Contains(found[1].What, "170.0 mm high, allowed 165.0 mm") {
		t.Errorf("findings %v", found)
	}
	if len(p.Plates) != 1 || p.Plates[0].Items[0].Part != 2 || p.Plates[0].Items[0].TurnDeg != 90 {
		t.Errorf("the part that just fits, turned: %+v", p.Plates)
	}
}

func TestMake(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := rapid.Float64Range(5, 85)
		parts := make([]master.Part, rapid.IntRange(1, 6).Draw(t, "n"))
		volume, copies := 0.0, 0
		for i := range parts {
			parts[i] = master.Part{Copies: rapid.IntRange(1, 3).Draw(t, "copies"), WidthMM: side.Draw(t, "w"), DepthMM: side.Draw(t, "d"), HeightMM: rapid.Float64Range(1, 60).Draw(t, "h"), VolumeMM3: 1000}
			if rapid.Bool().Draw(t, "heart") {
				parts[i].Outline = cornered(geom.Heart(parts[i].WidthMM, parts[i].DepthMM))
				b := parts[i].Outline.Bounds()
				parts[i].WidthMM, parts[i].DepthMM = b.W(), b.H()
			}
			volume += float64(parts[i].Copies)
			copies += parts[i].Copies
		}
		c := Choices{GapMM: rapid.Float64Range(0.5, 10).Draw(t, "gap")}
		p, found, err := Make(context.Background(), parts, c, printer, resin)
		if err != nil || len(found) > 0 {
			t.Fatal(found, err)
		}
		again, _, _ := Make(context.Background(), parts, c, printer, resin)
		if !reflect.DeepEqual(p, again) {
			t.Fatal("two runs differ")
		}
		if math.Abs(p.ResinML-volume*1.1) > 1e-9*volume {
			t.Fatalf("resin %g ml, want %g ml", p.ResinML, volume*1.1)
		}
		n, last := 0, math.Inf(1)
		for _, pl := range p.Plates {
			if pl.HeightMM > last {
				t.Fatalf("plate %d is higher than the one before", pl.Number)
			}
			last = pl.HeightMM
			n += len(pl.Items)
			for i, it := range pl.Items {
				x0, y0, x1, y1 := box(it, parts)
				if x0 < 2-1e-6 || y0 < 2-1e-6 || x1 > 141+2*fitSlack || y1 > 87+2*fitSlack {
					t.Fatalf("part over the margin: %g %g %g %g", x0, y0, x1, y1)
				}
				for _, other := range pl.Items[:i] {
					if d := geom.Distance(placedOutline(it, parts), placedOutline(other, parts)); d < c.GapMM-1e-6 {
						t.Fatalf("parts %g mm apart, asked %g mm", d, c.GapMM)
					}
				}
			}
		}
		if n != copies {
			t.Fatalf("%d of %d parts placed", n, copies)
		}
		if p.BoundMin.Likely > p.PrintTimeMin.Likely+1e-9 || p.PrintTimeMin.Likely > p.ApartMin.Likely+1e-9 {
			t.Fatalf("bound %v, plates %v, apart %v min", p.BoundMin, p.PrintTimeMin, p.ApartMin)
		}
	})
}

// placedOutline maps the part's own outline, so that Affine is checked too.
func placedOutline(it Item, parts []master.Part) geom.Outline {
	return outlineOf(parts[it.Part]).Transform(it.Affine(parts[it.Part]))
}

func box(it Item, parts []master.Part) (x0, y0, x1, y1 float64) {
	b := placedOutline(it, parts).Bounds()
	return b.Min.X, b.Min.Y, b.Max.X, b.Max.Y
}

// cornered moves an outline so that its box begins at the origin.
func cornered(o geom.Outline) geom.Outline {
	b := o.Bounds()
	return o.Transform(geom.Move(-b.Min.X, -b.Min.Y))
}

func TestCancel(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err := Make(ctx, []master.Part{{Copies: 1, WidthMM: 1, DepthMM: 1, HeightMM: 1}}, Choices{}, printer, resin); err != context.Canceled {
		t.Errorf("cancelled: %v", err)
	}
}
