package artwork

import (
	"bytes"
	"runtime"
	"testing"

	"mouldwright/internal/base/format/formattest"
	"mouldwright/internal/base/format/stl"
)

// Five million triangles as a binary STL in memory, to a relief of 36 mm at 25 µm
// (1440 x 1440 samples). The file's bytes are given, the rest is measured: opening,
// looking for what is wrong, placing, drawing, undercut. "more" is the memory taken
// beside the file, as a part of the file.
func BenchmarkSTLToRelief5M(b *testing.B) {
	m := formattest.Sphere(18, 5_010_000)
	var file bytes.Buffer
	if err := stl.Write(&file, m, ""); err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(len(m.T)), "triangles")
	m = nil
	data := file.Bytes()
	runtime.GC()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	b.ResetTimer()
	n := 0
	for b.Loop() {
		tri, err := OpenMesh("ball.stl", data)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := TopView(b.Context(), "ball.stl", tri, View{WidthMM: 36, PitchMM: 0.025}); err != nil {
			b.Fatal(err)
		}
		n++
	}
	runtime.ReadMemStats(&after)
	b.ReportMetric(float64(after.TotalAlloc-before.TotalAlloc)/float64(n)/float64(len(data)), "more")
}

func BenchmarkTopViewOfBunny(b *testing.B) {
	bunny, err := ReadMesh("bunny.ply", formattest.Data(b, "bunny.ply"))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		top(b, OfMesh(bunny), View{Up: "y", WidthMM: 30, PitchMM: 0.025})
	}
}
