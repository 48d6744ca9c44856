package mesh

// triangulation is a set of triangles over points of the plan grid with the links
// between neighbours. Half-edge e runs from corner[e] to corner[next(e)]; triangle k
// owns half-edges 3k, 3k+1, 3k+2, counter-clockwise; twin[e] is the same edge seen
// from the neighbour, or -1 at the border.
type triangulation struct {
	at     []point
	corner []int32
	twin   []int32
	stack  []int32 // half-edges waiting in legalise
}

func next(e int32) int32 {
	if e%3 == 2 {
		return e - 2
	}
	return e + 1
}

func prev(e int32) int32 {
	if e%3 == 0 {
		return e + 2
	}
	return e - 1
}

// set writes triangle k with its corners and what lies across a-b, b-c and c-a.
func (g *triangulation) set(k, a, b, c, ab, bc, ca int32) {
	e := 3 * k
	g.corner[e], g.corner[e+1], g.corner[e+2] = a, b, c
	g.twin[e], g.twin[e+1], g.twin[e+2] = ab, bc, ca
	if ab >= 0 {
		g.twin[ab] = e
	}
	if bc >= 0 {
		g.twin[bc] = e + 1
	}
	if ca >= 0 {
		g.twin[ca] = e + 2
	}
}

// grow adds n empty triangles and gives the number of the first.
func (g *triangulation) grow(n int) int32 {
	k := int32(len(g.corner) / 3)
	for range 3 * n {
		g.corner = append(g.corner, 0)
		g.twin = append(g.twin, -1)
	}
	return k
}

// split puts vertex p strictly inside triangle k and restores the Delaunay property.
// Every triangle that changes is given to touched.
func (g *triangulation) split(k, p int32, touched func(int32)) {
	e := 3 * k
	a, b, c := g.corner[e], g.corner[e+1], g.corner[e+2]
	ab, bc, ca := g.twin[e], g.twin[e+1], g.twin[e+2]
	k1 := g.grow(2)
	k2 := k1 + 1
	g.set(k, a, b, p, ab, 3*k1+2, 3*k2+1)
	g.set(k1, b, c, p, bc, 3*k2+2, 3*k+1)
	g.set(k2, c, a, p, ca, 3*k+2, 3*k1+1)
	touched(k)
	touched(k1)
	touched(k2)
	g.stack = append(g.stack[:0], 3*k, 3*k1, 3*k2)
	g.legalise(p, touched)
}

// splitEdge puts vertex p on the inner edge e and restores the Delaunay property.
func (g *triangulation) splitEdge(e, p int32, touched func(int32)) {
	f := g.twin[e]
	a, b, c, d := g.corner[e], g.corner[f], g.corner[prev(e)], g.corner[prev(f)]
	bc, ca := g.twin[next(e)], g.twin[prev(e)]
	ad, db := g.twin[next(f)], g.twin[prev(f)]
	k, kf := e/3, f/3
	k1 := g.grow(2)
	k2 := k1 + 1
	g.set(k, c, a, p, ca, 3*kf+2, 3*k1+1)
	g.set(k1, b, c, p, bc, 3*k+2, 3*k2+1)
	g.set(kf, a, d, p, ad, 3*k2+2, 3*k+1)
	g.set(k2, d, b, p, db, 3*k1+2, 3*kf+1)
	touched(k)
	touched(k1)
	touched(kf)
	touched(k2)
	g.stack = append(g.stack[:0], 3*k, 3*k1, 3*kf, 3*k2)
	g.legalise(p, touched)
}

// legalise flips edges on the stack, all of them opposite to p, until every one is
// locally Delaunay.
func (g *triangulation) legalise(p int32, touched func(int32)) {
	pp := g.at[p]
	for len(g.stack) > 0 {
		e := g.stack[len(g.stack)-1]
		g.stack = g.stack[:len(g.stack)-1]
		f := g.twin[e]
		if f < 0 {
			continue
		}
		a, b, d := g.corner[e], g.corner[f], g.corner[prev(f)]
		if inCircle(g.at[a], g.at[b], pp, g.at[d]) <= 0 {
			continue
		}
		k, kf := e/3, f/3
		g.flip(e)
		touched(k)
		touched(kf)
		g.stack = append(g.stack, 3*k, 3*kf)
	}
}

// flip replaces the inner edge e = ab of triangles abc and bad by cd: afterwards
// e's triangle is adc and the neighbour's is dbc, corners in this order.
func (g *triangulation) flip(e int32) {
	f := g.twin[e]
	a, b, c, d := g.corner[e], g.corner[f], g.corner[prev(e)], g.corner[prev(f)]
	bc, ca := g.twin[next(e)], g.twin[prev(e)]
	ad, db := g.twin[next(f)], g.twin[prev(f)]
	k, kf := e/3, f/3
	g.set(k, a, d, c, ad, 3*kf+2, ca)
	g.set(kf, d, b, c, db, bc, 3*k+1)
}

// settle makes every inner edge locally Delaunay; borders stay.
func (g *triangulation) settle() {
	stack := g.stack[:0]
	for e := range g.twin {
		if int32(e) < g.twin[e] {
			stack = append(stack, int32(e))
		}
	}
	for len(stack) > 0 {
		e := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		f := g.twin[e]
		if f < 0 {
			continue
		}
		a, b, c, d := g.corner[e], g.corner[f], g.corner[prev(e)], g.corner[prev(f)]
		if inCircle(g.at[a], g.at[b], g.at[c], g.at[d]) <= 0 {
			continue
		}
		k, kf := e/3, f/3
		g.flip(e)
		stack = append(stack, 3*k, 3*k+2, 3*kf, 3*kf+1)
	}
	g.stack = stack
}

// locate walks from triangle k to the one that holds p. It gives an edge when p lies
// on one, else -1. The triangulation must be Delaunay (then the walk cannot circle)
// and cover p.
func (g *triangulation) locate(k int32, p point) (triangle, edge int32) {
walk:
	for {
		edge = -1
		for e := 3 * k; e < 3*k+3; e++ {
			s := orient(g.at[g.corner[e]], g.at[g.corner[next(e)]], p)
			if s < 0 && g.twin[e] >= 0 {
				k = g.twin[e] / 3
				continue walk
			}
			if s == 0 {
				edge = e
			}
		}
		return k, edge
	}
}
