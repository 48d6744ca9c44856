package master

import (
	"bytes"
	"context"
	"encoding/binary"
	"flag"
	"math"
	"os"
	"strings"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/piece"
	"pgregory.net/rapid"
)

// frustum is a piece with plain walls: its footprint inset linearly up to a flat top.
func frustum(t testing.TB, name string, foot geom.Outline, heightMM, draftDeg float64) *piece.Piece {
	t.Helper()
	const pitch = 0.05
	lean := math.Tan(draftDeg * math.Pi / 180)
	f, err := field.SignedDistance(context.Background(), field.Around(foot.Bounds(), pitch), foot, heightMM*lean+1)
	if err != nil {
		t.Fatal(err)
	}
	for i, d := range f.Z {
		f.Z[i] = float32(math.Min(math.Max(float64(d)/lean, 0), heightMM))
	}
	return &piece.Piece{Name: name, Footprint: foot, Relief: f, HeightMM: heightMM, MinDraftDeg: draftDeg}
}

func surface(t testing.TB, p *piece.Piece, c Choices, shrink float64, cavities int) Item {
	t.Helper()
	it, err := Surface(context.Background(), p, c, shrink, 0, c.ToleranceMM)
	if err != nil {
		t.Fatal(err)
	}
	it.Cavities = cavities
	return it
}

func letters(t testing.TB) Letters {
	return Sans(artwork.NewFonts())
}

// A rectangle inset on all sides by h tan(draft) is a prismatoid: V = h/6 (A0 + 4 Am + A1)
// (the prismoidal formula, exact here). The fillet adds its section, the area between
// the arc and its two tangents, along the perimeter.
func TestSurfaceVolume(t *testing.T) {
	c := choices()
	const w, d, h, draft = 30.0, 20.0, 10.0, 10.0
	lean := math.Tan(draft * math.Pi / 180)
	area := func(z float64) float64 { return (w - 2*z*lean) * (d - 2*z*lean) }
	want := h / 6 * (area(0) + 4*area(h/2) + area(h))
	c.FilletMM, c.ToleranceMM = 0, 0.002
	p := frustum(t, "block", geom.Rectangle(w, d), h, draft)
	it := surface(t, p, c, 0, 1)
	if rel := it.VolumeMM3/want - 1; math.Abs(rel) > 1e-3 {
		t.Errorf("volume %g mm3, closed form %g mm3 (%+.3f %%)", it.VolumeMM3, want, 100*rel)
	} else {
		t.Logf("block: %+.4f %% of the closed form, %d triangles", 100*rel, len(it.Sheet.T))
	}
	// The section of a fillet between two lines at the inner angle a: r^2 (cot(a/2) - (pi - a)/2).
	c.FilletMM = 1
	it2 := surface(t, p, c, 0, 1)
	// Around the four corners it turns once more about the footprint: 2 pi times the
	// section's first moment, about its area times 0.2 r.
	a := math.Pi/2 + draft*math.Pi/180
	section := 1/math.Tan(a/2) - (math.Pi-a)/2
	added, along := it2.VolumeMM3-it.VolumeMM3, section*(2*(w+d)+2*math.Pi*0.2)
	if math.Abs(added/along-1) > 0.02 {
		t.Errorf("fillet adds %g mm3, its section along the edge is %g mm3", added, along)
	} else {
		t.Logf("fillet: %g mm3, section x perimeter %g mm3", added, along)
	}
	// Size: 30 mm, rubber 0.1 %, resin 0.5 %: 30/(1-0.001)/(1-0.005) = 30.1809 mm by hand.
	it3 := surface(t, p, Choices{ToleranceMM: 0.01}, 0.001, 1)
	b := it3.Outline.Bounds()
	if got := b.W() / (1 - 0.005); math.Abs(got-30.1809) > 1e-4 {
		t.Errorf("30 mm come out as %.4f mm, want 30.1809 mm", got)
	}
	if want := 10 / 0.999; math.Abs(it3.HeightMM-want) > 1e-5 {
		t.Errorf("10 mm high come out as %.5f mm, want %.5f mm", it3.HeightMM, want)
	}
}

func realItems(t testing.TB, c Choices) []Item {
	return []Item{
		surface(t, frustum(t, "crest", geom.Heart(30, 28), 9, 8), c, 0.001, 3),
		surface(t, frustum(t, "bee", geom.Circle(12), 8, 10), c, 0.001, 3),
		surface(t, frustum(t, "plaque: Ysoline", geom.RoundedRectangle(40, 22, 4), 7, 8), c, 0.001, 2),
	}
}

func TestMakeEveryMode(t *testing.T) {
	for _, mode := range []struct{ build, layout, frame string }{
		{"tiles", "grid", "printed"}, {"tiles", "packed", "own boards"}, {"loose", "grid", "printed"}, {"loose", "packed", "own boards"},
	} {
		name := strings.Join([]string{mode.build, mode.layout, mode.frame}, ", ")
		t.Run(name, func(t *testing.T) {
			c := choices()
			c.Build, c.Layout, c.Frame = mode.build, mode.layout, mode.frame
			c.WidthMM = 140
			items := realItems(t, c)
			m, found, err := Make(context.Background(), items, c, smallPlate, "4T7QK2M", letters(t))
			if err != nil {
				t.Fatal(err)
			}
			if len(found) > 0 {
				t.Errorf("findings: %v", found)
			}
			for _, p := range m.Parts {
				checkPart(t, p)
			}
			checkTrayMeasures(t, m, items, c)
		})
	}
}

func checkPart(t *testing.T, p Part) {
	t.Helper()
	out, err := p.Mesh(context.Background())
	if err != nil {
		t.Errorf("%s: %v", p.Name, err)
		return
	}
	if err := out.Check().Err(); err != nil {
		t.Errorf("%s: %v", p.Name, err)
	}
	if pairs, err := out.SelfTouching(context.Background()); err != nil || len(pairs) > 0 {
		t.Errorf("%s touches itself: %d pairs of triangles, %v", p.Name, len(pairs), err)
	}
	// Sums of float32 coordinates: 1e-5 of the volume.
	if v := out.Volume(); math.Abs(v/p.VolumeMM3-1) > 1e-5 {
		t.Errorf("%s: mesh of %g mm3, said %g mm3", p.Name, v, p.VolumeMM3)
	}
	lo, hi := out.Bounds()
	// The plan grid is 1/8192 mm and the box is moved by whole 1/1024 mm.
	for i, want := range [3]float64{p.WidthMM, p.DepthMM, p.HeightMM} {
		if math.Abs(float64(lo[i])) > 1e-3 || math.Abs(float64(hi[i])-want) > 1e-3 {
			t.Errorf("%s: from %g to %g mm along axis %d, want 0 to %g mm", p.Name, lo[i], hi[i], i, want)
		}
	}
	again, err := p.Mesh(context.Background())
	if err != nil || !bytes.Equal(bits(out), bits(again)) {
		t.Errorf("%s: two meshes differ", p.Name)
	}
	t.Logf("%s: %d triangles, %.1f x %.1f x %.1f mm, %.0f mm3", p.Name, len(out.T), p.WidthMM, p.DepthMM, p.HeightMM, p.VolumeMM3)
	if dir := os.Getenv("MASTER_PICTURES"); dir != "" {
		writeSTL(t, dir+"/"+strings.ReplaceAll(t.Name()+" "+p.Name, "/", " ")+".stl", out)
	}
}

func bits(m *mesh.Mesh) []byte {
	var b bytes.Buffer
	binary.Write(&b, binary.LittleEndian, m.V)
	binary.Write(&b, binary.LittleEndian, m.T)
	return b.Bytes()
}

func writeSTL(t *testing.T, name string, m *mesh.Mesh) {
	var b bytes.Buffer
	b.Write(make([]byte, 80))
	binary.Write(&b, binary.LittleEndian, uint32(len(m.T)))
	for _, tr := range m.T {
		binary.Write(&b, binary.LittleEndian, [3]float32{})
		for _, k := range tr {
			binary.Write(&b, binary.LittleEndian, m.V[k])
		}
		binary.Write(&b, binary.LittleEndian, uint16(0))
	}
	if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// checkTrayMeasures compares what a tray says with its parts and with arithmetic.
func checkTrayMeasures(t *testing.T, m *Master, items []Item, c Choices) {
	g := 1 / (1 - smallPlate.ResinShrink)
	for _, tr := range m.Trays {
		pieces, solid := 0.0, 0.0
		for _, p := range tr.Placed {
			pieces += items[p.Item].VolumeMM3
		}
		for _, p := range m.Parts {
			if p.Tray == tr.Number && p.Kind != "panel" {
				solid += p.VolumeMM3 / (g * g * g)
			}
		}
		if math.Abs(pieces-tr.PiecesMM3) > 1e-6*pieces || math.Abs(solid-tr.SolidMM3) > 1e-6*solid {
			t.Errorf("tray %d: pieces %g and %g mm3, solid %g and %g mm3", tr.Number, tr.PiecesMM3, pieces, tr.SolidMM3, solid)
		}
		if want := tr.WidthMM*tr.DepthMM*(tr.HighestMM+c.OverMM) - pieces; math.Abs(tr.RubberMM3-want) > 1e-6*want {
			t.Errorf("tray %d: rubber %g mm3, want %g mm3", tr.Number, tr.RubberMM3, want)
		}
		// Base and pieces, but for chamfers, engravings and gaps: 2 % of the whole.
		e := edgeMM(c)
		if want := (tr.WidthMM+2*e)*(tr.DepthMM+2*e)*c.BaseMM + pieces; math.Abs(solid/want-1) > 0.02 {
			t.Errorf("tray %d: solid %g mm3, base and pieces %g mm3", tr.Number, solid, want)
		}
	}
}

func TestLooseTooSmall(t *testing.T) {
	c := choices()
	c.Build = "loose"
	items := []Item{surface(t, frustum(t, "pip", geom.Circle(3), 6, 8), c, 0, 2), surface(t, frustum(t, "coin", geom.Circle(14), 3, 8), c, 0, 2)}
	m, found, err := Make(context.Background(), items, c, smallPlate, "4T7QK2M", letters(t))
	if err != nil || m != nil || len(found) != 2 || finding.Worst(found) != finding.Stop ||
		!strings.Contains(found[0].What, "allowed 4.0 mm for a peg") || !strings.Contains(found[1].What, "high over its socket") {
		t.Errorf("%v %v", found, err)
	}
}

func BenchmarkTile(b *testing.B) {
	c := choices()
	items := realItems(b, c)
	m, _, err := Make(context.Background(), items, c, Print{PlateWidthMM: 220, PlateDepthMM: 160, PlateHeightMM: 150, FootMM: 0.1, FootHeightMM: 0.4}, "4T7QK2M", letters(b))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := m.Parts[0].Mesh(context.Background()); err != nil {
			b.Fatal(err)
		}
	}
}

// One block on one tile with a square for a label, so that every volume has a closed
// form: base a*b*c, the block a prismatoid, the engraving a frustum of a pyramid with
// 20 degree walls, the chamfer a frustum of the base's outline.
func TestTileVolume(t *testing.T) {
	c := choices()
	c.Frame, c.FilletMM, c.ToleranceMM = "own boards", 0, 0.002
	pr := Print{PlateWidthMM: 120, PlateDepthMM: 100, PlateHeightMM: 50, FootMM: 0.2, FootHeightMM: 0.5}
	const w, d, h, draft = 30.0, 20.0, 10.0, 10.0
	items := []Item{surface(t, frustum(t, "block", geom.Rectangle(w, d), h, draft), c, 0, 2)}
	square := func(string, float64) (geom.Outline, error) { return geom.Rectangle(4, 4), nil }
	m, found, err := Make(context.Background(), items, c, pr, "0", square)
	if err != nil || len(found) > 0 || len(m.Parts) != 1 {
		t.Fatal(found, err)
	}
	out, err := m.Parts[0].Mesh(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	prismoid := func(h float64, area func(z float64) float64) float64 {
		return h / 6 * (area(0) + 4*area(h/2) + area(h))
	}
	shrinking := func(w, d, lean float64) func(float64) float64 {
		return func(z float64) float64 { return (w - 2*z*lean) * (d - 2*z*lean) }
	}
	tr := m.Trays[0]
	if math.Abs(tr.WidthMM-(2*10+2*w+8)) > 1e-6 || math.Abs(tr.DepthMM-(2*10+d)) > 1e-6 {
		t.Fatalf("tray of %g x %g mm", tr.WidthMM, tr.DepthMM)
	}
	blocks := 2 * prismoid(h, shrinking(w, d, math.Tan(draft*math.Pi/180)))
	// Two lines of one square, the first with the arrow, an area by its ring.
	engraved := 2 * prismoid(c.EngraveMM, shrinking(4, 4, math.Tan(engraveLeanDeg*math.Pi/180)))
	chamfer := tr.WidthMM*tr.DepthMM*pr.FootHeightMM - prismoid(pr.FootHeightMM, shrinking(tr.WidthMM, tr.DepthMM, pr.FootMM/pr.FootHeightMM))
	want := tr.WidthMM*tr.DepthMM*c.BaseMM + blocks - engraved - chamfer
	// The arrow, 9 mm2 and 0.3 mm deep on average, is left out: 3 mm3 of 20,000.
	if got := out.Volume(); math.Abs(got/want-1) > 5e-4 {
		t.Errorf("tile of %g mm3, closed form %g mm3 (%+.4f %%)", got, want, 100*(got/want-1))
	} else {
		t.Logf("tile: %+.4f %% of the closed form", 100*(got/want-1))
	}
	if r := tr.RubberMM3 - (tr.WidthMM*tr.DepthMM*(h+c.OverMM) - blocks); math.Abs(r) > 1e-3*blocks {
		t.Errorf("rubber off by %g mm3", r)
	}
}

// A part is as large as the tray's measure divided by what the resin leaves of it.
func TestResinShrinkage(t *testing.T) {
	c := choices()
	items := []Item{surface(t, frustum(t, "block", geom.Rectangle(30, 20), 10, 10), c, 0.001, 1)}
	m, _, err := Make(context.Background(), items, c, smallPlate, "4T7QK2M", letters(t))
	if err != nil {
		t.Fatal(err)
	}
	tile := m.Parts[0]
	b := m.Trays[0].Tiles[0].Outline.Bounds()
	if got, want := tile.WidthMM, b.W()/0.995; math.Abs(got-want) > 1e-9 {
		t.Errorf("tile of %g mm prints as %g mm, want %g mm", b.W(), got, want)
	}
	if got, want := tile.HeightMM, (3+10/0.999)/0.995; math.Abs(got-want) > 1e-4 {
		t.Errorf("%g mm high, want %g mm", got, want)
	}
}

func TestMakeCancelled(t *testing.T) {
	c := choices()
	items := realItems(t, c)
	ctx, cancel := context.WithCancel(context.Background())
	m, _, err := Make(ctx, items, c, smallPlate, "4T7QK2M", letters(t))
	if err != nil {
		t.Fatal(err)
	}
	cancel()
	if _, _, err := Make(ctx, items, c, smallPlate, "4T7QK2M", letters(t)); err != context.Canceled {
		t.Errorf("Make cancelled: %v", err)
	}
	if _, err := m.Parts[0].Mesh(ctx); err != context.Canceled {
		t.Errorf("Mesh cancelled: %v", err)
	}
}

// Whatever choices the job file allows: closed parts of the said volume, or findings.
func TestMakeRandomChoices(t *testing.T) {
	base := realItems(t, choices())
	write := letters(t)
	stopped := 0
	// Half a second each: 12 sets of choices a run, more with -rapid.checks.
	if checks := flag.Lookup("rapid.checks"); checks.Value.String() == checks.DefValue {
		checks.Value.Set("12")
		t.Cleanup(func() { checks.Value.Set(checks.DefValue) })
	}
	rapid.Check(t, func(t *rapid.T) {
		pick := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		c := Choices{
			Layout: rapid.SampledFrom([]string{"grid", "packed"}).Draw(t, "layout"), Build: rapid.SampledFrom([]string{"tiles", "loose"}).Draw(t, "build"),
			Frame: rapid.SampledFrom([]string{"printed", "own boards"}).Draw(t, "frame"), WidthMM: pick("width", 60, 200), DepthMM: pick("depth", 60, 200),
			GapMM: pick("gap", 2, 15), MarginMM: pick("margin", 2, 15), BaseMM: pick("base", 1.5, 8), OverMM: pick("over", 3, 20), FreeMM: pick("free", 1, 10),
			PanelMM: pick("panel", 2, 8), SealMM: pick("seal", 0, 4), ClearMM: pick("clear", 0, 0.5), EngraveMM: pick("engrave", 0.1, 1), PegMM: pick("peg", 1, 4), ToleranceMM: 0.01,
		}
		pr := Print{PlateWidthMM: pick("plate width", 60, 200), PlateDepthMM: pick("plate depth", 50, 120), PlateHeightMM: 150,
			ResinShrink: pick("shrink", 0, 0.02), FootMM: pick("foot", 0, 0.3), FootHeightMM: pick("foot height", 0, 1.5)}
		m, found, err := Make(context.Background(), base, c, pr, "4T7QK2M", write)
		if err != nil {
			t.Fatal(err)
		}
		if m == nil {
			if finding.Worst(found) != finding.Stop {
				t.Fatalf("no master and no reason: %v", found)
			}
			stopped++
			return
		}
		for _, p := range m.Parts {
			out, err := p.Mesh(context.Background())
			if err != nil {
				t.Fatal(err)
			}
			if v := out.Volume(); math.Abs(v/p.VolumeMM3-1) > 1e-4 {
				t.Fatalf("%s: mesh of %g mm3, said %g mm3", p.Name, v, p.VolumeMM3)
			}
			if !(p.WidthMM <= pr.PlateWidthMM+1e-3 && p.DepthMM <= pr.PlateDepthMM+1e-3 || p.DepthMM <= pr.PlateWidthMM+1e-3 && p.WidthMM <= pr.PlateDepthMM+1e-3) {
				t.Fatalf("%s: %g x %g mm on a plate of %g x %g mm", p.Name, p.WidthMM, p.DepthMM, pr.PlateWidthMM, pr.PlateDepthMM)
			}
		}
	})
	t.Logf("%d sets of choices were stopped by a finding", stopped)
}
