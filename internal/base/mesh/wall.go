package mesh

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
)

// A wall's own points lie on the edge between two shared corners up to the plan
// grid's rounding (our choice: a micrometre is eight grid steps and still invisible).
const wallOffMM = 0.001

// strip adds the wall between two rings that have the same corners in plan.
func (b *Builder) strip(upper, lower Ring3) error {
	below := make(map[[2]float32]int, len(lower))
	for i, v := range lower {
		below[plan(v)] = i
	}
	if len(below) != len(lower) {
		return &finding.Error{Found: "a wall's lower ring passes a place twice", Allowed: "rings without repeated points"}
	}
	var shared [][2]int // positions in upper and lower
	for i, v := range upper {
		if j, ok := below[plan(v)]; ok {
			shared = append(shared, [2]int{i, j})
		}
	}
	if len(shared) < 3 {
		at := [3]float32{}
		if len(upper) > 0 {
			at = upper[0]
		}
		return &finding.Error{Found: fmt.Sprintf("a wall at (%.4f, %.4f) mm whose rings share %d corners", at[0], at[1], len(shared)), Allowed: "at least 3 shared corners"}
	}
	turns := 0
	for k, s := range shared {
		e := shared[(k+1)%len(shared)]
		turns += (e[1] - s[1] + len(lower)) % len(lower)
		if err := b.span(arc(upper, s[0], e[0]), arc(lower, s[1], e[1])); err != nil {
			return err
		}
	}
	if turns != len(lower) {
		return &finding.Error{Found: fmt.Sprintf("a wall at (%.4f, %.4f) mm whose rings run differently", upper[0][0], upper[0][1]), Allowed: "rings with the same corners in the same order"}
	}
	return nil
}

func plan(v [3]float32) [2]float32 { return [2]float32{v[0], v[1]} }

// arc is the ring from position i to position j, both included.
func arc(r Ring3, i, j int) Ring3 {
	out := Ring3{r[i]}
	for i != j {
		i = (i + 1) % len(r)
		out = append(out, r[i])
	}
	return out
}

// wallPoint is a point of the wall over one edge: t along the edge, z up.
type wallPoint struct {
	v  [3]float32
	t  float64
	up bool // on the upper ring
}

// span fills the wall over one edge between two shared corners. Seen from outside, t to
// the right and z up, it is a polygon that runs one way along t, which a stack
// triangulates (Garey, Johnson, Preparata and Tarjan 1978, "Triangulating a simple
// polygon").
func (b *Builder) span(up, low Ring3) error {
	points, err := alongEdge(up, low)
	if err != nil {
		return err
	}
	if len(points) < 3 {
		return nil // both ends meet: no wall
	}
	stack := []wallPoint{points[0], points[1]}
	for i, p := range points[2:] {
		top := stack[len(stack)-1]
		if p.up != top.up || i == len(points)-3 {
			for k := range len(stack) - 1 {
				if err := b.wall(stack[k], stack[k+1], p, stack[k+1].up); err != nil {
					return err
				}
			}
			stack = append(stack[:0], top, p)
			continue
		}
		for len(stack) > 1 && bends(stack[len(stack)-2], stack[len(stack)-1], p, p.up) > 0 {
			if err := b.wall(stack[len(stack)-2], stack[len(stack)-1], p, p.up); err != nil {
				return err
			}
			stack = stack[:len(stack)-1]
		}
		stack = append(stack, p)
	}
	return nil
}

// alongEdge merges both chains by their place along the edge; an end where they meet
// comes once.
func alongEdge(up, low Ring3) ([]wallPoint, error) {
	from, to := low[0], low[len(low)-1]
	dx, dy := float64(to[0])-float64(from[0]), float64(to[1])-float64(from[1])
	length := math.Hypot(dx, dy)
	chain := func(r Ring3, isUp bool) ([]wallPoint, error) {
		var out []wallPoint
		for i, v := range r {
			x, y := float64(v[0])-float64(from[0]), float64(v[1])-float64(from[1])
			p := wallPoint{v, (x*dx + y*dy) / length, isUp}
			off := math.Abs(x*dy-y*dx) / length
			if off > wallOffMM || i > 0 && p.t <= out[i-1].t || i < len(r)-1 && p.t >= length {
				return nil, &finding.Error{Found: fmt.Sprintf("a wall's ring leaves its edge at (%.4f, %.4f) mm", v[0], v[1]),
					Allowed: "upper and lower ring with the same corners", Do: "join rings of different shape with a plane"}
			}
			out = append(out, p)
		}
		return out, nil
	}
	u, err := chain(up, true)
	if err != nil {
		return nil, err
	}
	l, err := chain(low, false)
	if err != nil {
		return nil, err
	}
	var out []wallPoint
	for len(u)+len(l) > 0 {
		switch {
		case len(u) > 0 && len(l) > 0 && u[0].v == l[0].v:
			out = append(out, l[0])
			u, l = u[1:], l[1:]
		case len(u) == 0 || len(l) > 0 && l[0].t <= u[0].t:
			out, l = append(out, l[0]), l[1:]
		default:
			out, u = append(out, u[0]), u[1:]
		}
	}
	return out, nil
}

// bends is twice the area of the triangle on the wall; positive when p, q, r bulge
// outwards from the wall: below it on the lower chain, above it on the upper.
func bends(p, q, r wallPoint, up bool) float64 {
	a := (q.t-p.t)*(float64(r.v[2])-float64(p.v[2])) - (r.t-p.t)*(float64(q.v[2])-float64(p.v[2]))
	if up {
		return -a
	}
	return a
}

// wall adds the triangle p, q, r, with p and q, in this order, on the upper or lower chain.
func (b *Builder) wall(p, q, r wallPoint, up bool) error {
	if !(bends(p, q, r, up) > 0) {
		return &finding.Error{Found: fmt.Sprintf("a wall at (%.4f, %.4f) mm whose upper ring (z %g) lies below its lower one (z %g)", q.v[0], q.v[1], min(q.v[2], r.v[2]), max(q.v[2], r.v[2]))}
	}
	if up {
		p, q = q, p
	}
	b.soup = append(b.soup, [3][3]float32{p.v, q.v, r.v})
	return nil
}
