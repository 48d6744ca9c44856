package build

import (
	"math"
	"testing"
)

// Every plate's layers, summed, give the volume of its parts within 0.1 %, of tiles and
// of loose pieces. The parts' volumes are exact sums over their meshes; that the images
// have the areas of their slices is plate's own test. The plan's proof holds: the plates
// take no less than the bound and no more than every part alone.
func TestPlatesGiveTheirVolume(t *testing.T) {
	for name, more := range map[string]string{"tiles": "", "loose": "build = \"loose\"\n"} {
		_, in, r := built(t, orchard(t, guests, small[0], small[1], small[2], master(more)))
		worst := 0.0
		for i, pl := range r.Plates.Plates {
			want, got := 0.0, 0.0
			for _, it := range pl.Items {
				want += r.Master.Parts[it.Part].VolumeMM3
			}
			q := r.Plan.Plates[i]
			most := 0.0
			for _, a := range q.ExposedAreaMM2 {
				got += a * in.Choices.Printer.LayerMM
				most = math.Max(most, a)
			}
			off := got/want - 1
			if math.Abs(off) > math.Abs(worst) {
				worst = off
			}
			if math.Abs(off) > 1e-3 || most != q.ExposedAreaMaxMM2 || len(q.ExposedAreaMM2) != q.Layers || q.ExposedAreaMM2[q.Layers-1] == 0 {
				t.Errorf("%s, plate %d: layers of %.1f mm3, parts of %.1f mm3 (%+.3f %%); %d layers, %d areas, the last %g mm2", name, i+1, got, want, 100*off, q.Layers, len(q.ExposedAreaMM2), q.ExposedAreaMM2[q.Layers-1])
			}
		}
		p := r.Plan.PlanPrinting
		t.Logf("%s: %d plates, worst %+.4f %%; %.0f min, bound %.0f, apart %.0f", name, len(r.Plates.Plates), 100*worst, p.PlateTimeMin.Likely, p.PlateTimeBoundMin.Likely, p.PlateTimeApartMin.Likely)
		if !(p.PlateTimeBoundMin.Likely <= p.PlateTimeMin.Likely && p.PlateTimeMin.Likely <= p.PlateTimeApartMin.Likely) {
			t.Errorf("%s: %+v", name, p)
		}
	}
}
