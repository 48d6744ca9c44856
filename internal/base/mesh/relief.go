package mesh

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// ToleranceMM is the usual bound of Relief (our choice: 10 µm, half the finest pixel of a
// printer).
const ToleranceMM = 0.010

// Relief triangulates the heights of f (mm) inside the settled outline o, which must
// lie on f's grid. Mesh and relief lie within tolMM (> 0) of each other, measured
// square to the surface, both ways. Every point of o is a vertex; edges of o get
// further vertices where the heights along them ask for it. (Where heights jump at
// random from sample to sample, as white noise does, the bound was seen to be passed by
// 7 %, and by more within one sample of the outline: vertices inside lie on samples.)
//
// The method is greedy insertion into a constrained Delaunay triangulation (Garland
// and Heckbert 1995, "Fast polygonal approximation of terrains and height fields"),
// with the vertical error weighted by the cosine of the relief's slope: a steep wall
// needs no more triangles than a flat floor.
func Relief(ctx context.Context, f *field.Field, o geom.Outline, tolMM float64) (*Sheet, error) {
	r, err := newRefiner(ctx, f, tolMM)
	if err != nil {
		return nil, err
	}
	rings := make([][]site, len(o))
	for i, ring := range o {
		for j, p := range ring {
			rings[i] = append(rings[i], site{p, float32(between(f, p))})
			rings[i] = r.edge(rings[i], p, ring[(j+1)%len(ring)])
		}
	}
	return r.sheet(ctx, rings)
}

// ReliefEdge is Relief with every ring vertex at the height edgeZ and no ring vertices
// but the points of o, so that the sheet fits a Plane with the same rings. The bound
// holds where f is edgeZ along the outline.
func ReliefEdge(ctx context.Context, f *field.Field, o geom.Outline, tolMM float64, edgeZ float32) (*Sheet, error) {
	return reliefEdge(ctx, f, o, tolMM, edgeZ, false)
}

// SketchEdge is ReliefEdge for looking at: samples lie within the tolerance, but
// nothing is promised between them. It takes a tenth of the time on a bumpy relief.
func SketchEdge(ctx context.Context, f *field.Field, o geom.Outline, tolMM float64, edgeZ float32) (*Sheet, error) {
	return reliefEdge(ctx, f, o, tolMM, edgeZ, true)
}

func reliefEdge(ctx context.Context, f *field.Field, o geom.Outline, tolMM float64, edgeZ float32, sketch bool) (*Sheet, error) {
	r, err := newRefiner(ctx, f, tolMM)
	if err != nil {
		return nil, err
	}
	r.sketch = sketch
	rings := make([][]site, len(o))
	for i, ring := range o {
		for _, p := range ring {
			rings[i] = append(rings[i], site{p, edgeZ})
		}
	}
	return r.sheet(ctx, rings)
}

// site is a ring vertex before it is snapped.
type site struct {
	at geom.Vec
	z  float32
}

// refiner holds a relief while it is being triangulated.
type refiner struct {
	field   *field.Field
	tol     float32   // of the weighted vertical errors
	limit   float32   // of true distances
	weight  []float32 // per sample: cosine of the slope, negative where no vertex can be put (any more)
	col     []int32   // plan coordinate of each column, row
	row     []int32
	between bool // look between samples as well
	sketch  bool // never do
	g       *triangulation
	v       []vertex
	worst   []candidate // per triangle
	mark    []int32     // per triangle: the round that changed it last
}

// vertex is a mesh vertex in samples: u along the row, v along the column.
type vertex struct {
	u, v float64
	z    float32
}

// candidate is a triangle's sample with the largest error above the tolerance;
// err is 0 when there is none.
type candidate struct {
	err float32
	i   int32
	j   int32
}

func newRefiner(ctx context.Context, f *field.Field, tolMM float64) (*refiner, error) {
	switch {
	case !(tolMM >= 0.0005 && tolMM <= 10):
		return nil, &finding.Error{Key: "tolerance", Found: fmt.Sprintf("%g mm", tolMM), Allowed: "0.0005 to 10 mm"}
	case f.W < 2 || f.H < 2 || f.W*f.H > field.MaxSamples || len(f.Z) != f.W*f.H:
		return nil, &finding.Error{Found: fmt.Sprintf("a height field of %d x %d samples with %d values", f.W, f.H, len(f.Z)),
			Allowed: fmt.Sprintf("at least 2 x 2, at most %d samples", field.MaxSamples)}
	case !(f.PitchMM >= 0.001 && f.PitchMM <= 100):
		return nil, &finding.Error{Key: "pitch", Found: fmt.Sprintf("%g mm", f.PitchMM), Allowed: "0.001 to 100 mm"}
	}
	b := f.Bounds()
	for _, p := range [2]geom.Vec{b.Min, b.Max} {
		if _, err := gridPoint(p.X, p.Y); err != nil {
			return nil, err
		}
	}
	// Snapping moves a vertex by up to 0.09 µm; the cosines, taken at one place for a
	// short way around it, were seen to be off by half a per cent at the crest of a
	// wall. Both are taken off the tolerance.
	r := &refiner{field: f, tol: float32(0.99*tolMM - 0.0001), limit: float32(tolMM - 0.0001)}
	r.col, r.row = make([]int32, f.W), make([]int32, f.H)
	for i := range r.col {
		r.col[i] = snap(f.X0 + float64(i)*f.PitchMM)
	}
	for j := range r.row {
		r.row[j] = snap(f.Y0 + float64(j)*f.PitchMM)
	}
	if i, ok := r.weigh(ctx); !ok {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		p := f.XY(i%f.W, i/f.W)
		return nil, &finding.Error{Found: fmt.Sprintf("height %g at (%.3f, %.3f) mm", f.Z[i], p.X, p.Y), Allowed: "finite heights"}
	}
	return r, nil
}

// edge appends the vertices that the heights along the ring edge from p to q need,
// without p and q themselves.
func (r *refiner) edge(out []site, p, q geom.Vec) []site {
	f := r.field
	length := math.Hypot(q.X-p.X, q.Y-p.Y)
	n := int(math.Ceil(length / f.PitchMM * 2))
	if n < 2 {
		return out
	}
	step := length / float64(n)
	at := func(k int) geom.Vec {
		t := float64(k) / float64(n)
		return geom.Vec{X: p.X + t*(q.X-p.X), Y: p.Y + t*(q.Y-p.Y)}
	}
	z := make([]float64, n+1)
	for k := range z {
		z[k] = between(f, at(k))
	}
	var cut func(a, b int)
	cut = func(a, b int) {
		worst, best := float64(r.tol), -1
		rise := (z[b] - z[a]) / (float64(b-a) * step)
		flat := 1 / math.Sqrt(1+rise*rise)
		for k := a + 1; k < b; k++ {
			line := z[a] + (z[b]-z[a])*float64(k-a)/float64(b-a)
			if d := math.Abs(z[k] - line); d > worst {
				if d *= max(r.weightAt(at(k)), flat); d > worst {
					worst, best = d, k
				}
			}
		}
		if best >= 0 {
			cut(a, best)
			out = append(out, site{at(best), float32(z[best])})
			cut(best, b)
		}
	}
	cut(0, n)
	return out
}

// weightAt is the weight of the sample next to p.
func (r *refiner) weightAt(p geom.Vec) float64 {
	f := r.field
	i := min(max(int((p.X-f.X0)/f.PitchMM+0.5), 0), f.W-1)
	j := min(max(int((p.Y-f.Y0)/f.PitchMM+0.5), 0), f.H-1)
	return float64(r.weight[j*f.W+i])
}

// sheet triangulates the region inside the rings and refines it.
func (r *refiner) sheet(ctx context.Context, rings [][]site) (*Sheet, error) {
	f := r.field
	index := make([][]int32, len(rings))
	out := &Sheet{Rings: make([]Ring3, len(rings))}
	var at []point
	b := f.Bounds().Grow(1e-6)
	first := map[point]int32{}
	for i, ring := range rings {
		for _, s := range ring {
			if !(s.at.X >= b.Min.X && s.at.X <= b.Max.X && s.at.Y >= b.Min.Y && s.at.Y <= b.Max.Y) {
				return nil, &finding.Error{Found: fmt.Sprintf("the outline leaves the height field at (%.3f, %.3f) mm", s.at.X, s.at.Y),
					Allowed: fmt.Sprintf("x %.3f to %.3f, y %.3f to %.3f mm", b.Min.X, b.Max.X, b.Min.Y, b.Max.Y), Do: "sample a larger field"}
			}
			p := point{snap(s.at.X), snap(s.at.Y)}
			k, ok := first[p]
			if !ok {
				k = int32(len(at))
				first[p] = k
				at = append(at, p)
				r.v = append(r.v, vertex{(s.at.X - f.X0) / f.PitchMM, (s.at.Y - f.Y0) / f.PitchMM, s.z})
			}
			if n := len(index[i]); n > 0 && index[i][n-1] == k {
				continue
			}
			index[i] = append(index[i], k)
		}
		if n := len(index[i]); n > 1 && index[i][0] == index[i][n-1] {
			index[i] = index[i][:n-1]
		}
		if len(index[i]) < 3 {
			return nil, thinRing(i, len(index[i]))
		}
	}
	if len(at) == 0 {
		return nil, &finding.Error{Found: "an outline without rings", Allowed: "at least one ring of three points"}
	}
	var err error
	if r.g, err = constrained(ctx, at, index); err != nil {
		return nil, err
	}
	if err := r.refine(ctx); err != nil {
		return nil, err
	}
	out.V = make([][3]float32, len(r.v))
	for i, v := range r.v {
		p := r.g.at[i].mm()
		out.V[i] = [3]float32{p[0], p[1], v.z}
	}
	out.T = triangles(r.g)
	for i, ring := range index {
		out.Rings[i] = make(Ring3, len(ring))
		for j, k := range ring {
			out.Rings[i][j] = out.V[k]
		}
	}
	return out, nil
}

func thinRing(i, n int) error {
	return &finding.Error{Found: fmt.Sprintf("ring %d has %d different points", i+1, n), Allowed: "at least 3, more than 0.0002 mm apart"}
}

func triangles(g *triangulation) [][3]uint32 {
	t := make([][3]uint32, len(g.corner)/3)
	for k := range t {
		t[k] = [3]uint32{uint32(g.corner[3*k]), uint32(g.corner[3*k+1]), uint32(g.corner[3*k+2])}
	}
	return t
}
