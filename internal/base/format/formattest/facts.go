// Package formattest measures meshes for the tests of the readers and writers, by
// itself and as plainly as possible: it is what they are checked against.
package formattest

import (
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/mesh"
)

// Facts are what can be counted and summed on a mesh.
type Facts struct {
	V, E, F int     // vertices used by triangles, edges, triangles
	Open    int     // edges not met exactly once in each direction
	Volume  float64 // mm³, signed, meaningless unless Open is 0
}

// Of counts and sums a mesh's facts.
func Of(m *mesh.Mesh) Facts {
	f := Facts{F: len(m.T)}
	used := map[uint32]bool{}
	edges := map[[2]uint32][2]int{} // low to high vertex; times met upwards, downwards
	for _, t := range m.T {
		for k := range 3 {
			a, b := t[k], t[(k+1)%3]
			used[a] = true
			up := 0
			if a > b {
				a, b, up = b, a, 1
			}
			n := edges[[2]uint32{a, b}]
			n[up]++
			edges[[2]uint32{a, b}] = n
		}
		var p [3][3]float64
		for k, v := range t {
			for c := range 3 {
				p[k][c] = float64(m.V[v][c])
			}
		}
		f.Volume += (p[0][0]*(p[1][1]*p[2][2]-p[2][1]*p[1][2]) +
			p[0][1]*(p[1][2]*p[2][0]-p[2][2]*p[1][0]) +
			p[0][2]*(p[1][0]*p[2][1]-p[2][0]*p[1][1])) / 6
	}
	f.V, f.E = len(used), len(edges)
	for _, n := range edges {
		if n != [2]int{1, 1} {
			f.Open++
		}
	}
	return f
}

// The facts of the two test meshes (testdata/SOURCES.md): counts and volume, in
// the files' own unit, were derived from the packages' own numbers by a separate program.
var (
	Bunny  = Facts{V: 1839, E: 5511, F: 3674, Volume: 194.28837}
	Teapot = Facts{V: 792, E: 1752, F: 992, Open: 528}
)

// Check compares a mesh with facts; a volume may differ by 1e-5 of itself, the digits
// that are known.
func Check(t testing.TB, m *mesh.Mesh, want Facts) {
	t.Helper()
	got := Of(m)
	if got.V != want.V || got.E != want.E || got.F != want.F || got.Open != want.Open {
		t.Errorf("got %+v, want %+v", got, want)
	}
	if want.Open == 0 && math.Abs(got.Volume-want.Volume) > 1e-5*math.Abs(want.Volume) {
		t.Errorf("volume %.8g, want %.8g", got.Volume, want.Volume)
	}
}

// Data is a file of this folder's testdata.
func Data(t testing.TB, name string) []byte {
	t.Helper()
	_, here, _, _ := runtime.Caller(0)
	data, err := os.ReadFile(filepath.Join(filepath.Dir(here), "..", "testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Box is a closed box from lo to hi with its outside outside: 8 vertices, 12 triangles.
func Box(lo, hi [3]float32) *mesh.Mesh {
	m := &mesh.Mesh{}
	for k := range 8 {
		p := lo
		for c := range 3 {
			if k>>c&1 == 1 {
				p[c] = hi[c]
			}
		}
		m.V = append(m.V, p)
	}
	for _, q := range [6][4]uint32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		m.T = append(m.T, [3]uint32{q[0], q[1], q[2]}, [3]uint32{q[0], q[2], q[3]})
	}
	return m
}

// Sphere is a closed sphere about the origin of about n triangles (n >= 64), its
// poles on the z axis.
func Sphere(radius float64, n int) *mesh.Mesh {
	rings := max(4, int(math.Sqrt(float64(n)/4)))
	around := max(8, n/(2*(rings-1)))
	m := &mesh.Mesh{V: [][3]float32{{0, 0, float32(-radius)}}}
	for r := 1; r < rings; r++ {
		sin, cos := math.Sincos(math.Pi * float64(r) / float64(rings))
		for k := range around {
			s, c := math.Sincos(2 * math.Pi * float64(k) / float64(around))
			m.V = append(m.V, [3]float32{float32(radius * sin * c), float32(radius * sin * s), float32(-radius * cos)})
		}
	}
	top := uint32(len(m.V))
	m.V = append(m.V, [3]float32{0, 0, float32(radius)})
	at := func(r, k int) uint32 { return uint32(1 + (r-1)*around + k%around) }
	for k := range around {
		m.T = append(m.T, [3]uint32{0, at(1, k+1), at(1, k)}, [3]uint32{top, at(rings-1, k), at(rings-1, k+1)})
	}
	for r := 1; r < rings-1; r++ {
		for k := range around {
			a, b, c, d := at(r, k), at(r, k+1), at(r+1, k+1), at(r+1, k)
			m.T = append(m.T, [3]uint32{a, b, c}, [3]uint32{a, c, d})
		}
	}
	return m
}

// Refused checks that err is an error that has each of the parts in its words.
func Refused(t testing.TB, err error, parts ...string) {
	t.Helper()
	if err == nil {
		t.Errorf("accepted, want a refusal with %q", parts)
		return
	}
	for _, part := range parts {
		if !strings.Contains(err.Error(), part) {
			t.Errorf("the refusal\n%s\ndoes not say %q", err, part)
		}
	}
}

// Sound checks what every reader promises of a mesh it hands out: triangles with
// three different vertices that exist, at finite places within bounds.
func Sound(t testing.TB, m *mesh.Mesh) {
	t.Helper()
	if len(m.T) == 0 {
		t.Fatal("a mesh without triangles")
	}
	for _, p := range m.V {
		if !format.Fits(p) {
			t.Fatalf("vertex %v", p)
		}
	}
	for _, k := range m.T {
		if n := uint32(len(m.V)); k[0] >= n || k[1] >= n || k[2] >= n || k[0] == k[1] || k[1] == k[2] || k[2] == k[0] {
			t.Fatalf("triangle %v of %d vertices", k, n)
		}
	}
}
