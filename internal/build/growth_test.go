package build

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/format/formattest"
	"mouldwright/internal/base/format/stl"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/piece"
	"mouldwright/internal/job"
)

// BenchmarkGrowth measures how cost grows with each quantity that a job may have much of,
// the others held: bench/ draws it.
func BenchmarkGrowth(b *testing.B) {
	for _, n := range []int{10, 25, 50, 100} {
		b.Run(fmt.Sprintf("names/%d", n), func(b *testing.B) { buildWhole(b, plaques(b, n)) })
	}
	for _, n := range []int{12, 60, 300, 1500} {
		b.Run(fmt.Sprintf("copies/%d", n), func(b *testing.B) { buildWhole(b, hearts(b, n)) })
	}
	for _, um := range []int{100, 50, 25, 12} {
		b.Run(fmt.Sprintf("samples/%d", 36000/um*(28000/um)), func(b *testing.B) {
			for b.Loop() {
				sampledAndMeshed(b, float64(um)/1000)
			}
		})
	}
	for _, n := range []int{50_000, 500_000, 5_000_000} {
		b.Run(fmt.Sprintf("triangles/%d", n), func(b *testing.B) {
			var file bytes.Buffer
			if err := stl.Write(&file, formattest.Sphere(18, n), ""); err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				tri, err := artwork.OpenMesh("ball.stl", file.Bytes())
				if err != nil {
					b.Fatal(err)
				}
				if _, err := artwork.TopView(b.Context(), "ball.stl", tri, artwork.View{WidthMM: 36, PitchMM: 0.025}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// buildWhole builds a job with the program itself, everything included.
func buildWhole(b *testing.B, path string) {
	out := filepath.Join(filepath.Dir(path), "out")
	mouldwright := program(b)
	for b.Loop() {
		says, code, used := run(b, mouldwright, "build", path, "-o", out)
		if code != 0 {
			b.Fatal(says)
		}
		b.ReportMetric(cpu(used).Seconds(), "s-of-computing")
		b.ReportMetric(peakMiB(used), "MiB")
	}
}

// hearts is the first job with n hearts to cast in the same six cavities.
func hearts(b *testing.B, n int) string {
	dir := filepath.Join(b.TempDir(), "gifts")
	if err := job.Start(dir); err != nil {
		b.Fatal(err)
	}
	path := filepath.Join(dir, "job.toml")
	text, err := os.ReadFile(path)
	if err != nil {
		b.Fatal(err)
	}
	count := []byte("count     = 12\n")
	if !bytes.Contains(text, count) {
		b.Fatalf("the first job has no %q now", count)
	}
	text = bytes.Replace(text, count, fmt.Appendf(nil, "count     = %d\n", n), 1)
	if err := os.WriteFile(path, text, 0o644); err != nil {
		b.Fatal(err)
	}
	return path
}

// reference is the piece whose speed is promised: 36 x 28 mm at the back, corner radius
// 4, 12 mm high, sides 8 degrees, ORCHARD 30 mm wide, raised 0.8 mm with 10 degrees.
var reference = piece.Choices{
	Name: "reference", Outline: "rounded rectangle", WidthMM: 36, DepthMM: 28, CornerMM: 4,
	HeightMM: 12, DraftDeg: 8, Top: "flat",
	Art: []artwork.Choices{{
		Text: "ORCHARD", Font: "sans bold", Align: "centre", Leading: 1.2, WidthMM: 30,
		Side: "raised", DepthMM: 0.8, Profile: "flat", DraftDeg: 10,
	}},
}

// fonts are opened once for all.
var fonts = artwork.NewFonts()

// sampledAndMeshed makes the reference piece: from the word to the mesh.
func sampledAndMeshed(b *testing.B, pitchMM float64) (*field.Field, *mesh.Sheet) {
	p, _, err := piece.Make(b.Context(), reference, piece.Inputs{Fonts: fonts}, nil, -1, pitchMM)
	if err != nil {
		b.Fatal(err)
	}
	foot := geom.Simplify(p.Footprint, mesh.ToleranceMM/5)
	s, err := mesh.ReliefEdge(b.Context(), p.Relief, foot, mesh.ToleranceMM, 0)
	if err != nil {
		b.Fatal(err)
	}
	return p.Relief, s
}
