package mesh

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
)

// A wall's own points lie on the edge between two shared corners up to the plan
// grid's rounding; a micrometre is eight grid steps and still invisible.
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

// span fills the wall over one edge, taking the next point of whichever side comes
// first along the edge.
func (b *Builder) span(up, low Ring3) error {
	from, to := low[0], low[len(low)-1]
	dx, dy := float64(to[0])-float64(from[0]), float64(to[1])-float64(from[1])
	length := math.Hypot(dx, dy)
	along := func(v [3]float32) float64 {
		return ((float64(v[0])-float64(from[0]))*dx + (float64(v[1])-float64(from[1]))*dy) / length
	}
	for _, chain := range [2]Ring3{up, low} {
		last := 0.0
		for i, v := range chain[1:] {
			t := along(v)
			off := ((float64(v[0])-float64(from[0]))*dy - (float64(v[1])-float64(from[1]))*dx) / length
			if math.Abs(off) > wallOffMM || t <= last || i < len(chain)-2 && t >= length {
				return &finding.Error{Found: fmt.Sprintf("a wall's ring leaves its edge at (%.4f, %.4f) mm", v[0], v[1]),
					Allowed: "upper and lower ring with the same corners", Do: "join rings of different shape with a plane"}
			}
			last = t
		}
	}
	for _, ends := range [2][2]int{{0, 0}, {len(up) - 1, len(low) - 1}} {
		if u, l := up[ends[0]], low[ends[1]]; u[2] < l[2] {
			return &finding.Error{Found: fmt.Sprintf("a wall at (%.4f, %.4f) mm whose upper ring (z %g) lies below its lower one (z %g)", u[0], u[1], u[2], l[2])}
		}
	}
	i, j := 0, 0
	for i < len(up)-1 || j < len(low)-1 {
		if j == len(low)-1 || i < len(up)-1 && along(up[i+1]) <= along(low[j+1]) {
			b.corner(low[j], up[i+1], up[i])
			i++
		} else {
			b.corner(low[j], low[j+1], up[i])
			j++
		}
	}
	return nil
}

// corner adds a wall triangle, unless the wall has no height there.
func (b *Builder) corner(p, q, r [3]float32) {
	if p != q && q != r && r != p {
		b.soup = append(b.soup, [3][3]float32{p, q, r})
	}
}
