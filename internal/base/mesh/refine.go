package mesh

import (
	"context"
	"math"
	"slices"
)

// roundFraction decides which candidates a round inserts: those whose error is above
// this share of the round's largest. Our choice: near 1 is the classic one-at-a-time order with the
// fewest triangles, near 0 the fewest rounds.
const roundFraction = 0.35

// refine inserts samples until no sample inside the outline is further from the mesh
// than the tolerance. It works in rounds: all changed triangles look for their worst
// sample (in parallel, each on its own), then the worst of them are inserted in a
// fixed order, so that the result does not depend on the number of cores.
func (r *refiner) refine(ctx context.Context) error {
	var active, changed, batch []int32
	r.mark = make([]int32, len(r.g.corner)/3)
	r.worst = make([]candidate, len(r.mark))
	for k := range r.mark {
		changed = append(changed, int32(k))
	}
	for round := int32(1); ; round++ {
		if err := r.scan(ctx, changed); err != nil {
			return err
		}
		// Triangles that changed in the last round carry its number.
		active = slices.DeleteFunc(active, func(k int32) bool { return r.mark[k] == round-1 })
		for _, k := range changed {
			if r.worst[k].err > 0 {
				active = append(active, k)
			}
		}
		if len(active) == 0 && (r.between || r.sketch) {
			return nil
		}
		if len(active) == 0 {
			// All samples lie within the tolerance: from now on look between them too.
			r.between = true
			changed = changed[:0]
			for k := range r.mark {
				changed = append(changed, int32(k))
			}
			continue
		}
		top := float32(0)
		for _, k := range active {
			top = max(top, r.worst[k].err)
		}
		batch = batch[:0]
		for _, k := range active {
			if r.worst[k].err >= top*roundFraction {
				batch = append(batch, k)
			}
		}
		slices.SortFunc(batch, func(a, b int32) int {
			switch x, y := r.worst[a].err, r.worst[b].err; {
			case x > y:
				return -1
			case x < y:
				return 1
			}
			return int(a - b)
		})
		changed = changed[:0]
		touch := func(k int32) {
			for int(k) >= len(r.mark) {
				r.mark = append(r.mark, 0)
				r.worst = append(r.worst, candidate{})
			}
			if r.mark[k] != round {
				r.mark[k] = round
				changed = append(changed, k)
			}
		}
		for _, k := range batch {
			if r.mark[k] != round {
				r.insert(k, round, touch)
			}
		}
	}
}

// insert puts triangle k's candidate into the mesh, unless a triangle it would change
// has already changed in this round.
func (r *refiner) insert(k, round int32, touch func(int32)) {
	c := r.worst[k]
	p := point{r.col[c.i], r.row[c.j]}
	sample := int(c.j)*r.field.W + int(c.i)
	at, on, ok := r.find(k, p)
	if !ok {
		r.weight[sample] = -abs32(r.weight[sample])
		touch(k)
		return
	}
	if r.mark[at] == round || on >= 0 && r.mark[r.g.twin[on]/3] == round {
		return
	}
	r.weight[sample] = -abs32(r.weight[sample])
	v := int32(len(r.v))
	r.v = append(r.v, vertex{float64(c.i), float64(c.j), r.field.Z[sample]})
	r.g.at = append(r.g.at, p)
	if on >= 0 {
		r.g.splitEdge(on, v, touch)
	} else {
		r.g.split(at, v, touch)
	}
}

// find gives the triangle that holds p, from triangle k near it, and the edge if p lies
// on one. (Candidates are found in float64 and before snapping, and those between
// samples are taken from around: p may lie outside k.) It gives false where no vertex
// can be put: on a vertex, outside the outline, or within two grid steps of it, where it
// would only make a sliver; the relief cannot leave the tolerance on so short a way.
func (r *refiner) find(k int32, p point) (at, on int32, ok bool) {
	g := r.g
walk:
	for range 100 {
		on, ok = -1, true
		for e := 3 * k; e < 3*k+3; e++ {
			a, b := g.at[g.corner[e]], g.at[g.corner[next(e)]]
			s := orient(a, b, p)
			switch {
			case s < 0 && g.twin[e] >= 0:
				k = g.twin[e] / 3
				continue walk
			case a == p || g.twin[e] < 0 && float64(s) < 2*math.Hypot(float64(b.x-a.x), float64(b.y-a.y)):
				ok = false
			case s == 0:
				on = e
			}
		}
		return k, on, ok
	}
	return k, -1, false
}
