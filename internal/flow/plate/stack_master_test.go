package plate

import (
	"bytes"
	"image"
	"math"
	"runtime"
	"testing"

	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/piece"
)

// orchard is a plate with a whole tray of pieces with letters. The faces of base, pieces
// and letters lie on the edges of layers of 0.05 mm.
func orchard(t testing.TB, printer material.Printer, pitchMM float64, tray [2]float64, cavities int) (*Plate, []master.Part) {
	t.Helper()
	return hollowOrchard(t, printer, pitchMM, tray, cavities, 0)
}

// hollowOrchard is the same with bodies hollowed to a wall of hollowMM.
func hollowOrchard(t testing.TB, printer material.Printer, pitchMM float64, tray [2]float64, cavities int, hollowMM float64) (*Plate, []master.Part) {
	t.Helper()
	return builtOrchard(t, printer, pitchMM, tray, cavities, hollowMM, "tiles")
}

// builtOrchard is the same with pieces that stand on their tiles or lie loose.
func builtOrchard(t testing.TB, printer material.Printer, pitchMM float64, tray [2]float64, cavities int, hollowMM float64, build string) (*Plate, []master.Part) {
	t.Helper()
	fonts := artwork.NewFonts()
	made, found, err := piece.Make(ctx, piece.Choices{
		Name: "reference", Outline: "rounded rectangle", WidthMM: 36, DepthMM: 28, CornerMM: 4,
		HeightMM: 12, DraftDeg: 8, Top: "flat", Art: []artwork.Choices{{
			Text: "ORCHARD", Font: "sans bold", Align: "centre", Leading: 1.2, WidthMM: 30,
			Side: "raised", DepthMM: 0.8, Profile: "flat", DraftDeg: 10,
		}},
	}, piece.Inputs{Fonts: fonts}, nil, -1, pitchMM)
	if err != nil || made == nil {
		t.Fatal(found, err)
	}
	c := master.Choices{Layout: "grid", Build: build, WidthMM: tray[0], DepthMM: tray[1], GapMM: 8, MarginMM: 10, BaseMM: 3, FilletMM: 0.4,
		OverMM: 9, Frame: "own boards", FreeMM: 5, PanelMM: 4, SealMM: 1.5, ClearMM: 0.12, EngraveMM: 0.4, PegMM: 3, ToleranceMM: 0.01, HollowMM: hollowMM, DrainMM: 2}
	item, err := master.Surface(ctx, made, c, 0, 0, c.ToleranceMM)
	if err != nil {
		t.Fatal(err)
	}
	item.Cavities = cavities
	print := master.Print{PlateWidthMM: printer.PlateWidthMM - 2*printer.MarginMM, PlateDepthMM: printer.PlateDepthMM - 2*printer.MarginMM,
		PlateHeightMM: printer.PlateHeightMM, FootMM: 0.1, FootHeightMM: 0.4}
	m, found, err := master.Make(ctx, []master.Item{item}, c, print, "4T7QK2M", master.Sans(fonts))
	if err != nil || m == nil {
		t.Fatal(found, err)
	}
	plates, found, err := Make(ctx, m.Parts, Choices{GapMM: 3}, printer, resin)
	if err != nil || len(found) > 0 {
		t.Fatal(found, err)
	}
	return &plates.Plates[0], m.Parts
}

// A hollow loose piece drains: no room of its plate is closed against the build plate but
// its socket, which is smaller than 60 mm². Its images give the volume that it says.
func TestHollowLooseDrains(t *testing.T) {
	p := printer
	p.PixelMM = 0.05
	pl, parts := builtOrchard(t, p, 0.1, [2]float64{70, 62}, 1, 2, "loose")
	s, err := pl.Stack(ctx, parts, p)
	if err != nil {
		t.Fatal(err)
	}
	e, err := Expose(ctx, s, 60)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range e.Suction {
		if c.Trapped {
			t.Errorf("closed: %+v", c)
		}
	}
	want := 0.0
	for _, it := range pl.Items {
		want += parts[it.Part].VolumeMM3
	}
	if got := summed(t, s); math.Abs(got/want-1) > 1e-3 {
		t.Errorf("images of %g mm3, parts of %g mm3", got, want)
	}
}

// The volume that a master says it has, by the images of its plate. The parts' volumes
// are exact sums over their meshes, which master's own tests hold to closed forms.
func TestPlateGivesVolume(t *testing.T) {
	p := printer
	p.PlateWidthMM, p.PlateDepthMM, p.PixelMM = 120, 70, 0.04
	pl, parts := orchard(t, p, 0.04, [2]float64{112, 62}, 2)
	s, err := pl.Stack(ctx, parts, p)
	if err != nil {
		t.Fatal(err)
	}
	want := 0.0
	for _, it := range pl.Items {
		want += parts[it.Part].VolumeMM3
	}
	got := summed(t, s)
	t.Logf("%d parts, %d layers: images %.2f mm3, parts %.2f mm3 (%+.4f %%)", len(pl.Items), s.Layers, got, want, 100*(got/want-1))
	if math.Abs(got/want-1) > 1e-3 {
		t.Errorf("images of %g mm3, parts of %g mm3", got, want)
	}
	if s.Layers != pl.Layers {
		t.Errorf("%d images, %d layers", s.Layers, pl.Layers)
	}
	keep(t, s, "tile", 0, 2, 8, 59, 60, 62, 200, 239, 245, s.Layers-1)
}

// Hollow bodies drain: no cup is closed in any layer, no layer jumps, and the images
// give the volume, which is a good deal smaller.
func TestHollowDrains(t *testing.T) {
	p := printer
	p.PlateWidthMM, p.PlateDepthMM, p.PixelMM = 120, 70, 0.08
	solid, all := orchard(t, p, 0.08, [2]float64{112, 62}, 2)
	pl, parts := hollowOrchard(t, p, 0.08, [2]float64{112, 62}, 2, 2)
	s, err := pl.Stack(ctx, parts, p)
	if err != nil {
		t.Fatal(err)
	}
	// Strokes of the engraving and holes of letters have some 6 mm².
	e, err := Expose(ctx, s, 20)
	if err != nil {
		t.Fatal(err)
	}
	if len(e.Suction) > 0 {
		t.Errorf("closed: %+v", e.Suction)
	}
	if j := e.Jump(); j.GrownMM2 > 0.25*e.MaxMM2() {
		t.Errorf("jump %+v", j)
	}
	want, was, got := 0.0, 0.0, summed(t, s)
	for _, it := range pl.Items {
		want += parts[it.Part].VolumeMM3
	}
	for _, it := range solid.Items {
		was += all[it.Part].VolumeMM3
	}
	t.Logf("images %.1f mm3, parts %.1f mm3 (%+.3f %%), solid %.1f mm3", got, want, 100*(got/want-1), was)
	if math.Abs(got/want-1) > 1e-3 || want > 0.9*was {
		t.Errorf("images of %g mm3, parts of %g mm3, solid %g mm3", got, want, was)
	}
	keep(t, s, "hollow", 0, 10, 25, 40, 80, 160, 240)
}

// BenchmarkLayer8000x5000 draws and packs the layers of a plate of 280 x 175 mm with
// 35 µm pixels, filled by one tray of 20 pieces with letters.
// MB/s is megapixels a second. kept-MB is what a stack and its scratch hold after it.
// Run it once with -cpu 1 and once with -cpu 2, not with both in one list: then the
// first was seen to run on both cores.
func BenchmarkLayer8000x5000(b *testing.B) {
	p := material.Printer{PlateWidthMM: 280, PlateDepthMM: 175, PlateHeightMM: 200, PixelMM: 0.035, LayerMM: 0.05, MarginMM: 2, LiftS: unit.Sure(8)}
	pl, parts := orchard(b, p, 0.05, [2]float64{272, 168}, 20)
	heap := func() float64 {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		return float64(m.HeapAlloc)
	}
	before := heap()
	s, err := pl.Stack(ctx, parts, p)
	if err != nil {
		b.Fatal(err)
	}
	if s.WidthPx != 8000 || s.DepthPx != 5000 {
		b.Fatalf("%d x %d pixels", s.WidthPx, s.DepthPx)
	}
	keep(b, s, "tray", 0, 3, 30, 100, s.Layers-3)
	run := func(name string, layer func(k int) int, do func(b *testing.B, k int) int) {
		b.Run(name, func(b *testing.B) {
			b.SetBytes(8000 * 5000)
			b.ReportAllocs()
			var bytes, n, k int
			for b.Loop() {
				bytes += do(b, layer(k))
				n++
				k++
			}
			b.ReportMetric(float64(bytes)/float64(n)/1e3, "kB/image")
			b.ReportMetric((heap()-before)/1e6, "kept-MB")
		})
	}
	file := func(b *testing.B, k int) int {
		var out bytes.Buffer
		if err := s.WritePNG(ctx, k, &out); err != nil {
			b.Fatal(err)
		}
		return out.Len()
	}
	// A step that is prime to the number of layers passes through all of them.
	run("PNG", func(k int) int { return k * 37 % s.Layers }, file)
	run("PNG of the base", func(k int) int { return 30 }, file)
	run("PNG of the letters", func(k int) int { return s.Layers - 3 }, file)
	var im *image.Gray
	run("image", func(k int) int { return k * 37 % s.Layers }, func(b *testing.B, k int) int {
		var err error
		if im, err = s.Layer(ctx, k, im); err != nil {
			b.Fatal(err)
		}
		return len(im.Pix)
	})
	run("area", func(k int) int { return k * 37 % s.Layers }, func(_ *testing.B, k int) int { s.AreaMM2(k); return 0 })
}
