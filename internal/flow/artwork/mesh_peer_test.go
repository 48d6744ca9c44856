package artwork

import (
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"mouldwright/internal/base/format/formattest"
	"mouldwright/internal/base/format/stl"
	"mouldwright/internal/base/peer"
)

// How far the heights of TopView and of Mesa may lie apart in µm, four times what was
// measured. Mesa places corners in float32: at 1443 samples of 25 µm that is 2 nm, and heights
// differ by that times the slope. 99.9 % of a ball's samples are less steep than 32 to 1, which
// makes 0.07 µm. The samples left are the rim, where the ball falls off upright; there Mesa's
// rounding of outlines to 1/256 of a sample (0.05 µm to either side) decides who has a sample.
const (
	apartMostUM    = 0.2  // of all but the steepest
	apartRimUM     = 4    // of all
	apartOutlineUM = 0.2  // a sample that only one has lies so near the true outline
	steepest       = 1e-3 // share of the samples that are the steepest
)

// BenchmarkSTLFileToRelief5M reads the ball of BenchmarkSTLToRelief5M from a file and makes
// the same relief; assimp and Mesa read and draw it too, timed inside their own process
// ("s-of-peer", of which "s-of-peer-reading"). Both give the same heights: "µm-apart" is the
// difference that all but the steepest thousandth of the samples keep to, "µm-apart-at-rim"
// the largest of all. The peer does not look for holes and undercuts, as we do.
func BenchmarkSTLFileToRelief5M(b *testing.B) {
	dir := b.TempDir()
	in, out := filepath.Join(dir, "ball.stl"), filepath.Join(dir, "heights")
	f, err := os.Create(in)
	if err != nil {
		b.Fatal(err)
	}
	if err := stl.Write(f, formattest.Sphere(18, 5_010_000), ""); err != nil {
		b.Fatal(err)
	}
	if err := f.Close(); err != nil {
		b.Fatal(err)
	}
	const width, pitch = 36, 0.025
	var top *Top
	b.ResetTimer()
	for b.Loop() {
		data, err := os.ReadFile(in)
		if err != nil {
			b.Fatal(err)
		}
		tri, err := OpenMesh("ball.stl", data)
		if err != nil {
			b.Fatal(err)
		}
		if top, err = TopView(b.Context(), "ball.stl", tri, View{WidthMM: width, PitchMM: pitch}); err != nil {
			b.Fatal(err)
		}
	}
	b.StopTimer()
	g := top.Height.Grid
	says, content := peer.Built(b, "meshtop", in, fmt.Sprint(width), fmt.Sprint(g.W), fmt.Sprint(g.H), fmt.Sprint(g.X0), fmt.Sprint(g.Y0), fmt.Sprint(pitch), out)
	if !content {
		b.Fatal(says)
	}
	var n int
	var reading, all float64
	if _, err := fmt.Sscanf(says, "triangles=%d reading=%g seconds=%g", &n, &reading, &all); err != nil || n != top.Triangles {
		b.Fatal(says)
	}
	b.ReportMetric(all, "s-of-peer")
	b.ReportMetric(reading, "s-of-peer-reading")
	most, rim := apart(b, top, out)
	b.ReportMetric(most, "µm-apart")
	b.ReportMetric(rim, "µm-apart-at-rim")
}

// apart compares the top with the heights that a peer wrote: the difference in µm that all
// but the steepest thousandth keep to, and the largest.
func apart(b *testing.B, top *Top, file string) (most, rim float64) {
	b.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		b.Fatal(err)
	}
	g := top.Height.Grid
	if len(text) != 4*g.W*g.H {
		b.Fatalf("%d bytes for %d x %d samples", len(text), g.W, g.H)
	}
	var apart []float64
	for i, inside := range top.Inside {
		theirs := float64(math.Float32frombits(binary.LittleEndian.Uint32(text[4*i:])))
		if inside && theirs >= 0 {
			apart = append(apart, 1000*math.Abs(theirs-float64(top.Height.Z[i])))
		} else if inside || theirs >= 0 {
			x, y := g.X0+float64(i%g.W)*g.PitchMM, g.Y0+float64(i/g.W)*g.PitchMM
			if d := 1000 * math.Abs(math.Hypot(x, y)-top.WidthMM/2); d > apartOutlineUM {
				b.Fatalf("only one has something at %g, %g mm, %.3g µm from the outline", x, y, d)
			}
		}
	}
	slices.Sort(apart)
	most, rim = apart[int(float64(len(apart))*(1-steepest))], apart[len(apart)-1]
	if most > apartMostUM || rim > apartRimUM {
		b.Fatalf("all but %g of the samples lie up to %.3g µm apart, the rim %.3g; not %g, %g", steepest, most, rim, apartMostUM, float64(apartRimUM))
	}
	return most, rim
}
