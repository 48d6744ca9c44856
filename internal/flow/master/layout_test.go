package master

import (
	"context"
	"fmt"
	"math"
	"os"
	"reflect"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"pgregory.net/rapid"
)

func choices() Choices {
	return Choices{Layout: "grid", Build: "tiles", WidthMM: 200, DepthMM: 150, GapMM: 8, MarginMM: 10, BaseMM: 3, FilletMM: 0.4,
		OverMM: 9, Frame: "printed", FreeMM: 5, PanelMM: 4, SealMM: 1.5, ClearMM: 0.12, EngraveMM: 0.4, PegMM: 3, ToleranceMM: 0.01}
}

var smallPlate = Print{PlateWidthMM: 120, PlateDepthMM: 68, PlateHeightMM: 150, ResinShrink: 0.005, FootMM: 0.1, FootHeightMM: 0.4}

// flat is an item without a surface, enough for a layout.
func flat(name string, o geom.Outline, n int) Item {
	return Item{Name: name, Cavities: n, Outline: o, HeightMM: 12, VolumeMM3: o.Area() * 10}
}

func someItems() []Item {
	return []Item{
		flat("crest", geom.Heart(34, 31), 6),
		flat("bee", geom.Circle(15), 7),
		flat("plaque: Ysoline", geom.RoundedRectangle(44, 22, 4), 5),
		flat("plaque: Odrun", geom.RoundedRectangle(38, 22, 4), 4),
	}
}

// checkTrays holds every tray to the promises: all cavities there once, gaps and
// margins kept, tiles that partition the base and fit the plate.
func checkTrays(t interface{ Fatalf(string, ...any) }, trays []Tray, items []Item, c Choices, pr Print) {
	count := make([]int, len(items))
	for _, tr := range trays {
		var os []geom.Outline
		for i, p := range tr.Placed {
			count[p.Item]++
			if p.Number != i+1 {
				t.Fatalf("piece %d has number %d", i+1, p.Number)
			}
			o := p.At(items)
			b := o.Bounds()
			if m := math.Min(math.Min(b.Min.X, b.Min.Y), math.Min(tr.WidthMM-b.Max.X, tr.DepthMM-b.Max.Y)); m < c.MarginMM-1e-6 {
				t.Fatalf("tray %d: piece %d is %g mm from the frame", tr.Number, i+1, m)
			}
			for k, q := range os {
				if near(b, q.Bounds(), c.GapMM) {
					if d := geom.Distance(o, q); d < c.GapMM-1e-6 {
						t.Fatalf("tray %d: pieces %d and %d are %g mm apart", tr.Number, k+1, i+1, d)
					}
				}
			}
			os = append(os, o)
		}
		if tr.WidthMM > c.WidthMM+1e-6 || tr.DepthMM > c.DepthMM+1e-6 {
			t.Fatalf("tray %d is %g x %g mm", tr.Number, tr.WidthMM, tr.DepthMM)
		}
		checkTiles(t, tr, os, c, pr)
	}
	for i, n := range count {
		if n != items[i].Cavities {
			t.Fatalf("%s: %d of %d cavities placed", items[i].Name, n, items[i].Cavities)
		}
	}
}

func checkTiles(t interface{ Fatalf(string, ...any) }, tr Tray, pieces []geom.Outline, c Choices, pr Print) {
	e := edgeMM(c)
	area, seen := 0.0, make([]int, len(pieces))
	for i, tile := range tr.Tiles {
		b := tile.Outline.Bounds()
		s := 1 - pr.ResinShrink
		w, d := pr.PlateWidthMM*s+1e-6, pr.PlateDepthMM*s+1e-6
		if !(b.W() <= w && b.H() <= d || b.H() <= w && b.W() <= d) {
			t.Fatalf("tile %d is %g x %g mm, the plate %g x %g mm", tile.Number, b.W(), b.H(), w, d)
		}
		area += tile.Outline.Area()
		if err := tile.Outline.Check(); err != nil {
			t.Fatalf("tile %d: %v", tile.Number, err)
		}
		for _, k := range tile.Placed {
			seen[k]++
			// A piece with its rim of keepMM lies on its tile whole.
			grown, err := geom.Offset(pieces[k], keepMM-0.01)
			if err != nil {
				t.Fatalf("%v", err)
			}
			out, err := geom.Subtract(grown, tile.Outline)
			if err != nil {
				t.Fatalf("%v", err)
			}
			if out.Area() > 1e-6 {
				t.Fatalf("tray %d: piece %d reaches over the edge of tile %d", tr.Number, k+1, tile.Number)
			}
		}
		for _, other := range tr.Tiles[:i] {
			both, err := geom.Intersect(tile.Outline, other.Outline)
			if err != nil {
				t.Fatalf("%v", err)
			}
			if both.Area() > 1e-6 {
				t.Fatalf("tiles %d and %d overlap by %g mm2", other.Number, tile.Number, both.Area())
			}
		}
	}
	for k, n := range seen {
		if n != 1 {
			t.Fatalf("piece %d stands on %d tiles", k+1, n)
		}
	}
	// The tiles are the base but for the clearance in the keys.
	want := (tr.WidthMM+2*e)*(tr.DepthMM+2*e) - tr.clearMM2
	if math.Abs(area-want) > 1e-6*want {
		t.Fatalf("tray %d: tiles cover %g mm2, want %g mm2", tr.Number, area, want)
	}
}

func TestPlan(t *testing.T) {
	for _, layout := range []string{"grid", "packed"} {
		c := choices()
		c.Layout = layout
		trays, found, err := plan(context.Background(), someItems(), c, smallPlate)
		if err != nil || finding.Worst(found) != "" {
			t.Fatal(found, err)
		}
		checkTrays(t, trays, someItems(), c, smallPlate)
		for _, tr := range trays {
			t.Logf("%s: tray %d, %.1f x %.1f mm, %d pieces, %d tiles", layout, tr.Number, tr.WidthMM, tr.DepthMM, len(tr.Placed), len(tr.Tiles))
			for _, tile := range tr.Tiles {
				b := tile.Outline.Bounds()
				t.Logf("  tile %d: %.1f x %.1f mm", tile.Number, b.W(), b.H())
			}
		}
		again, _, _ := plan(context.Background(), someItems(), c, smallPlate)
		if !reflect.DeepEqual(trays, again) {
			t.Error("two runs differ")
		}
		draw(t, layout, trays, someItems())
	}
}

func TestPlanRandom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := choices()
		c.Layout = rapid.SampledFrom([]string{"grid", "packed"}).Draw(t, "layout")
		c.Frame = rapid.SampledFrom([]string{"printed", "own boards"}).Draw(t, "frame")
		c.GapMM = rapid.Float64Range(3, 12).Draw(t, "gap")
		c.MarginMM = rapid.Float64Range(3, 15).Draw(t, "margin")
		c.WidthMM = rapid.Float64Range(100, 250).Draw(t, "width")
		side := rapid.Float64Range(8, 45)
		var items []Item
		for i := range rapid.IntRange(1, 5).Draw(t, "designs") {
			w, d := side.Draw(t, "w"), side.Draw(t, "d")
			o := [...]geom.Outline{geom.Heart(w, d), geom.Ellipse(w, d), geom.Rectangle(w, d)}[rapid.IntRange(0, 2).Draw(t, "shape")]
			items = append(items, flat(fmt.Sprint(i), o, rapid.IntRange(1, 12).Draw(t, "cavities")))
		}
		trays, found, err := plan(context.Background(), items, c, smallPlate)
		if err != nil || finding.Worst(found) == finding.Stop {
			t.Fatal(found, err)
		}
		checkTrays(t, trays, items, c, smallPlate)
	})
}

func TestTooLargePiece(t *testing.T) {
	c := choices()
	for _, x := range []struct {
		o    geom.Outline
		want string
	}{
		{geom.Rectangle(190, 20), "190.0 x 20.0 mm with its fillet, allowed 180.0 x 130.0 mm"},
		{geom.Rectangle(130, 20), "132.3 x 21.7 mm on the plate, allowed 120.0 x 68.0 mm"},
	} {
		_, found, err := plan(context.Background(), []Item{flat("bar", x.o, 1)}, c, smallPlate)
		if err != nil || len(found) != 1 || found[0].Severity != finding.Stop || !strings.Contains(found[0].What, x.want) {
			t.Errorf("%v %v, want %q", found, err, x.want)
		}
	}
}

func TestByHand(t *testing.T) {
	c := choices()
	items := []Item{flat("bee", geom.Circle(15), 9)}
	c.Place = []Placement{{Piece: "bee", Number: 3, Tray: 1, XMM: 100, YMM: 75, TurnDeg: 30}}
	for _, layout := range []string{"grid", "packed"} {
		c.Layout = layout
		trays, found, err := plan(context.Background(), items, c, smallPlate)
		if err != nil || finding.Worst(found) == finding.Stop {
			t.Fatal(found, err)
		}
		checkTrays(t, trays, items, c, smallPlate)
		kept := false
		for _, p := range trays[0].Placed {
			kept = kept || p.XMM == 100 && p.YMM == 75 && p.TurnDeg == 30
		}
		if !kept {
			t.Errorf("%s: the piece placed by hand was moved: %+v", layout, trays[0].Placed)
		}
	}
	c.Place = []Placement{
		{Piece: "bee", Number: 1, Tray: 1, XMM: 40, YMM: 40},
		{Piece: "bee", Number: 2, Tray: 1, XMM: 75, YMM: 40},
		{Piece: "bee", Number: 2, Tray: 1, XMM: 75, YMM: 100},
		{Piece: "bee", Number: 4, Tray: 1, XMM: 190, YMM: 100},
		{Piece: "wasp", Number: 1, Tray: 1, XMM: 150, YMM: 40},
		{Piece: "bee", Number: 10, Tray: 1, XMM: 150, YMM: 40},
	}
	_, found, err := plan(context.Background(), items, c, smallPlate)
	if err != nil || len(found) != 5 {
		t.Fatalf("%v %v", found, err)
	}
	for i, want := range []string{"5.00 mm from master.place[1], allowed 8 mm", "already placed by master.place[2]", "-5.00 mm from the right side of the tray, allowed 10 mm", `no piece is called "wasp"`, "has 9 cavities"} {
		if found[i].Severity != finding.Stop || !strings.Contains(found[i].What, want) {
			t.Errorf("finding %d: %q, want %q", i+1, found[i].What, want)
		}
	}
}

func TestPlanCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for _, layout := range []string{"grid", "packed"} {
		c := choices()
		c.Layout = layout
		if _, _, err := plan(ctx, someItems(), c, smallPlate); err != context.Canceled {
			t.Errorf("%s: %v", layout, err)
		}
	}
}

// No straight cut exists in a pinwheel of four bars, so the tray is refused.
func TestPinwheel(t *testing.T) {
	c := choices()
	c.WidthMM, c.DepthMM, c.GapMM = 130, 130, 8
	items := []Item{flat("bar", geom.Rectangle(64, 30), 4)}
	c.Place = []Placement{
		{Piece: "bar", Number: 1, Tray: 1, XMM: 46, YMM: 30},
		{Piece: "bar", Number: 2, Tray: 1, XMM: 101, YMM: 46, TurnDeg: 90},
		{Piece: "bar", Number: 3, Tray: 1, XMM: 84, YMM: 101},
		{Piece: "bar", Number: 4, Tray: 1, XMM: 29, YMM: 85, TurnDeg: 90},
	}
	_, found, err := plan(context.Background(), items, c, smallPlate)
	if err != nil || len(found) != 1 || !strings.Contains(found[0].What, "no straight cut") {
		t.Errorf("%v %v", found, err)
	}
}

// draw leaves a picture of the trays where MASTER_PICTURES names a folder.
func draw(t *testing.T, name string, trays []Tray, items []Item) {
	dir := os.Getenv("MASTER_PICTURES")
	if dir == "" {
		return
	}
	var b strings.Builder
	x0 := 0.0
	for _, tr := range trays {
		path := func(o geom.Outline, style string) {
			fmt.Fprintf(&b, `<path style="%s" d="`, style)
			for _, r := range o {
				for i, p := range r {
					c := 'L'
					if i == 0 {
						c = 'M'
					}
					fmt.Fprintf(&b, "%c%.3f %.3f ", c, x0+p.X+5, tr.DepthMM-p.Y+5)
				}
				b.WriteString("Z")
			}
			b.WriteString(`"/>`)
		}
		colours := []string{"#f3e3c7", "#dfe9d8", "#e8d9e4", "#d8e3ec", "#efe7b8", "#e6d2c8"}
		for i, tile := range tr.Tiles {
			path(tile.Outline, "stroke:#422;stroke-width:.15;fill:"+colours[i%len(colours)])
		}
		path(geom.Outline{{{}, {X: tr.WidthMM}, {X: tr.WidthMM, Y: tr.DepthMM}, {Y: tr.DepthMM}}}, "stroke:#a00;stroke-width:.2;fill:none")
		for _, p := range tr.Placed {
			path(p.At(items), "stroke:#311;stroke-width:.3;fill:#b98;fill-opacity:.6")
			fmt.Fprintf(&b, `<text font-size="6" x="%g" y="%g">%d</text>`, x0+p.XMM-3+5, tr.DepthMM-p.YMM+2+5, p.Number)
		}
		x0 += tr.WidthMM + 10
	}
	svg := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="%gmm" height="170mm" viewBox="0 0 %g 170"><rect width="%g" height="170" fill="white"/>%s</svg>`, x0, x0, x0, b.String())
	if err := os.WriteFile(dir+"/"+name+".svg", []byte(svg), 0o644); err != nil {
		t.Fatal(err)
	}
}
