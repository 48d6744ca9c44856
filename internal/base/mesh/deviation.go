package mesh

import (
	"context"
	"math"
	"sync"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// Deviation is how far a sheet and a relief lie apart, in mm.
type Deviation struct {
	ToMeshMM   float64 // farthest sample of the relief inside the sheet, from the mesh
	ToReliefMM float64 // farthest place of the mesh, from the relief
}

// Deviate measures the true distances, square to the surfaces, from every sample to
// the sheet and from a dense net of places on the sheet (four in each cell of the
// grid) to the relief. Between samples the relief is a cell's two triangles, whichever
// diagonal comes nearer. A ring whose vertices were put off the relief (ReliefEdge) cuts
// the relief off: the cells it passes are not judged from the mesh's side.
func Deviate(ctx context.Context, s *Sheet, f *field.Field) (Deviation, error) {
	tree := newBoxTree(s.V, s.T)
	cut := cutCells(s.Rings, f)
	var d Deviation
	var mu sync.Mutex
	err := parallel(ctx, len(s.T), 64, func(lo, hi int) {
		mu.Lock()
		own := d
		mu.Unlock()
		for _, t := range s.T[lo:hi] {
			a, b, c := wide(s.V[t[0]]), wide(s.V[t[1]]), wide(s.V[t[2]])
			net(f.Grid, 1, a, b, c, func(i, j int, p [3]float64) {
				z := float64(f.At(i, j))
				if dz := math.Abs(z - p[2]); dz > own.ToMeshMM {
					own.ToMeshMM = max(own.ToMeshMM, tree.distance([3]float64{p[0], p[1], z}, dz))
				}
			})
			net(f.Grid, 2, a, b, c, func(_, _ int, p [3]float64) {
				if cut[[2]int{cell(p[0], f.X0, f.PitchMM, f.W), cell(p[1], f.Y0, f.PitchMM, f.H)}] {
					return
				}
				dz := math.Abs(between(f, geom.Vec{X: p[0], Y: p[1]}) - p[2])
				if dz > own.ToReliefMM {
					own.ToReliefMM = max(own.ToReliefMM, toRelief(f, p, dz, own.ToReliefMM))
				}
			})
		}
		mu.Lock()
		d.ToMeshMM, d.ToReliefMM = max(d.ToMeshMM, own.ToMeshMM), max(d.ToReliefMM, own.ToReliefMM)
		mu.Unlock()
	})
	return d, err
}

// net calls do for the places of triangle abc over a net n times as fine as the grid.
func net(g field.Grid, n int, a, b, c [3]float64, do func(i, j int, p [3]float64)) {
	step := g.PitchMM / float64(n)
	area := cross(sub(b, a), sub(c, a))[2]
	i0 := max(int(math.Ceil((min(a[0], b[0], c[0])-g.X0)/step)), 0)
	i1 := min(int(math.Floor((max(a[0], b[0], c[0])-g.X0)/step)), (g.W-1)*n)
	j0 := max(int(math.Ceil((min(a[1], b[1], c[1])-g.Y0)/step)), 0)
	j1 := min(int(math.Floor((max(a[1], b[1], c[1])-g.Y0)/step)), (g.H-1)*n)
	for j := j0; j <= j1; j++ {
		for i := i0; i <= i1; i++ {
			p := [3]float64{g.X0 + float64(i)*step, g.Y0 + float64(j)*step}
			s := ((p[0]-a[0])*(c[1]-a[1]) - (c[0]-a[0])*(p[1]-a[1])) / area
			t := ((b[0]-a[0])*(p[1]-a[1]) - (p[0]-a[0])*(b[1]-a[1])) / area
			if s < -1e-9 || t < -1e-9 || s+t > 1+1e-9 {
				continue
			}
			p[2] = a[2] + s*(b[2]-a[2]) + t*(c[2]-a[2])
			do(i, j, p)
		}
	}
}

// toRelief is the distance from p to the relief's surface if below limit, else limit.
// Below enough it may be anything that is no smaller than the distance: who only asks
// whether p is farther than that is told with a look at the nearest cells.
func toRelief(f *field.Field, p [3]float64, limit, enough float64) float64 {
	best := limit * limit
	enough *= enough
	ci, cj := cell(p[0], f.X0, f.PitchMM, f.W), cell(p[1], f.Y0, f.PitchMM, f.H)
	look := func(i, j int) {
		if i < 0 || j < 0 || i > f.W-2 || j > f.H-2 {
			return
		}
		at := func(i, j int) [3]float64 {
			q := f.XY(i, j)
			return [3]float64{q.X, q.Y, float64(f.At(i, j))}
		}
		a, b, c, d := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
		best = min(best, toTriangle(p, a, b, c), toTriangle(p, a, c, d), toTriangle(p, a, b, d), toTriangle(p, b, c, d))
	}
	for r := 0; float64(r-1)*f.PitchMM < math.Sqrt(best); r++ {
		for k := -r; k <= r && best > enough; k++ {
			look(ci+k, cj-r)
			if r > 0 {
				look(ci+k, cj+r)
			}
			if k > -r && k < r {
				look(ci-r, cj+k)
				look(ci+r, cj+k)
			}
		}
		if best <= enough {
			break
		}
	}
	return math.Sqrt(best)
}

// cell is the number of the grid cell that holds coordinate v.
func cell(v, origin, pitch float64, n int) int {
	return min(max(int(math.Floor((v-origin)/pitch)), 0), n-2)
}

// cutCells lists the cells passed by rings that do not lie on the relief.
func cutCells(rings []Ring3, f *field.Field) map[[2]int]bool {
	const off = 0.001 // mm; a ring that follows the relief has its very heights
	cut := map[[2]int]bool{}
	for _, r := range rings {
		on := true
		for _, v := range r {
			on = on && math.Abs(between(f, geom.Vec{X: float64(v[0]), Y: float64(v[1])})-float64(v[2])) <= off
		}
		for i := 0; i < len(r) && !on; i++ {
			a, b := wide(r[i]), wide(r[(i+1)%len(r)])
			n := int(math.Hypot(b[0]-a[0], b[1]-a[1])/f.PitchMM*8) + 1
			for k := 0; k <= n; k++ {
				t := float64(k) / float64(n)
				x, y := a[0]+t*(b[0]-a[0]), a[1]+t*(b[1]-a[1])
				cut[[2]int{cell(x, f.X0, f.PitchMM, f.W), cell(y, f.Y0, f.PitchMM, f.H)}] = true
			}
		}
	}
	return cut
}
