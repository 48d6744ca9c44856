package master

import (
	"context"
	"math"
	"slices"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
)

// A hollow tile against the same tile solid: a closed mesh whose volume is what the part
// says, the same top to the last vertex, less resin, and no place of the underside nearer
// to the top than the wall, by brute force between vertices and triangles.
func TestHollowTile(t *testing.T) {
	items := func(c Choices) []Item {
		return []Item{surface(t, frustum(t, "block", geom.RoundedRectangle(40, 32, 4), 13, 8), c, 0, 2)}
	}
	make := func(hollow float64) (*Master, *mesh.Mesh) {
		c := choices()
		c.Frame, c.HollowMM, c.DrainMM, c.BaseMM = "own boards", hollow, 2, 3
		p := Print{PlateWidthMM: 200, PlateDepthMM: 120, PlateHeightMM: 100, ResinShrink: 0.005, FootMM: 0.1, FootHeightMM: 0.4, LayerMM: 0.05}
		m, found, err := Make(context.Background(), items(c), c, p, "4T7QK2M", letters(t))
		if err != nil || m == nil {
			t.Fatal(found, err)
		}
		if len(m.Parts) != 1 {
			t.Fatalf("%d parts", len(m.Parts))
		}
		out, err := m.Parts[0].Mesh(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if err := out.Check().Err(); err != nil {
			t.Fatal(err)
		}
		if v := out.Volume(); math.Abs(v/m.Parts[0].VolumeMM3-1) > 1e-6 {
			t.Errorf("mesh of %g mm3, part of %g mm3", v, m.Parts[0].VolumeMM3)
		}
		return m, out
	}
	const wall = 2.5
	solid, a := make(0)
	hollow, b := make(wall)
	saved := 1 - hollow.Parts[0].VolumeMM3/solid.Parts[0].VolumeMM3
	t.Logf("saves %.0f %% of %.1f ml", 100*saved, solid.Parts[0].VolumeMM3/1000)
	if saved < 0.1 {
		t.Errorf("saves %.1f %%", 100*saved)
	}
	grow3 := math.Pow(1/(1-0.005), 3)
	if d := solid.Parts[0].VolumeMM3 - hollow.Parts[0].VolumeMM3; math.Abs(hollow.Trays[0].HollowMM3*grow3-d) > 1e-6*d || solid.Trays[0].HollowMM3 != 0 {
		t.Errorf("says %g mm3, is %g mm3", hollow.Trays[0].HollowMM3*grow3, d)
	}
	if ta, tb := topOf(a), topOf(b); !slices.Equal(ta, tb) {
		t.Error("the top changed")
	}
	// Places of the underside that lie under a piece, against every triangle that faces up.
	near := math.Inf(1)
	known := map[[3]float32]bool{}
	for _, v := range a.V {
		known[v] = true
	}
	var up [][3]uint32
	for _, tr := range a.T {
		if normal(a, tr)[2] > 0 {
			up = append(up, tr)
		}
	}
	for _, v := range b.V {
		if v[2] < 3.1 || known[v] {
			continue
		}
		p := [3]float64{float64(v[0]), float64(v[1]), float64(v[2])}
		for _, tr := range up {
			if farther(a, tr, p, near) {
				continue
			}
			near = math.Min(near, toTriangle(a, tr, p))
		}
	}
	// The vaults are meshed to 0.02 mm and lie on samples 0.25 mm apart.
	if t.Logf("thinnest wall %.2f mm", near); near < wall*1.005-0.05 || near > wall+1 {
		t.Errorf("a wall of %.3f mm, asked %g mm", near, wall)
	}
}

// topOf lists the triangles that face up, by their corners.
func topOf(m *mesh.Mesh) [][9]float32 {
	var out [][9]float32
	for _, t := range m.T {
		if n := normal(m, t); n[2] > 0 {
			var c [9]float32
			for i, k := range t {
				copy(c[3*i:], m.V[k][:])
			}
			out = append(out, c)
		}
	}
	slices.SortFunc(out, func(a, b [9]float32) int { return slices.Compare(a[:], b[:]) })
	return out
}

func normal(m *mesh.Mesh, t [3]uint32) [3]float64 {
	var u, v [3]float64
	for i := range 3 {
		u[i] = float64(m.V[t[1]][i]) - float64(m.V[t[0]][i])
		v[i] = float64(m.V[t[2]][i]) - float64(m.V[t[0]][i])
	}
	return [3]float64{u[1]*v[2] - u[2]*v[1], u[2]*v[0] - u[0]*v[2], u[0]*v[1] - u[1]*v[0]}
}

// farther tells whether a triangle's box lies farther away than d.
func farther(m *mesh.Mesh, t [3]uint32, p [3]float64, d float64) bool {
	sum := 0.0
	for c := range 3 {
		lo := float64(min(m.V[t[0]][c], m.V[t[1]][c], m.V[t[2]][c]))
		hi := float64(max(m.V[t[0]][c], m.V[t[1]][c], m.V[t[2]][c]))
		off := math.Max(0, math.Max(lo-p[c], p[c]-hi))
		sum += off * off
	}
	return sum > d*d
}

// toTriangle is the distance to a triangle, by dense points on it: never too small, and
// too large by less than its tenth part.
func toTriangle(m *mesh.Mesh, t [3]uint32, p [3]float64) float64 {
	best := math.Inf(1)
	const n = 8
	for i := range n + 1 {
		for j := range n + 1 - i {
			k := n - i - j
			d := 0.0
			for c := range 3 {
				q := (float64(i)*float64(m.V[t[0]][c]) + float64(j)*float64(m.V[t[1]][c]) + float64(k)*float64(m.V[t[2]][c])) / n
				d += (q - p[c]) * (q - p[c])
			}
			best = math.Min(best, d)
		}
	}
	return math.Sqrt(best)
}

func TestHollowRefuses(t *testing.T) {
	c := choices()
	c.HollowMM, c.DrainMM, c.BaseMM = 0.8, 2, 1.6
	found := check(nil, c)
	if finding.Worst(found) != finding.Stop || len(found) < 2 || found[0].Where != "master.hollow_mm" || found[1].Where != "master.base_mm" {
		t.Errorf("%v", found)
	}
}
