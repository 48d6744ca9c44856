package forecast

import (
	"context"
	"testing"

	"mouldwright/internal/base/material"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/piece"
)

// usual is the rules as the job file's defaults have them, and the usual means.
func usual() (Means, Choices) {
	m := Means{
		Printer: material.Printers["small plate"].Value, Resin: material.Resins["rigid grey resin"].Value,
		Silicone: material.Silicones["soft food-grade rubber"].Value, Chocolate: material.Chocolates["dark"].Value,
	}
	m.Printer.PixelMM = 0.05
	return m, Choices{
		LightMM: 0.02, LightShare: 0.5, Fill: "brush", TapShare: 0.3, BrushPa: 500,
		ChocolateMM: 0.5, ChocolateRatio: 1.5, RubberMM: 0.3, RubberRatio: 3, ResinMM: 0.15, ResinRatio: 6,
		DraftDeg: 3, EyeMM: 0.1, PocketMM: 3,
	}
}

// reference is the piece whose speed is measured: 36 x 28 x 12 mm with a word of seven
// letters, 30 mm wide, raised 0.8 mm.
func reference(text string) piece.Choices {
	return piece.Choices{
		Name: "reference", Outline: "rounded rectangle", WidthMM: 36, DepthMM: 28, CornerMM: 4,
		HeightMM: 12, DraftDeg: 8, Top: "flat", Art: []artwork.Choices{{
			Text: text, Font: "sans bold", Align: "centre", Leading: 1.2, WidthMM: 30,
			Side: "raised", DepthMM: 0.8, Profile: "flat", DraftDeg: 10,
		}},
	}
}

func made(t testing.TB, c piece.Choices, pitchMM float64) *piece.Piece {
	t.Helper()
	p, list, err := piece.Make(context.Background(), c, piece.Inputs{Fonts: artwork.NewFonts()}, nil, -1, pitchMM)
	if err != nil || p == nil {
		t.Fatal(list, err)
	}
	return p
}

// BenchmarkReference judges the reference piece at 25 µm: all but the pictures.
func BenchmarkReference(b *testing.B) { bench(b, 0.025) }

// BenchmarkReferenceFine does at half of a 35 µm pixel, as a build does.
func BenchmarkReferenceFine(b *testing.B) { bench(b, 0.0175) }

func bench(b *testing.B, pitchMM float64) {
	p := made(b, reference("ORCHARD"), pitchMM)
	m, c := usual()
	m.Printer.PixelMM = 2 * pitchMM
	for b.Loop() {
		if _, _, err := Make(context.Background(), p, m, c); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkForecast does everything for the reference piece at 25 µm: it judges it,
// predicts its surface with and without layer steps, and maps difference and draft.
func BenchmarkForecast(b *testing.B) {
	p := made(b, reference("ORCHARD"), 0.025)
	m, c := usual()
	ctx := context.Background()
	for b.Loop() {
		if _, _, err := Make(ctx, p, m, c); err != nil {
			b.Fatal(err)
		}
		smooth, err := Smooth(ctx, p, m, c)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := Layered(ctx, smooth, m.Printer.LayerMM, c.CoatMM); err != nil {
			b.Fatal(err)
		}
		Difference(p.Relief, smooth)
		if _, err := DraftMap(ctx, p.Relief); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N), "s")
}

// BenchmarkPredict makes the predicted relief and the difference map.
func BenchmarkPredict(b *testing.B) {
	p := made(b, reference("ORCHARD"), 0.025)
	m, c := usual()
	c.CoatMM = 0.03
	for b.Loop() {
		z, err := Predict(context.Background(), p, m, c)
		if err != nil {
			b.Fatal(err)
		}
		Difference(p.Relief, z)
	}
}
