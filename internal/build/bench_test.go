package build

import (
	"fmt"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/mesh"
)

// BenchmarkReferencePiece samples the reference piece at 25 µm and meshes it to 10 µm. It
// begins with the word and ends with the mesh; the distances between mesh and relief are
// measured afterwards, both ways.
func BenchmarkReferencePiece(b *testing.B) {
	var sheet *mesh.Sheet
	var f *field.Field
	for b.Loop() {
		f, sheet = sampledAndMeshed(b, 0.025)
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
		b.Run(fmt.Sprint(n), func(b *testing.B) { buildWhole(b, plaques(b, n)) })
	}
}
