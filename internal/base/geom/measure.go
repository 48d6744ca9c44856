package geom

// Perimeter is the length of all rings in mm.
func (o Outline) Perimeter() float64 {
	var s float64
	for _, r := range o {
		s += r.Perimeter()
	}
	return s
}

// Perimeter is the length of the closed ring in mm.
func (r Ring) Perimeter() float64 {
	var s float64
	for i, p := range r {
		s += r[(i+1)%len(r)].Sub(p).Len()
	}
	return s
}

// Centroid is the centre of area of a settled outline; for an outline without
// area it is the centre of its bounds, and the origin when it has no points.
func (o Outline) Centroid() Vec {
	b := o.Bounds()
	if b.Empty() {
		return Vec{}
	}
	base := b.Center() // near the shape, so that the sums do not cancel
	var area float64
	var m Vec
	for _, r := range o {
		for i := range r {
			p, q := r[i].Sub(base), r[(i+1)%len(r)].Sub(base)
			c := p.Cross(q)
			area += c
			m = m.Add(p.Add(q).Times(c))
		}
	}
	if area == 0 {
		return base
	}
	return base.Add(m.Times(1 / (3 * area)))
}

// Winding is how often the outline goes counter-clockwise around p. On an edge it
// is the value of one of its sides: a point belongs to the edge on its left or
// below it, so that every point of the plane is counted once.
func (o Outline) Winding(p Vec) int {
	w := 0
	for _, r := range o {
		w += r.winding(p)
	}
	return w
}

func (r Ring) winding(p Vec) int {
	w := 0
	if len(r) == 0 {
		return 0
	}
	a := r[len(r)-1]
	for _, b := range r {
		if (a.Y <= p.Y) != (b.Y <= p.Y) {
			side := b.Sub(a).Cross(p.Sub(a))
			if b.Y > a.Y && side > 0 {
				w++
			} else if b.Y < a.Y && side < 0 {
				w--
			}
		}
		a = b
	}
	return w
}

// Contains reports whether p lies inside by the non-zero rule.
func (o Outline) Contains(p Vec) bool { return o.Winding(p) != 0 }
