package sheet

import (
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// Line is an open or closed line of a drawing, in mm.
type Line []geom.Vec

// edgePitchMM is the finest grid that edges are looked for on: a tenth of the
// narrowest stroke that holds in chocolate.
const edgePitchMM = 0.06

// steep is the slope from which a surface counts as a wall: 39 degrees, clear of the 45
// of a vee's sides, which would else be walls here and none there by rounding.
const steep = 0.8

// maxEdgePoints bounds one drawing; a photo in relief has many small walls.
const maxEdgePoints = 60_000

// edges draws a relief as a workshop draws a part from above: a line where a wall
// begins and one where it ends. They are the level lines of the slope.
func edges(f *field.Field) []Line {
	g := f.Grid
	slope := field.New(g)
	for j := 1; j < g.H-1; j++ {
		for i := 1; i < g.W-1; i++ {
			dx := float64(f.At(i+1, j)-f.At(i-1, j)) / (2 * g.PitchMM)
			dy := float64(f.At(i, j+1)-f.At(i, j-1)) / (2 * g.PitchMM)
			slope.Z[j*g.W+i] = float32(math.Hypot(dx, dy))
		}
	}
	lines := levels(slope, steep)
	var out []Line
	points := 0
	for _, l := range lines {
		l = Line(simple(l, 0.02))
		if points += len(l); points > maxEdgePoints {
			break
		}
		if length(l) > 0.6 { // shorter ones are the grain of a tone relief
			out = append(out, l)
		}
	}
	return out
}

func length(l Line) float64 {
	var s float64
	for i := 1; i < len(l); i++ {
		s += l[i].Sub(l[i-1]).Len()
	}
	return s
}

// levels traces the lines where the field has a value, by marching squares: each
// cell joins the crossings of its sides, and crossings that share a side are chained.
func levels(f *field.Field, v float64) []Line {
	// A crossing is known by its side: 2*sample for the side to the right, 2*sample+1
	// for the side away.
	next := map[int][]int{}
	at := func(i, j int) float64 { return float64(f.At(i, j)) - v }
	var starts []int
	join := func(a, b int) {
		if _, ok := next[a]; !ok {
			starts = append(starts, a)
		}
		if _, ok := next[b]; !ok {
			starts = append(starts, b)
		}
		next[a] = append(next[a], b)
		next[b] = append(next[b], a)
	}
	for j := range f.H - 1 {
		for i := range f.W - 1 {
			c := [4]bool{at(i, j) > 0, at(i+1, j) > 0, at(i+1, j+1) > 0, at(i, j+1) > 0}
			n := j*f.W + i
			side := [4]int{2 * n, 2*(n+1) + 1, 2 * (n + f.W), 2*n + 1}
			var hit []int
			for k := range 4 {
				if c[k] != c[(k+1)%4] {
					hit = append(hit, side[k])
				}
			}
			switch len(hit) {
			case 2:
				join(hit[0], hit[1])
			case 4: // a saddle: split by the mean of the corners
				mid := at(i, j)+at(i+1, j)+at(i+1, j+1)+at(i, j+1) > 0
				if mid == c[0] {
					join(hit[0], hit[1])
					join(hit[2], hit[3])
				} else {
					join(hit[3], hit[0])
					join(hit[1], hit[2])
				}
			}
		}
	}
	place := func(s int) geom.Vec {
		n := s / 2
		i, j := n%f.W, n/f.W
		i2, j2 := i+1, j
		if s%2 == 1 {
			i2, j2 = i, j+1
		}
		a, b := at(i, j), at(i2, j2)
		return f.XY(i, j).Lerp(f.XY(i2, j2), a/(a-b))
	}
	done := map[int]bool{}
	var out []Line
	walk := func(s int) {
		var l Line
		for !done[s] {
			done[s] = true
			l = append(l, place(s))
			step := -1
			for _, t := range next[s] {
				if !done[t] {
					step = t
					break
				}
			}
			if step < 0 {
				for _, t := range next[s] { // close a ring
					if len(l) > 2 && place(t) == l[0] {
						l = append(l, l[0])
						break
					}
				}
				break
			}
			s = step
		}
		if len(l) > 1 {
			out = append(out, l)
		}
	}
	for _, s := range starts { // open lines first, from their ends
		if len(next[s]) == 1 && !done[s] {
			walk(s)
		}
	}
	for _, s := range starts {
		if !done[s] {
			walk(s)
		}
	}
	return out
}

// simple leaves out points that lie within tol of the line between kept ones
// (Ramer 1972; Douglas and Peucker 1973).
func simple(l []geom.Vec, tol float64) []geom.Vec {
	if len(l) < 3 {
		return l
	}
	keep := make([]bool, len(l))
	keep[0], keep[len(l)-1] = true, true
	todo := [][2]int{{0, len(l) - 1}}
	for len(todo) > 0 {
		a, b := todo[len(todo)-1][0], todo[len(todo)-1][1]
		todo = todo[:len(todo)-1]
		worst, at := tol, -1
		ab := l[b].Sub(l[a])
		n := ab.Len()
		for i := a + 1; i < b; i++ {
			d := l[i].Sub(l[a]).Len()
			if n > 0 {
				d = math.Abs(ab.Cross(l[i].Sub(l[a]))) / n
			}
			if d > worst {
				worst, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			todo = append(todo, [2]int{a, at}, [2]int{at, b})
		}
	}
	var out []geom.Vec
	for i, k := range keep {
		if k {
			out = append(out, l[i])
		}
	}
	return out
}
