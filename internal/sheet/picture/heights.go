package picture

import (
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
)

// Heights samples a sheet on a grid: the greatest height over each sample, 0 where
// there is none.
func Heights(s *mesh.Sheet, pitchMM float64) *field.Field {
	b := geom.EmptyRect()
	for _, v := range s.V {
		b.Add(geom.Vec{X: float64(v[0]), Y: float64(v[1])})
	}
	if b.Empty() {
		return field.New(field.Grid{W: 2, H: 2, PitchMM: pitchMM})
	}
	f := field.New(field.Around(b.Grow(pitchMM), pitchMM))
	for _, t := range s.T {
		p, q, r := s.V[t[0]], s.V[t[1]], s.V[t[2]]
		ax, ay := float64(p[0]), float64(p[1])
		bx, by := float64(q[0])-ax, float64(q[1])-ay
		cx, cy := float64(r[0])-ax, float64(r[1])-ay
		det := bx*cy - by*cx
		if det == 0 {
			continue
		}
		lo := func(a, b, c float32, o float64) int {
			return int(math.Ceil((float64(min(a, b, c)) - o) / pitchMM))
		}
		hi := func(a, b, c float32, o float64) int {
			return int(math.Floor((float64(max(a, b, c)) - o) / pitchMM))
		}
		for j := lo(p[1], q[1], r[1], f.Y0); j <= hi(p[1], q[1], r[1], f.Y0); j++ {
			for i := lo(p[0], q[0], r[0], f.X0); i <= hi(p[0], q[0], r[0], f.X0); i++ {
				x, y := f.X0+float64(i)*pitchMM-ax, f.Y0+float64(j)*pitchMM-ay
				u, v := (x*cy-y*cx)/det, (bx*y-by*x)/det
				if u < -1e-9 || v < -1e-9 || u+v > 1+1e-9 {
					continue
				}
				z := float64(p[2]) + u*float64(q[2]-p[2]) + v*float64(r[2]-p[2])
				at := j*f.W + i
				f.Z[at] = max(f.Z[at], float32(z))
			}
		}
	}
	return f
}
