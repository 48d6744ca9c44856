package artwork

import (
	"context"
	"math"
	"slices"
)

// seamShare is how far apart, as a share of the mesh's longest side, two corners may lie
// that are meant to be one (our choice: a hundred roundings of the numbers that mesh files
// hold, a third of a micrometre on 36 mm). seamTriangles bounds the meshes that are searched
// (our choice: 100 MB of edges), and seamEdges their edges without a neighbour (our choice:
// a tenth of a second; loose triangles by the million are no surface with seams).
const (
	seamShare     = 1e-5
	seamTriangles = 1 << 22
	seamEdges     = 1 << 17
)

// holes counts the edges of a mesh's holes and tells where one begins. Seams between corners
// that are meant to be one, which lie so far apart at most, are no holes.
func holes(ctx context.Context, tri Triangles, within float64) (edges int, at [3]float32, err error) {
	alone, err := edgesAlone(ctx, tri)
	if err != nil {
		return 0, at, err
	}
	var corners [][3]float32 // of open edges, as the triangles beside them run
	err = eachEdge(ctx, tri, func(a, b [3]float32) {
		if _, found := slices.BinarySearch(alone, edgeKey(a, b)&^1); found && len(corners) < 2*seamEdges {
			corners = append(corners, a, b)
		}
	})
	if err != nil {
		return 0, at, err
	}
	if len(alone) > seamEdges {
		return len(alone), corners[0], nil
	}
	place := gathered(corners, within)
	net := map[[2]int]int{}
	for k := 0; k < len(place); k += 2 {
		if a, b := place[k], place[k+1]; a < b {
			net[[2]int{a, b}]++
		} else if a > b {
			net[[2]int{b, a}]--
		}
	}
	for k := 0; k < len(place); k += 2 {
		if a, b := place[k], place[k+1]; net[[2]int{min(a, b), max(a, b)}] != 0 {
			if edges++; edges == 1 {
				at = corners[k]
			}
		}
	}
	return edges, at, nil
}

// edgesAlone lists the keys, without direction and in order, of edges that are met more
// often in one direction than in the other.
func edgesAlone(ctx context.Context, tri Triangles) ([]uint64, error) {
	keys := make([]uint64, 0, 3*tri.Count())
	if err := eachEdge(ctx, tri, func(a, b [3]float32) { keys = append(keys, edgeKey(a, b)) }); err != nil {
		return nil, err
	}
	slices.Sort(keys)
	var alone []uint64
	for i := 0; i < len(keys); {
		net, k := 0, keys[i]&^1
		for ; i < len(keys) && keys[i]&^1 == k; i++ {
			net += 1 - 2*int(keys[i]&1)
		}
		if net != 0 {
			alone = append(alone, k)
		}
	}
	return alone, nil
}

// edgeKey names an edge; its lowest bit is its direction.
func edgeKey(a, b [3]float32) uint64 {
	x, y := cornerHash(a), cornerHash(b)
	if x < y {
		return mix(x, y) &^ 1
	}
	return mix(y, x) | 1
}

// eachEdge goes over the edges of all triangles but those without length.
func eachEdge(ctx context.Context, tri Triangles, do func(a, b [3]float32)) error {
	var buf [256][3][3]float32
	for from := 0; from < tri.Count(); {
		if err := ctx.Err(); err != nil {
			return err
		}
		got := tri.Read(buf[:min(len(buf), tri.Count()-from)], from)
		for _, t := range buf[:got] {
			for i, a := range t {
				if b := t[(i+1)%3]; a != b {
					do(a, b)
				}
			}
		}
		from += got
	}
	return nil
}

// perCell bounds the places of one cell that its neighbours are held against (our choice:
// two or three are usual, and a file made to be slow has millions).
const perCell = 8

// gathered numbers places; those that lie within so much of each other along every axis,
// or are joined by others that do, have one number.
func gathered(places [][3]float32, within float64) []int {
	number := make([]int, len(places))
	root := func(k int) int {
		for number[k] != k {
			number[k] = number[number[k]]
			k = number[k]
		}
		return k
	}
	cells := map[[3]int64][]int{} // as wide as that: all in one belong together
	for k, p := range places {
		number[k] = k
		var at [3]int64
		for i, v := range p {
			at[i] = int64(math.Floor(float64(v) / within))
		}
		for d := range 27 {
			near := [3]int64{at[0] + int64(d%3) - 1, at[1] + int64(d/3%3) - 1, at[2] + int64(d/9) - 1}
			for _, o := range cells[near] {
				q := places[o]
				if math.Abs(float64(p[0]-q[0])) <= within && math.Abs(float64(p[1]-q[1])) <= within && math.Abs(float64(p[2]-q[2])) <= within {
					a, b := root(k), root(o)
					number[max(a, b)] = min(a, b)
				}
			}
		}
		if in := cells[at]; len(in) < perCell && !slices.ContainsFunc(in, func(o int) bool { return places[o] == p }) {
			cells[at] = append(in, k)
		}
	}
	for k := range number {
		number[k] = root(k)
	}
	return number
}
