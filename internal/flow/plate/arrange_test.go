package plate

import (
	"math"
	"testing"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/master"
)

// lShape is an L of sides a, b and arm t, its box from the origin.
func lShape(a, b, t float64) geom.Outline {
	return geom.Outline{{{X: 0, Y: 0}, {X: a, Y: 0}, {X: a, Y: t}, {X: t, Y: t}, {X: t, Y: b}, {X: 0, Y: b}}}
}

func partOf(o geom.Outline, heightMM float64, copies int) master.Part {
	b := o.Bounds()
	return master.Part{Name: "part", Copies: copies, WidthMM: b.W(), DepthMM: b.H(), HeightMM: heightMM, Outline: o, VolumeMM3: o.Area() * heightMM}
}

// Two L, whose boxes do not fit beside each other, lie in each other: one print instead of
// two, which no packing of boxes finds and the bound allows.
func TestOutlinesShareAPlate(t *testing.T) {
	p := printer
	p.PlateWidthMM, p.PlateDepthMM, p.MarginMM = 98, 98, 0
	got, _, err := Make(ctx, []master.Part{partOf(lShape(74, 74, 20), 10, 2)}, Choices{GapMM: 2}, p, resin)
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Plates) != 1 {
		t.Fatalf("%d plates, want 1", len(got.Plates))
	}
	one := TimeMin(Layers(10, p.LayerMM), p, resin).Likely
	if got.PrintTimeMin.Likely != one || got.BoundMin.Likely != one || got.ApartMin.Likely != 2*one {
		t.Errorf("plates %v, bound %v, apart %v min, want %g, %g, %g", got.PrintTimeMin, got.BoundMin, got.ApartMin, one, one, 2*one)
	}
}

// A strip longer than the plate lies along its diagonal.
func TestAslant(t *testing.T) {
	p := printer
	p.PlateWidthMM, p.PlateDepthMM, p.MarginMM = 100, 100, 0
	got, found, err := Make(ctx, []master.Part{partOf(cornered(geom.Rectangle(125, 8)), 5, 1)}, Choices{GapMM: 2}, p, resin)
	if err != nil || len(found) > 0 || len(got.Plates) != 1 {
		t.Fatal(got, found, err)
	}
	if deg := math.Mod(got.Plates[0].Items[0].TurnDeg, 90); deg != 45 {
		t.Errorf("turned by %g degrees", got.Plates[0].Items[0].TurnDeg)
	}
}

// By hand, 100 x 100 mm, gap 0.5: a 97 x 97 of 20 mm and two more of 5 mm leave no room
// for anything beside them; six 30 x 30 of 20 mm need a plate of their own, which is
// tall. The bound is 2 tall and 2 low plates, and the plates meet it.
func TestBoundByHand(t *testing.T) {
	p := printer
	p.PlateWidthMM, p.PlateDepthMM, p.MarginMM = 100, 100, 0
	parts := []master.Part{
		partOf(cornered(geom.Rectangle(97, 97)), 20, 1),
		partOf(cornered(geom.Rectangle(97, 97)), 5, 2),
		partOf(cornered(geom.Rectangle(30, 30)), 20, 6),
	}
	got, _, err := Make(ctx, parts, Choices{GapMM: 0.5}, p, resin)
	if err != nil {
		t.Fatal(err)
	}
	tall, low := TimeMin(400, p, resin).Likely, TimeMin(100, p, resin).Likely
	if want := 2*tall + 2*low; math.Abs(got.BoundMin.Likely-want) > 1e-9 || math.Abs(got.PrintTimeMin.Likely-want) > 1e-9 {
		t.Errorf("bound %g, plates %g min, want %g", got.BoundMin.Likely, got.PrintTimeMin.Likely, want)
	}
}

// BenchmarkMakeLoose nests what a job of loose pieces prints: 60 pieces of four shapes.
func BenchmarkMakeLoose(b *testing.B) {
	var parts []master.Part
	for i := range 60 {
		o := [...]geom.Outline{geom.Circle(19), geom.RoundedRectangle(38, 33, 5), geom.Heart(38, 34), geom.RoundedRectangle(42, 20, 4)}[i%4]
		parts = append(parts, partOf(cornered(o), []float64{11.8, 11.8, 10.3, 10.8}[i%4], 1))
	}
	for i := range 8 {
		parts = append(parts, partOf(cornered(geom.Rectangle(110+float64(i), 28)), 4, 1))
	}
	for b.Loop() {
		got, _, err := Make(ctx, parts, Choices{GapMM: 3}, printer, resin)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(got.PrintTimeMin.Likely/got.BoundMin.Likely, "times-the-bound")
		b.ReportMetric(float64(len(got.Plates)), "plates")
	}
}
