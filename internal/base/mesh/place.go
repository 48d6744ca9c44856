package mesh

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
)

// Placed turns the sheet counter-clockwise about the origin, then moves it, in mm.
// Vertices go to the plan grid again; a ring placed with the same numbers gets the
// same coordinates. Should the snapping turn a very thin triangle over, the same
// vertices are triangulated anew, without those that fell on the side of a triangle.
func (s *Sheet) Placed(turnDeg, x, y, z float64) (*Sheet, error) {
	return s.mapped(placement(turnDeg, x, y, z))
}

// Scaled scales the sheet about the origin; both factors are positive.
func (s *Sheet) Scaled(xy, z float64) (*Sheet, error) {
	if !(xy > 0 && z > 0) {
		return nil, &finding.Error{Key: "scale", Found: fmt.Sprintf("%g, %g", xy, z), Allowed: "factors above 0"}
	}
	return s.mapped(scaling(xy, z))
}

// Placed gives exactly the coordinates that a sheet placed with the same numbers has.
func (r Ring3) Placed(turnDeg, x, y, z float64) Ring3 { return r.mapped(placement(turnDeg, x, y, z)) }

// Scaled gives exactly the coordinates that a sheet scaled by the same factors has.
func (r Ring3) Scaled(xy, z float64) Ring3 { return r.mapped(scaling(xy, z)) }

func (r Ring3) mapped(to func([3]float32) [3]float32) Ring3 {
	out := make(Ring3, len(r))
	for i, v := range r {
		out[i] = to(v)
	}
	return out
}

func placement(turnDeg, x, y, z float64) func([3]float32) [3]float32 {
	sin, cos := math.Sincos(math.Mod(turnDeg, 360) * math.Pi / 180)
	if math.Mod(turnDeg, 90) == 0 { // exact quarter turns
		sin, cos = math.Round(sin), math.Round(cos)
	}
	return func(v [3]float32) [3]float32 {
		vx, vy := float64(v[0]), float64(v[1])
		return [3]float32{snapMM(cos*vx - sin*vy + x), snapMM(sin*vx + cos*vy + y), float32(float64(v[2]) + z)}
	}
}

func scaling(xy, z float64) func([3]float32) [3]float32 {
	return func(v [3]float32) [3]float32 {
		return [3]float32{snapMM(float64(v[0]) * xy), snapMM(float64(v[1]) * xy), float32(float64(v[2]) * z)}
	}
}

func (s *Sheet) mapped(to func([3]float32) [3]float32) (*Sheet, error) {
	out := &Sheet{V: make([][3]float32, len(s.V)), T: s.T, Rings: make([]Ring3, len(s.Rings))}
	at := make([]point, len(s.V))
	for i, v := range s.V {
		w := to(v)
		p, err := gridPoint(float64(w[0]), float64(w[1]))
		if err != nil {
			return nil, err
		}
		at[i], out.V[i] = p, w
	}
	for i, r := range s.Rings {
		out.Rings[i] = r.mapped(to)
	}
	var thin []uint32
	for _, t := range s.T {
		if orient(at[t[0]], at[t[1]], at[t[2]]) <= 0 {
			thin = append(thin, middle(at, t))
		}
	}
	if len(thin) > 0 {
		return out.again(at, thin)
	}
	return out, nil
}

// middle is the corner opposite to the longest side.
func middle(at []point, t [3]uint32) uint32 {
	long := func(a, b uint32) int64 {
		dx, dy := int64(at[a].x-at[b].x), int64(at[a].y-at[b].y)
		return dx*dx + dy*dy
	}
	d0, d1, d2 := long(t[1], t[2]), long(t[2], t[0]), long(t[0], t[1])
	switch {
	case d0 >= d1 && d0 >= d2:
		return t[0]
	case d1 >= d2:
		return t[1]
	}
	return t[2]
}

// again triangulates the sheet's vertices anew inside its rings. The thin ones, which
// lie on a side of their triangle but for a fraction of the grid step, are left out
// unless they are ring vertices: the surface does not change by more than that.
func (s *Sheet) again(at []point, thin []uint32) (*Sheet, error) {
	known := make(map[point]int32, len(at))
	var kept []point
	out := &Sheet{Rings: s.Rings}
	add := func(p point, v [3]float32) (int32, bool) {
		k, ok := known[p]
		if !ok {
			k = int32(len(kept))
			known[p] = k
			kept, out.V = append(kept, p), append(out.V, v)
		}
		return k, !ok
	}
	index := make([][]int32, len(s.Rings))
	for i, r := range s.Rings {
		for _, v := range r {
			k, fresh := add(point{snap(float64(v[0])), snap(float64(v[1]))}, v)
			if !fresh {
				return nil, touching(kept[k])
			}
			index[i] = append(index[i], k)
		}
	}
	skip := make([]bool, len(at))
	for _, k := range thin {
		skip[k] = true
	}
	for i, p := range at {
		if !skip[i] {
			add(p, s.V[i])
		}
	}
	g, err := constrained(context.Background(), kept, index)
	if err != nil {
		return nil, err
	}
	out.T = triangles(g)
	return out, nil
}
