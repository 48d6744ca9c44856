package artwork

import (
	"context"
	"encoding/binary"
	"math"
	"strings"
	"testing"

	"mouldwright/internal/base/mesh"
)

// FuzzTopView looks down on loose triangles: no fault, no height that is no number, and a
// mesh is called open or closed, not both. Coordinates come from bytes, so that corners
// meet; every third triangle is off by a rounding, so that there are seams.
func FuzzTopView(f *testing.F) {
	f.Add([]byte{0, 0, 0, 8, 0, 0, 0, 8, 0})
	f.Add([]byte("a tetrahedron has four sides, twelve corners in all"))
	f.Add(binary.LittleEndian.AppendUint64(make([]byte, 64), 0x7f80ff01))
	f.Fuzz(func(t *testing.T, data []byte) {
		m := &mesh.Mesh{}
		for n := 0; n+9 <= len(data) && len(m.T) < 200; n += 9 {
			for c := range 3 {
				var p [3]float32
				for a := range p {
					p[a] = float32(int8(data[n+3*c+a])) / 4
				}
				if n%27 == 0 {
					p[c] = math.Nextafter32(p[c], 1000)
				}
				m.V = append(m.V, p)
			}
			k := uint32(len(m.V))
			m.T = append(m.T, [3]uint32{k - 3, k - 2, k - 1})
		}
		top, err := TopView(context.Background(), "made up", OfMesh(m), View{PitchMM: 0.5})
		if err != nil {
			return
		}
		for _, z := range top.Height.Z {
			if math.IsNaN(float64(z)) || math.IsInf(float64(z), 0) {
				t.Fatalf("a height of %g", z)
			}
		}
		open := false
		for _, g := range top.Findings {
			open = open || strings.Contains(g.What, "the mesh is open")
		}
		if open == top.Closed {
			t.Fatalf("closed %v, findings %v", top.Closed, top.Findings)
		}
	})
}
