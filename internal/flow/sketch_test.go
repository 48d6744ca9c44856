package flow_test

import (
	"context"
	"math"
	"reflect"
	"slices"
	"testing"

	"mouldwright/internal/flow"
	"mouldwright/internal/job"
)

func orchard(t testing.TB) *flow.Input {
	t.Helper()
	_, in, err := job.Load(context.Background(), "../../examples/orchard/job.toml")
	if err != nil {
		t.Fatal(err)
	}
	return in
}

// A sketch says what a build says, less finely: the same pieces, trays and plates, and
// masses within two per cent. A wall that spans less than a sample at the sketch's
// pitch moves a volume by at most half a sample of the piece's rim.
func TestSketchIsLikeTheBuild(t *testing.T) {
	if testing.Short() {
		t.Skip("left out with -short: builds the example whole")
	}
	ctx, in := context.Background(), orchard(t)
	want, err := flow.Build(ctx, in, flow.Options{Version: "test"})
	if err != nil {
		t.Fatal(err)
	}
	got, err := flow.NewSketcher("test").Sketch(ctx, in)
	if err != nil {
		t.Fatal(err)
	}
	a, b := want.Plan, got.Plan
	if a.Digest != b.Digest || len(a.Pieces) != len(b.Pieces) || len(a.Masters) != len(b.Masters) || len(a.Plates) != len(b.Plates) {
		t.Fatalf("build %s: %d pieces, %d trays, %d plates; sketch %s: %d, %d, %d", a.Digest, len(a.Pieces), len(a.Masters), len(a.Plates), b.Digest, len(b.Pieces), len(b.Masters), len(b.Plates))
	}
	near := func(what string, a, b float64) {
		if math.Abs(a-b) > 0.02*math.Abs(a) {
			t.Errorf("%s: build %g, sketch %g", what, a, b)
		}
	}
	for i := range a.Pieces {
		p, q := a.Pieces[i], b.Pieces[i]
		if p.Name != q.Name {
			t.Fatalf("piece %d is %q in the build and %q in the sketch", i, p.Name, q.Name)
		}
		near(p.Name+" volume", p.VolumeMM3, q.VolumeMM3)
		near(p.Name+" mass", p.MassG.Likely, q.MassG.Likely)
	}
	for i := range a.Masters {
		if a.Masters[i].Tiles != b.Masters[i].Tiles {
			t.Errorf("tray %d: %d tiles in the build, %d in the sketch", i+1, a.Masters[i].Tiles, b.Masters[i].Tiles)
		}
	}
	near("rubber", a.Silicone.MassG.Likely, b.Silicone.MassG.Likely)
	near("chocolate", a.Chocolate.MeltMassG, b.Chocolate.MeltMassG)
}

// After an edit a sketch is what a new sketcher makes of the edited job.
func TestSketchForgetsNothing(t *testing.T) {
	ctx := context.Background()
	s := flow.NewSketcher("test")
	edits := []func(*flow.Choices){
		func(*flow.Choices) {},
		func(c *flow.Choices) { c.Pieces[0].HeightMM = 12 },
		func(c *flow.Choices) { c.Pieces[0].Cavities, c.Pieces[1].Count = 8, 40 },
		func(c *flow.Choices) { c.Shell.ShellMM = 1.6 },
		func(c *flow.Choices) { c.Master.FilletMM = 0.8 },
		func(c *flow.Choices) { c.Pieces[3].Filling = "" },
		func(c *flow.Choices) { c.Pieces[0].WeightG = 14 },
		func(c *flow.Choices) { c.Pieces[0].WeightG, c.Pieces[2].Art[0].DepthMM = 0, 0.9 },
	}
	for k, edit := range edits {
		in := orchard(t)
		in.Rows = in.Rows[:4]
		edit(&in.Choices)
		kept, err := s.Sketch(ctx, in)
		if err != nil {
			t.Fatal(err)
		}
		fresh, err := flow.NewSketcher("test").Sketch(ctx, in)
		if err != nil {
			t.Fatal(err)
		}
		if len(kept.Plan.Pieces) != 7 {
			t.Fatalf("edit %d: %d pieces", k, len(kept.Plan.Pieces))
		}
		for i := range fresh.Plan.Pieces {
			if !reflect.DeepEqual(kept.Plan.Pieces[i], fresh.Plan.Pieces[i]) {
				t.Errorf("edit %d, %s: %+v, made anew %+v", k, fresh.Plan.Pieces[i].Name, kept.Plan.Pieces[i], fresh.Plan.Pieces[i])
			}
		}
		if kept.Plan.Silicone.VolumeMM3 != fresh.Plan.Silicone.VolumeMM3 {
			t.Errorf("edit %d: rubber %g, made anew %g", k, kept.Plan.Silicone.VolumeMM3, fresh.Plan.Silicone.VolumeMM3)
		}
	}
}

// A forecast that was made is there when it is asked for again, and an edit that touches
// it gives what a new sketcher makes.
func TestForecastIsKept(t *testing.T) {
	ctx, s, in := context.Background(), flow.NewSketcher("test"), orchard(t)
	foresee := func(s *flow.Sketcher) *flow.Foreseen {
		f, err := s.Foresee(ctx, in, 0, -1)
		if err != nil || f.Piece == nil {
			t.Fatalf("%+v, %v", f, err)
		}
		return f
	}
	first := foresee(s)
	in.Choices.Title = "the same pieces"
	if foresee(s) != first {
		t.Error("the same forecast is made twice")
	}
	in.Choices.Forecast.CoatMM += 0.1
	kept, fresh := foresee(s), foresee(flow.NewSketcher("test"))
	if kept == first || !reflect.DeepEqual(kept.Plan, fresh.Plan) || !slices.Equal(kept.Stepped.Z, fresh.Stepped.Z) {
		t.Errorf("%+v, made anew %+v", kept.Plan, fresh.Plan)
	}
}

func TestSketchCanBeCancelled(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	s := flow.NewSketcher("test")
	if _, err := s.Sketch(ctx, orchard(t)); err != context.Canceled {
		t.Errorf("err = %v", err)
	}
	if h, err := s.Piece(context.Background(), orchard(t), 0, -1, false); err != nil || h.Piece == nil {
		t.Errorf("after a cancelled sketch: %v, %v", h, err)
	}
}

func BenchmarkSketchAfterEdit(b *testing.B) {
	s, in := flow.NewSketcher("test"), orchard(b)
	if _, err := s.Sketch(context.Background(), in); err != nil {
		b.Fatal(err)
	}
	for i := 0; b.Loop(); i++ {
		in.Choices.Pieces[0].HeightMM = 11 + float64(i%1000)/1000
		if _, err := s.Sketch(context.Background(), in); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSketchedPiece(b *testing.B) {
	s, in := flow.NewSketcher("test"), orchard(b)
	for i := 0; b.Loop(); i++ {
		in.Choices.Pieces[2].HeightMM = 9 + float64(i%1000)/1000
		if _, err := s.Piece(context.Background(), in, 2, -1, false); err != nil {
			b.Fatal(err)
		}
	}
}
