package mesh

import (
	"context"
	"fmt"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// Plane triangulates the region between rings in plan: counter-clockwise around the
// region, clockwise around holes, several regions allowed. Heights are those of the
// ring vertices, so that one height gives a flat plate and two a chamfer. No vertices
// are added. The sheet's Rings are the given ones on the plan grid, in order. Rings
// that cross, touch an edge or overlap are an error that names the place.
func Plane(rings []Ring3) (*Sheet, error) {
	var at []point
	out := &Sheet{Rings: make([]Ring3, len(rings))}
	index := make([][]int32, len(rings))
	known := map[point]int32{}
	for i, ring := range rings {
		for _, v := range ring {
			p, err := gridPoint(float64(v[0]), float64(v[1]))
			if err != nil {
				return nil, err
			}
			q := p.mm()
			w := [3]float32{q[0], q[1], v[2]}
			k, ok := known[p]
			if !ok {
				k = int32(len(at))
				known[p] = k
				at = append(at, p)
				out.V = append(out.V, w)
			}
			if out.V[k] != w {
				return nil, &finding.Error{Found: fmt.Sprintf("two heights, %g and %g mm, at (%.4f, %.4f) mm", out.V[k][2], w[2], q[0], q[1]),
					Allowed: "one height at each place of a plane"}
			}
			if n := len(index[i]); n == 0 || index[i][n-1] != k {
				index[i] = append(index[i], k)
			}
		}
		if n := len(index[i]); n > 1 && index[i][0] == index[i][n-1] {
			index[i] = index[i][:n-1]
		}
		if len(index[i]) < 3 {
			return nil, thinRing(i, len(index[i]))
		}
		for _, k := range index[i] {
			out.Rings[i] = append(out.Rings[i], out.V[k])
		}
	}
	if len(at) == 0 {
		return nil, &finding.Error{Found: "a plane without rings", Allowed: "at least one ring of three points"}
	}
	g, err := constrained(context.Background(), at, index)
	if err != nil {
		return nil, err
	}
	out.T = triangles(g)
	return out, nil
}

// Level gives the outline's rings at height z, on the plan grid.
func Level(o geom.Outline, z float32) []Ring3 {
	out := make([]Ring3, len(o))
	for i, r := range o {
		for _, p := range r {
			v := [3]float32{snapMM(p.X), snapMM(p.Y), z}
			if n := len(out[i]); n == 0 || out[i][n-1] != v {
				out[i] = append(out[i], v)
			}
		}
		if n := len(out[i]); n > 1 && out[i][0] == out[i][n-1] {
			out[i] = out[i][:n-1]
		}
	}
	return out
}

// Reversed is the ring run the other way: the edge of a sheet becomes a hole in a
// Plane around it.
func (r Ring3) Reversed() Ring3 {
	out := make(Ring3, len(r))
	for i, v := range r {
		out[len(r)-1-i] = v
	}
	return out
}
