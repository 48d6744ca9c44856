package stl_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/formattest"
	"mouldwright/internal/base/format/ply"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/base/peer"
)

// CGAL (Debian's libcgal-dev 5.5.1, exact predicates) reads our binary STL and finds
// the same mesh: counts, closed, outward, nothing crossing, the volume.
func TestCGALReadsWhatWeWrite(t *testing.T) {
	bunny, err := ply.Read("bunny.ply", formattest.Data(t, "bunny.ply"), format.Usual())
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	put := func(name string, m *mesh.Mesh) string {
		file := filepath.Join(dir, name)
		if err := os.WriteFile(file, binaryOf(t, m), 0o600); err != nil {
			t.Fatal(err)
		}
		return file
	}
	says, content := peer.Built(t, "checkmesh", put("bunny.stl", bunny))
	// 194.28837 are the digits known of the bunny's volume.
	if !content || !strings.Contains(says, "vertices=1839 triangles=3674 manifold=yes closed=yes outward=yes degenerate=0 crossing=0 volume=194.288") {
		t.Errorf("CGAL says: %s", says)
	}
	// The judge itself: two boxes that cross, and a box without a lid.
	two := formattest.Box([3]float32{}, [3]float32{4, 4, 4})
	other := formattest.Box([3]float32{2, 2, 2}, [3]float32{6, 6, 6})
	for _, k := range other.T {
		two.T = append(two.T, [3]uint32{k[0] + 8, k[1] + 8, k[2] + 8})
	}
	two.V = append(two.V, other.V...)
	if says, content := peer.Built(t, "checkmesh", put("two.stl", two)); content || strings.Contains(says, "crossing=0") {
		t.Errorf("boxes that cross; CGAL says: %s", says)
	}
	lidless := formattest.Box([3]float32{}, [3]float32{4, 4, 4})
	lidless.T = lidless.T[1:]
	if says, content := peer.Built(t, "checkmesh", put("lidless.stl", lidless)); content || !strings.Contains(says, "closed=no") {
		t.Errorf("an open box; CGAL says: %s", says)
	}
}
