package master

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
)

// A hollow loose piece against the same piece solid: a closed mesh whose volume is what the
// part says, the same surface above the seat to the last vertex, less resin, walls no
// thinner than asked, by brute force, and a rim that is open nowhere above the pocket.
func TestHollowLoose(t *testing.T) {
	shapes := map[string]geom.Outline{"block": geom.RoundedRectangle(40, 32, 4), "small": geom.RoundedRectangle(26, 26, 4), "heart": geom.Heart(46, 42)}
	make := func(name string, hollow float64) (*Master, Part, *mesh.Mesh) {
		c := choices()
		c.Build, c.Frame, c.HollowMM, c.DrainMM, c.BaseMM, c.PegMM = "loose", "own boards", hollow, 2, 3, 3
		p := Print{PlateWidthMM: 200, PlateDepthMM: 120, PlateHeightMM: 100, ResinShrink: 0.005, FootMM: 0.1, FootHeightMM: 0.4, LayerMM: 0.05}
		m, found, err := Make(context.Background(), []Item{surface(t, frustum(t, name, shapes[name], 13, 8), c, 0, 1)}, c, p, "4T7QK2M", letters(t))
		if err != nil || m == nil {
			t.Fatal(found, err)
		}
		if len(found) > 0 {
			t.Errorf("%s: %v", name, found)
		}
		part := m.Parts[len(m.Parts)-1]
		if part.Kind != "piece" {
			t.Fatalf("%s: %s", name, part.Name)
		}
		for _, q := range m.Parts {
			out, err := q.Mesh(context.Background())
			if err != nil {
				t.Fatal(name, q.Name, err)
			}
			if err := out.Check().Err(); err != nil {
				t.Fatal(name, q.Name, err)
			}
			if v := out.Volume(); math.Abs(v/q.VolumeMM3-1) > 1e-5 {
				t.Errorf("%s, %s: mesh of %g mm3, part of %g mm3", name, q.Name, v, q.VolumeMM3)
			}
		}
		out, err := part.Mesh(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		return m, part, out
	}
	const wall = 2.0
	for name := range shapes {
		solid, was, a := make(name, 0)
		hollow, is, b := make(name, wall)
		saved := 1 - is.VolumeMM3/was.VolumeMM3
		t.Logf("%s: saves %.0f %% of %.1f ml", name, 100*saved, was.VolumeMM3/1000)
		if saved < leastGain || solid.Trays[0].HollowMM3 != 0 || hollow.Trays[0].HollowMM3 <= 0 {
			t.Errorf("%s: saves %.1f %%, says %g mm3", name, 100*saved, hollow.Trays[0].HollowMM3)
		}
		// The seats differ; what stands above them does not.
		g := 1 / (1 - 0.005)
		lift := math.Round(deepSeatMM*g/0.05)*0.05 - math.Round(seatMM*g/0.05)*0.05
		a.Move(0, 0, lift)
		high := func(list [][9]float32) (out [][3]float64) {
			for _, c := range list {
				for i := 0; i < 9; i += 3 {
					if c[i+2] > 2.5 {
						out = append(out, [3]float64{float64(c[i]), float64(c[i+1]), float64(c[i+2])})
					}
				}
			}
			return out
		}
		ta, tb := high(topOf(a)), high(topOf(b))
		if !slices.EqualFunc(ta, tb, func(p, q [3]float64) bool {
			return math.Abs(p[0]-q[0]) < 1e-4 && math.Abs(p[1]-q[1]) < 1e-4 && math.Abs(p[2]-q[2]) < 1e-4
		}) {
			t.Errorf("%s: the top changed", name)
		}
		near := math.Inf(1)
		var up [][3]uint32
		for _, tr := range b.T {
			if normal(b, tr)[2] > 0 {
				up = append(up, tr)
			}
		}
		faces := map[uint32]bool{}
		for _, tr := range b.T {
			if normal(b, tr)[2] < 0 {
				for _, k := range tr {
					faces[k] = true
				}
			}
		}
		for k := range faces {
			v := b.V[k]
			if v[2] < 4 { // beside the socket's roof
				continue
			}
			p := [3]float64{float64(v[0]), float64(v[1]), float64(v[2])}
			for _, tr := range up {
				if !farther(b, tr, p, near) {
					near = math.Min(near, toTriangle(b, tr, p))
				}
			}
		}
		// Between the rim and the socket of the small one there is no room to rise so far.
		if t.Logf("%s: thinnest wall %.2f mm", name, near); near < wall*1.005-0.05 || near > wall+1.5 && name != "small" {
			t.Errorf("%s: a wall of %.3f mm, asked %g mm", name, near, wall)
		}
	}
}

func TestHollowLooseSaysWhyNot(t *testing.T) {
	c := choices()
	c.Build, c.Frame, c.HollowMM, c.DrainMM, c.BaseMM, c.PegMM = "loose", "own boards", 2, 2, 3, 1
	p := Print{PlateWidthMM: 200, PlateDepthMM: 120, PlateHeightMM: 100, ResinShrink: 0.005, LayerMM: 0.05}
	m, found, err := Make(context.Background(), []Item{surface(t, frustum(t, "coin", geom.Ellipse(24, 24), 2.2, 8), c, 0, 1)}, c, p, "4T7QK2M", letters(t))
	if err != nil || m == nil {
		t.Fatal(found, err)
	}
	if len(found) != 1 || found[0].Severity != finding.Note || found[0].Where != "coin" || !strings.Contains(found[0].What, "stays solid") {
		t.Errorf("%v", found)
	}
	if m.Trays[0].HollowMM3 != 0 {
		t.Errorf("says %g mm3", m.Trays[0].HollowMM3)
	}
}
