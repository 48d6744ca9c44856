package plate

import (
	"math"
	"testing"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
	"pgregory.net/rapid"
)

// Vertices, edges and faces that lie in the middle of a layer, where a slice is least
// certain: an octahedron and a prism.
func TestSlicesThroughVertices(t *testing.T) {
	octahedron := mesh.FromTriangles(func() (soup [][3][3]float32) {
		c := [3]float32{8, 8, 4.5}
		corner := func(dx, dy, dz float32) [3]float32 { return [3]float32{c[0] + dx, c[1] + dy, c[2] + dz} }
		around := [][3]float32{corner(4, 0, 0), corner(0, 4, 0), corner(-4, 0, 0), corner(0, -4, 0)}
		for i, a := range around {
			b := around[(i+1)%4]
			soup = append(soup, [3][3]float32{a, b, corner(0, 0, 4)}, [3][3]float32{b, a, corner(0, 0, -4)})
		}
		return soup
	}())
	if err := octahedron.Check().Err(); err != nil {
		t.Fatal(err)
	}
	s := stack(t, mask(16, 16), place(octahedron))
	for k := range s.Layers {
		h := 4 - math.Abs(float64(k)-4) // the square's half diagonal, 4.5 being the middle
		if a, im := s.AreaMM2(k), lit(layer(t, s, k)); math.Abs(a-2*h*h) > 1e-9 || math.Abs(im-a) > 0.1 {
			t.Errorf("layer %d: area %g mm2, image %g, want %g", k, a, im, 2*h*h)
		}
	}
	// Faces at 0.5 and 2.5, both in the middle of a layer: the lower one counts as below
	// it, the upper one too, so that the height is right and no image is blank.
	m, err := mesh.Prism(at(geom.Rectangle(4, 4), 8, 8), 0.5, 2.5)
	if err != nil {
		t.Fatal(err)
	}
	s = stack(t, mask(16, 16), place(m))
	for k, want := range []float64{16, 16} {
		if a, im := s.AreaMM2(k), lit(layer(t, s, k)); a != want || im != want {
			t.Errorf("layer %d: area %g mm2, image %g, want %g", k, a, im, want)
		}
	}
}

// Hills of random heights in steps of half a layer, so that many vertices, edges and
// faces lie in the very middle of one: no slice is open, images agree with slices, and
// a layer holds no more than the one below it.
func TestSlicesOfHills(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 7).Draw(t, "n")
		high := make([]float32, n*n)
		for i := range high {
			high[i] = 0.5 + float32(rapid.IntRange(0, 6).Draw(t, "height"))/2
		}
		m := hills(n, high)
		if err := m.Check().Err(); err != nil {
			t.Fatal(err)
		}
		s := stack(t, mask(12, 12), place(m, geom.Turn(rapid.Float64Range(0, 90).Draw(t, "turn")).Then(geom.Move(6, 2))))
		below := math.Inf(1)
		for k := range s.Layers {
			a, im := s.AreaMM2(k), lit(layer(t, s, k))
			// 144 pixels, each rounded by 1/510 at the most.
			if math.Abs(im-a) > 144.0/510 || a > below+1e-9 {
				t.Fatalf("layer %d: image %g, slice %g, layer below %g mm2", k, im, a, below)
			}
			below = a
		}
	})
}

// hills is a closed mesh over n x n places 0.5 mm apart, its underside at z = 0.
func hills(n int, high []float32) *mesh.Mesh {
	at := func(i, j int, top bool) [3]float32 {
		v := [3]float32{float32(i) / 2, float32(j) / 2, 0}
		if top {
			v[2] = high[j*n+i]
		}
		return v
	}
	var soup [][3][3]float32
	quad := func(a, b, c, d [3]float32) {
		soup = append(soup, [3][3]float32{a, b, c}, [3][3]float32{a, c, d})
	}
	wall := func(i0, j0, i1, j1 int) {
		quad(at(i0, j0, false), at(i1, j1, false), at(i1, j1, true), at(i0, j0, true))
	}
	for k := range n - 1 {
		wall(k, 0, k+1, 0)
		wall(n-1, k, n-1, k+1)
		wall(k+1, n-1, k, n-1)
		wall(0, k+1, 0, k)
		for i := range n - 1 {
			quad(at(i, k, true), at(i+1, k, true), at(i+1, k+1, true), at(i, k+1, true))
			quad(at(i, k, false), at(i, k+1, false), at(i+1, k+1, false), at(i+1, k, false))
		}
	}
	return mesh.FromTriangles(soup)
}
