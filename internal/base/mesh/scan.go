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

// weigh fills in the weights: the cosine of the slope at each sample by central
// differences. It gives the first sample that is not finite, if there is one.
func (r *refiner) weigh(ctx context.Context) (bad int, ok bool) {
	f := r.field
	r.weight = make([]float32, len(f.Z))
	wrong := make([]int, f.H)
	half := float32(1 / (2 * f.PitchMM))
	err := parallel(ctx, f.H, 16, func(lo, hi int) {
		for j := lo; j < hi; j++ {
			wrong[j] = weighRow(f, j, half, r.weight[j*f.W:(j+1)*f.W])
		}
	})
	for j, i := range wrong {
		if i >= 0 {
			return j*f.W + i, false
		}
	}
	return 0, err == nil
}

func weighRow(f *field.Field, j int, half float32, out []float32) (bad int) {
	mid := f.Row(j)
	down, up := f.Row(max(j-1, 0)), f.Row(min(j+1, f.H-1))
	bad = -1
	last := len(mid) - 1
	for i, z := range mid {
		if z-z != 0 { // NaN and infinities
			return i
		}
		gx := (mid[min(i+1, last)] - mid[max(i-1, 0)]) * half
		gy := (up[i] - down[i]) * half
		out[i] = 1 / float32(math.Sqrt(float64(1+gx*gx+gy*gy)))
	}
	return bad
}

// scan finds the candidate of every triangle in the list.
func (r *refiner) scan(ctx context.Context, list []int32) error {
	return parallel(ctx, len(list), 8, func(lo, hi int) {
		for _, k := range list[lo:hi] {
			r.worst[k] = r.scanTriangle(k)
		}
	})
}

// scanTriangle looks at every sample in triangle k.
func (r *refiner) scanTriangle(k int32) candidate {
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
	best := candidate{err: r.tol}
	f := r.field
	det := (b.u-a.u)*(c.v-a.v) - (c.u-a.u)*(b.v-a.v)
	if det == 0 {
		return candidate{}
	}
	zb, zc := float64(b.z)-float64(a.z), float64(c.z)-float64(a.z)
	gu := (zb*(c.v-a.v) - zc*(b.v-a.v)) / det
	gv := (zc*(b.u-a.u) - zb*(c.u-a.u)) / det
	// x along the long edge a-c and the two short ones, each a function of the row
	// alone, so that a sample on an edge is found from at least one side.
	ac := (c.u - a.u) / (c.v - a.v)
	ab, bc := 0.0, 0.0
	if b.v > a.v {
		ab = (b.u - a.u) / (b.v - a.v)
	}
	if c.v > b.v {
		bc = (c.u - b.u) / (c.v - b.v)
	}
	const hair = 1e-7
	j1 := min(int(math.Floor(c.v+hair)), f.H-1)
	for j := max(int(math.Ceil(a.v-hair)), 0); j <= j1; j++ {
		y := float64(j)
		x0 := a.u + (y-a.v)*ac
		x1 := b.u + (y-b.v)*bc
		if y <= b.v && b.v > a.v {
			x1 = a.u + (y-a.v)*ab
		}
		if x0 > x1 {
			x0, x1 = x1, x0
		}
		i0, i1 := max(int(math.Ceil(x0-hair)), 0), min(int(math.Floor(x1+hair)), f.W-1)
		if i0 > i1 {
			continue
		}
		z := float64(a.z) + (float64(i0)-a.u)*gu + (y-a.v)*gv
		scanRow(f.Z[j*f.W+i0:j*f.W+i1+1], r.weight[j*f.W+i0:j*f.W+i1+1], z, gu, int32(i0), int32(j), &best)
	}
	if best.err <= r.tol {
		return candidate{}
	}
	return best
}

// scanRow compares samples with the plane z + n*gu and keeps the worst.
func scanRow(row, weight []float32, z, gu float64, i, j int32, best *candidate) {
	worst := best.err
	weight = weight[:len(row)]
	for n, s := range row {
		d := s - float32(z+float64(n)*gu)
		if d < 0 {
			d = -d
		}
		if d > worst {
			if d *= weight[n]; d > worst {
				worst = d
				*best = candidate{d, i + int32(n), j}
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
