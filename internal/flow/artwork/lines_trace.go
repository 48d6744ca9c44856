package artwork

import (
	"context"
	"math"

	"mouldwright/internal/base/geom"
)

// tracedPoints bounds the points of a traced picture before thinning (our choice: four times
// what an outline may have, since most are dropped).
const tracedPoints = 4 * geom.MaxPoints

// tracer follows lines of equal brightness through the squares between four
// samples (marching squares, W. Lorensen and H. Cline, SIGGRAPH 1987, in two
// dimensions), with the crossing on each edge by linear interpolation.
//
// Node (i, j), 0..w+1, is sample (i-1, j-1); the outermost nodes lie half a sample
// from their neighbours, on the picture's edge, and are outside by a hair. So every
// line closes, along the edge if need be.
type tracer struct {
	plane
	level   float32
	invert  bool
	speck   float64 // samples²; smaller rings are dropped
	seen    []uint64
	points  int
	dropped int
	full    bool
}

// value is positive inside, zero or negative outside.
func (t *tracer) value(i, j int) float32 {
	if i < 1 || j < 1 || i > t.w || j > t.h {
		return -1e-4
	}
	v := t.v[(j-1)*t.w+i-1] - t.level
	if t.invert {
		return -v
	}
	return v
}

// place is where node i lies along an axis of n samples, in samples.
func place(i, n int) float64 { return math.Max(0, math.Min(float64(n), float64(i)-0.5)) }

// all gives every ring in samples, y up, inside on the left.
func (t *tracer) all(ctx context.Context) (geom.Outline, error) {
	nodes := t.w + 2
	t.seen = make([]uint64, (nodes*(t.h+2)+63)/64)
	var out geom.Outline
	for j := 1; j <= t.h; j++ {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		// Every ring has an edge with the outside on the left, the inside on the right.
		was := t.value(0, j) > 0
		for i := 0; i <= t.w; i++ {
			now := t.value(i+1, j) > 0
			if !was && now && !t.mark(i, j, false) {
				r := t.ring(i, j)
				if math.Abs(r.Area()) < t.speck {
					t.dropped++
				} else {
					out = append(out, r)
					t.points += len(r)
				}
				if t.points > tracedPoints {
					t.full = true
				}
				if t.full {
					return nil, nil
				}
			}
			was = now
		}
	}
	return out, nil
}

// mark reports whether the edge from node (i, j) to the right was met, and notes it.
func (t *tracer) mark(i, j int, set bool) bool {
	k := j*(t.w+2) + i
	was := t.seen[k/64]>>(k%64)&1 != 0
	if set {
		t.seen[k/64] |= 1 << (k % 64)
	}
	return was
}

// ring follows the line that crosses the edge from node (i, j) to the right, inside
// on the left: first downwards, into the square below.
func (t *tracer) ring(i, j int) geom.Ring {
	var r geom.Ring
	i0, j0 := i, j
	side := 2 // of the square (i, j-1), through which the line comes in: its top
	j--
	for {
		if side == 2 {
			if t.value(i, j+1) <= 0 { // outside left, inside right: where a ring may begin
				if t.mark(i, j+1, true) && i == i0 && j+1 == j0 {
					return r
				}
			}
		}
		p := t.crossing(i, j, side)
		if n := len(r); n == 0 || r[n-1] != p {
			r = append(r, p)
		}
		if len(r) > tracedPoints {
			t.full = true
			return r
		}
		switch side = t.leave(i, j, side); side {
		case 0: // leaves through the bottom, enters the square below through its top
			j, side = j-1, 2
		case 1:
			i, side = i+1, 3
		case 2:
			j, side = j+1, 0
		case 3:
			i, side = i-1, 1
		}
	}
}

// corner is node k of the square (i, j): 0 lower left, then counter-clockwise.
func (t *tracer) corner(i, j, k int) float32 {
	switch k & 3 {
	case 0:
		return t.value(i, j)
	case 1:
		return t.value(i+1, j)
	case 2:
		return t.value(i+1, j+1)
	}
	return t.value(i, j+1)
}

// leave gives the side by which a line leaves the square that it entered by side
// in; side k runs from corner k to corner k+1.
//
// Where all four sides are crossed, the value where the square's bilinear surface
// is level decides which corners hang together (G. Nielson, B. Hamann, "The
// asymptotic decider", IEEE Visualization 1991).
func (t *tracer) leave(i, j, in int) int {
	var v [4]float32
	var pos [4]bool
	n := 0
	for k := range v {
		v[k] = t.corner(i, j, k)
		pos[k] = v[k] > 0
	}
	last := in
	for k := range v {
		if pos[k] != pos[(k+1)&3] {
			n++
			if k != in {
				last = k
			}
		}
	}
	if n < 4 {
		return last
	}
	middle := v[0]*v[2]-v[1]*v[3] > 0 // over v0+v2-v1-v3, whose sign is that of corner 0
	if !pos[0] {
		middle = !middle
	}
	// The line cuts off the corner of side in that differs from the middle.
	if pos[in] != middle {
		return (in + 3) & 3
	}
	return (in + 1) & 3
}

// crossing is the point where the line crosses a side, in samples.
func (t *tracer) crossing(i, j, side int) geom.Vec {
	a, b := t.corner(i, j, side), t.corner(i, j, side+1)
	f := float64(a) / (float64(a) - float64(b))
	x0, x1, y0, y1 := place(i, t.w), place(i+1, t.w), place(j, t.h), place(j+1, t.h)
	switch side {
	case 0:
		return geom.Vec{X: x0 + f*(x1-x0), Y: y0}
	case 1:
		return geom.Vec{X: x1, Y: y0 + f*(y1-y0)}
	case 2:
		return geom.Vec{X: x1 + f*(x0-x1), Y: y1}
	}
	return geom.Vec{X: x0, Y: y1 + f*(y0-y1)}
}
