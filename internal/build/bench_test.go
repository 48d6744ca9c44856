package build

import (
	"fmt"
	"path/filepath"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/piece"
)

// BenchmarkReferencePiece samples and meshes the piece whose speed is promised: 36 x
// 28 mm at the back, corner radius 4, 12 mm high, sides 8 degrees, ORCHARD 30 mm wide,
// raised 0.8 mm with 10 degrees; 25 µm samples, a mesh to 10 µm. It begins with the
// word and ends with the mesh; the distances between mesh and relief are measured
// afterwards, both ways.
func BenchmarkReferencePiece(b *testing.B) {
	c := piece.Choices{
		Name: "reference", Outline: "rounded rectangle", WidthMM: 36, DepthMM: 28, CornerMM: 4,
		HeightMM: 12, DraftDeg: 8, Top: "flat",
		Art: []artwork.Choices{{
			Text: "ORCHARD", Font: "sans bold", Align: "centre", Leading: 1.2, WidthMM: 30,
			Side: "raised", DepthMM: 0.8, Profile: "flat", DraftDeg: 10,
		}},
	}
	in := piece.Inputs{Fonts: artwork.NewFonts()}
	var sheet *mesh.Sheet
	var f *field.Field
	for b.Loop() {
		p, _, err := piece.Make(b.Context(), c, in, nil, -1, 0.025)
		if err != nil {
			b.Fatal(err)
		}
		f = p.Relief
		foot := geom.Simplify(p.Footprint, mesh.ToleranceMM/5)
		if sheet, err = mesh.ReliefEdge(b.Context(), f, foot, mesh.ToleranceMM, 0); err != nil {
			b.Fatal(err)
		}
	}
	d, err := mesh.Deviate(b.Context(), sheet, f)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(len(sheet.T)), "triangles")
	b.ReportMetric(1000*d.ToMeshMM, "µm-to-mesh")
	b.ReportMetric(1000*d.ToReliefMM, "µm-to-relief")
}

// BenchmarkNames builds jobs of 20 and of 200 different names with the program itself,
// everything included: plates, sheets, pictures.
func BenchmarkNames(b *testing.B) {
	for _, n := range []int{20, 200} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			path := plaques(b, n)
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
		})
	}
}
