package mesh

import (
	"context"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// parallel calls do with pieces [lo, hi) of 0..n on all processors, chunk by chunk.
// What do writes must depend on its piece alone.
func parallel(ctx context.Context, n, chunk int, do func(lo, hi int)) error {
	workers := min(runtime.GOMAXPROCS(0), (n+chunk-1)/chunk)
	if workers <= 1 {
		for lo := 0; lo < n && ctx.Err() == nil; lo += chunk {
			do(lo, min(lo+chunk, n))
		}
		return ctx.Err()
	}
	var at atomic.Int64
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for ctx.Err() == nil {
				lo := int(at.Add(int64(chunk))) - chunk
				if lo >= n {
					return
				}
				do(lo, min(lo+chunk, n))
			}
		})
	}
	wg.Wait()
	return ctx.Err()
}

// weigh fills in the weights: the cosine of the slope at each sample, by the smaller of
// the differences to either side, so that a sample at the foot or crest of a wall
// counts as part of the flat. It gives the first sample that is not finite, if there is one.
func (r *refiner) weigh(ctx context.Context) (bad int, ok bool) {
	f := r.field
	r.weight = make([]float32, len(f.Z))
	wrong := make([]int, f.H)
	perMM := float32(1 / f.PitchMM)
	err := parallel(ctx, f.H, 16, func(lo, hi int) {
		for j := lo; j < hi; j++ {
			wrong[j] = weighRow(f, j, perMM, r.weight[j*f.W:(j+1)*f.W])
		}
	})
	for j, i := range wrong {
		if i >= 0 {
			return j*f.W + i, false
		}
	}
	return 0, err == nil
}

func weighRow(f *field.Field, j int, perMM float32, out []float32) (bad int) {
	mid := f.Row(j)
	down, up := f.Row(max(j-1, 0)), f.Row(min(j+1, f.H-1))
	bad = -1
	last := len(mid) - 1
	for i, z := range mid {
		if z-z != 0 { // NaN and infinities
			return i
		}
		gx := min(abs32(mid[min(i+1, last)]-z), abs32(z-mid[max(i-1, 0)])) * perMM
		gy := min(abs32(up[i]-z), abs32(z-down[i])) * perMM
		out[i] = 1 / float32(math.Sqrt(float64(1+gx*gx+gy*gy)))
	}
	return bad
}

// scan finds the candidate of every triangle in the list.
func (r *refiner) scan(ctx context.Context, list []int32) error {
	return parallel(ctx, len(list), 16, func(lo, hi int) {
		for _, k := range list[lo:hi] {
			r.worst[k] = candidate{}
			s, ok := r.slant(k)
			if !ok {
				continue
			}
			best := candidate{err: r.tol}
			r.scanSamples(&s, r.stride(&s), &best)
			if best.err == r.tol && r.between {
				r.scanBetween(k, &s, &best)
			}
			if best.err > r.tol {
				r.worst[k] = best
			}
		}
	})
}

// slant is a triangle of the mesh as the scan sees it: in samples, the plane as a
// height and two slopes a sample, the sides as functions of the row.
type slant struct {
	a, b, c    vertex // from the lowest row to the highest
	gu, gv     float64
	ab, bc, ac float64 // columns a row along the sides
	cos        float32 // of the slope
	left       bool    // b lies left of the side a-c
}

// slant gives false for a triangle that holds no sample because it has no width.
func (r *refiner) slant(k int32) (s slant, ok bool) {
	a, b, c := r.v[r.g.corner[3*k]], r.v[r.g.corner[3*k+1]], r.v[r.g.corner[3*k+2]]
	if a.v > b.v {
		a, b = b, a
	}
	if b.v > c.v {
		b, c = c, b
	}
	if a.v > b.v {
		a, b = b, a
	}
	det := (b.u-a.u)*(c.v-a.v) - (c.u-a.u)*(b.v-a.v)
	if det == 0 {
		return s, false
	}
	s = slant{a: a, b: b, c: c, left: det < 0}
	zb, zc := float64(b.z)-float64(a.z), float64(c.z)-float64(a.z)
	s.gu = (zb*(c.v-a.v) - zc*(b.v-a.v)) / det
	s.gv = (zc*(b.u-a.u) - zb*(c.u-a.u)) / det
	x, y := s.gu/r.field.PitchMM, s.gv/r.field.PitchMM
	s.cos = float32(1 / math.Sqrt(1+x*x+y*y))
	s.ac = (c.u - a.u) / (c.v - a.v)
	if b.v > a.v {
		s.ab = (b.u - a.u) / (b.v - a.v)
	}
	if c.v > b.v {
		s.bc = (c.u - b.u) / (c.v - b.v)
	}
	return s, true
}

// hair widens a triangle, in samples, so that rounding hides no sample on its side.
const hair = 1e-7

// span gives the columns from x0 to x1 where row y crosses the triangle.
func (s *slant) span(y float64) (x0, x1 float64) {
	x0 = s.a.u + (y-s.a.v)*s.ac
	if y <= s.b.v && s.b.v > s.a.v {
		x1 = s.a.u + (y-s.a.v)*s.ab
	} else {
		x1 = s.b.u + (y-s.b.v)*s.bc
	}
	if s.left {
		return x1 - hair, x0 + hair
	}
	return x0 - hair, x1 + hair
}

// columns gives the first and the last of n columns, shifted by du, between x0 and x1.
func columns(x0, x1, du float64, n int) (i0, i1 int) {
	x0, x1 = x0-du, x1-du
	if i0 = int(x0); float64(i0) < x0 {
		i0++
	}
	if i1 = int(x1); float64(i1) > x1 {
		i1--
	}
	if i0 < 0 {
		i0 = 0
	}
	if i1 >= n {
		i1 = n - 1
	}
	return i0, i1
}

// at is the plane's height.
func (s *slant) at(u, v float64) float64 { return float64(s.a.z) + (u-s.a.u)*s.gu + (v-s.a.v)*s.gv }

// stride gives the step from sample to sample in a triangle. While the mesh is still
// coarse, a large triangle need not find its very worst sample: some coarseSamples of
// them show where it is wrong. In the end every sample is looked at.
func (r *refiner) stride(s *slant) int {
	if r.between {
		return 1
	}
	area := math.Abs((s.b.u-s.a.u)*(s.c.v-s.a.v)-(s.c.u-s.a.u)*(s.b.v-s.a.v)) / 2
	return max(int(math.Sqrt(area/coarseSamples)), 1)
}

// coarseSamples is our choice: fewer samples cost triangles, more cost time.
const coarseSamples = 4096

// scanSamples looks at every sample in the triangle, or with a stride above 1 at those
// on every stride-th row and column.
func (r *refiner) scanSamples(s *slant, stride int, best *candidate) {
	f := r.field
	j1 := min(int(math.Floor(s.c.v+hair)), f.H-1)
	j0 := max(int(math.Ceil(s.a.v-hair)), 0)
	for j := (j0 + stride - 1) / stride * stride; j <= j1; j += stride {
		x0, x1 := s.span(float64(j))
		i0, i1 := columns(x0, x1, 0, f.W)
		if i0 > i1 {
			continue
		}
		if stride > 1 {
			r.scanFew(s, (i0+stride-1)/stride*stride, i1, j, stride, best)
			continue
		}
		from, to := j*f.W+i0, j*f.W+i1+1
		scanRow(f.Z[from:to], r.weight[from:to], s.at(float64(i0), float64(j)), s.gu, s.cos, int32(i0), int32(j), best)
	}
}

// scanFew is scanRow for every stride-th sample from i0 to i1.
func (r *refiner) scanFew(s *slant, i0, i1, j, stride int, best *candidate) {
	for i := i0; i <= i1; i += stride {
		n := j*r.field.W + i
		d := float32(math.Abs(float64(r.field.Z[n]) - s.at(float64(i), float64(j))))
		if w := r.weight[n]; d > best.err && w > 0 {
			if d *= max(w, s.cos); d > best.err {
				*best = candidate{d, int32(i), int32(j)}
			}
		}
	}
}

// scanBetween looks half-way between samples, along the rows, along the columns and in
// the middle of the cells, where an edge of the mesh may stand out although all samples
// around are near it.
func (r *refiner) scanBetween(k int32, s *slant, best *candidate) {
	r.scanFeet(k, s, best)
	for _, half := range [3][2]int{{1, 0}, {0, 1}, {1, 1}} {
		r.scanHalf(s, half[0], half[1], best)
	}
}

// scanFeet looks again at the samples that are off by more than the tolerance vertically:
// the foot of the perpendicular may lie beside a small triangle. The distance to the
// triangle and its three neighbours counts.
func (r *refiner) scanFeet(k int32, s *slant, best *candidate) {
	f := r.field
	limit := max(best.err, r.limit)
	j1 := min(int(math.Floor(s.c.v+hair)), f.H-1)
	for j := max(int(math.Ceil(s.a.v-hair)), 0); j <= j1; j++ {
		x0, x1 := s.span(float64(j))
		i0, i1 := columns(x0, x1, 0, f.W)
		if i0 > i1 {
			continue
		}
		z := s.at(float64(i0), float64(j))
		weight := r.weight[j*f.W+i0 : j*f.W+i1+1]
		for n, h := range f.Z[j*f.W+i0 : j*f.W+i1+1] {
			d := float64(h) - (z + float64(n)*s.gu)
			if math.Abs(d) <= float64(limit) || weight[n] < 0 {
				continue
			}
			p := vertex{float64(i0 + n), float64(j), h}
			if s.hasFoot(p, d, r.field.PitchMM) {
				continue
			}
			if t := r.toTriangles(k, p); t > limit {
				limit = t
				*best = candidate{t, int32(i0 + n), int32(j)}
			}
		}
	}
}

// hasFoot reports whether the foot of the perpendicular from p, which lies d above the
// plane, falls on the triangle; then the weighted error was the true distance.
func (s *slant) hasFoot(p vertex, d, pitch float64) bool {
	back := d * float64(s.cos) * float64(s.cos) / (pitch * pitch)
	u, v := p.u+back*s.gu, p.v+back*s.gv
	if v < s.a.v || v > s.c.v {
		return false
	}
	x0, x1 := s.span(v)
	return u >= x0 && u <= x1
}

// toTriangles is the distance in mm from p to triangle k and its neighbours.
func (r *refiner) toTriangles(k int32, p vertex) float32 {
	place := func(v vertex) [3]float64 {
		return [3]float64{v.u * r.field.PitchMM, v.v * r.field.PitchMM, float64(v.z)}
	}
	to := func(k int32) float64 {
		c := r.g.corner[3*k : 3*k+3]
		return toTriangle(place(p), place(r.v[c[0]]), place(r.v[c[1]]), place(r.v[c[2]]))
	}
	d := to(k)
	for _, f := range r.g.twin[3*k : 3*k+3] {
		if f >= 0 {
			d = min(d, to(f/3))
		}
	}
	return float32(math.Sqrt(d))
}

// scanHalf looks half a sample along the row (p = 1) and half a sample along the column
// (q = 1) from every sample. The relief in the middle of a cell is anything between the
// cell's two diagonals.
func (r *refiner) scanHalf(s *slant, p, q int, best *candidate) {
	f := r.field
	du, dv := float64(p)/2, float64(q)/2
	j1 := min(int(math.Floor(s.c.v-dv+hair)), f.H-1-q)
	for j := max(int(math.Ceil(s.a.v-dv-hair)), 0); j <= j1; j++ {
		y := float64(j) + dv
		x0, x1 := s.span(y)
		i0, i1 := columns(x0, x1, du, f.W-p)
		if i0 > i1 {
			continue
		}
		a, b := f.Row(j)[i0:i1+1], f.Row(j)[i0+p:i1+p+1]
		c, d := f.Row(j + q)[i0:i1+1], f.Row(j + q)[i0+p:i1+p+1]
		z := s.at(float64(i0)+du, y)
		b, c, d = b[:len(a)], c[:len(a)], d[:len(a)]
		worst := float64(best.err)
		for n := range a {
			zn := z + float64(n)*s.gu
			d1, d2 := float64(a[n]+d[n]), float64(b[n]+c[n])
			if e := math.Abs((d1+d2)/4-zn) - math.Abs(d1-d2)/4; e > worst {
				r.standOut(s, i0+n, j, p, q, zn, float32(e), best)
				worst = float64(best.err)
			}
		}
	}
}

// standOut makes the sample around (i + p/2, j + q/2) that is farthest from the triangle
// the candidate, if the place, at height z on the triangle and e above or below the
// relief, is truly too far from it.
func (r *refiner) standOut(s *slant, i, j, p, q int, z float64, e float32, best *candidate) {
	f := r.field
	pick := candidate{err: -1}
	cos := s.cos
	for k := range 4 {
		u, v := i+p*(k%2), j+q*(k/2)
		w := r.weight[v*f.W+u]
		cos = max(cos, abs32(w))
		d := float32(math.Abs(float64(f.At(u, v)) - s.at(float64(u), float64(v))))
		if w > 0 && d > pick.err {
			pick = candidate{d, int32(u), int32(v)}
		}
	}
	if pick.err < 0 || e*cos <= best.err {
		return
	}
	at := f.XY(i, j)
	h := f.PitchMM / 2
	d := toRelief(f, [3]float64{at.X + h*float64(p), at.Y + h*float64(q), z}, float64(e), float64(best.err))
	if float32(d) > best.err {
		pick.err = float32(d)
		*best = pick
	}
}

// scanRow compares samples with the plane z + n*gu and keeps the worst. A vertical
// error is no longer than its cosine square to the mesh and square to the relief; the
// larger of the two counts.
func scanRow(row, weight []float32, z, gu float64, cos float32, i, j int32, best *candidate) {
	worst := float64(best.err)
	weight = weight[:len(row)]
	for n, h := range row {
		// math.Abs is one instruction, where a comparison would be guessed wrong by the
		// processor half of the time.
		d := math.Abs(float64(h) - (z + float64(n)*gu))
		if d > worst {
			if w := weight[n]; w > 0 {
				if e := float32(d) * max(w, cos); float64(e) > worst {
					worst = float64(e)
					*best = candidate{e, i + int32(n), j}
				}
			}
		}
	}
}

// between is the height at p by linear interpolation between the four samples around;
// beyond the grid the nearest edge counts.
func between(f *field.Field, p geom.Vec) float64 {
	u := min(max((p.X-f.X0)/f.PitchMM, 0), float64(f.W-1))
	v := min(max((p.Y-f.Y0)/f.PitchMM, 0), float64(f.H-1))
	i, j := min(int(u), f.W-2), min(int(v), f.H-2)
	s, t := u-float64(i), v-float64(j)
	lo, hi := f.Z[j*f.W+i:], f.Z[(j+1)*f.W+i:]
	return (float64(lo[0])*(1-s)+float64(lo[1])*s)*(1-t) + (float64(hi[0])*(1-s)+float64(hi[1])*s)*t
}

func abs32(a float32) float32 {
	if a < 0 {
		return -a
	}
	return a
}
