package geom

import "math"

// The basic shapes are settled outlines centred on the origin; sizes are overall
// sizes in mm. A size that is not above zero, or is no number, gives an empty
// outline. Points lie on the curve, so that widths and depths are exact.

// Circle of radius r.
func Circle(r float64) Outline { return Ellipse(2*r, 2*r) }

// Ellipse of width w and depth d.
func Ellipse(w, d float64) Outline {
	if !sized(w, d) {
		return nil
	}
	// Whole quarters, so that the four outermost points are points of the ring.
	n := 4 * arcSteps(math.Max(w, d)/2, math.Pi/2)
	r := make(Ring, n)
	for i := range r {
		r[i] = Vec{w / 2 * cosTurn(i, n), d / 2 * cosTurn(i-n/4, n)}
	}
	return Outline{r}
}

// cosTurn is the cosine of i/n of a turn, exact at quarters; n is a multiple of 4.
func cosTurn(i, n int) float64 {
	i = ((i % n) + n) % n
	switch i {
	case 0:
		return 1
	case n / 4, 3 * n / 4:
		return 0
	case n / 2:
		return -1
	}
	return math.Cos(2 * math.Pi * float64(i) / float64(n))
}

// Rectangle of width w and depth d.
func Rectangle(w, d float64) Outline {
	if !sized(w, d) {
		return nil
	}
	x, y := w/2, d/2
	return Outline{{{-x, -y}, {x, -y}, {x, y}, {-x, y}}}
}

// RoundedRectangle of width w and depth d with corner radius r, which is taken
// no larger than half the shorter side.
func RoundedRectangle(w, d, r float64) Outline {
	if !sized(w, d) {
		return nil
	}
	if !(r > 0) {
		return Rectangle(w, d)
	}
	r = math.Min(r, math.Min(w, d)/2)
	return Outline{rounded(Rectangle(w, d)[0], r)}
}

// Polygon is a regular polygon of n >= 3 corners on a circle of the given radius,
// one side level at the front, its corners rounded with cornerRadius (taken no
// larger than the inscribed circle's radius).
func Polygon(n int, radius, cornerRadius float64) Outline {
	if n < 3 || !sized(radius, radius) {
		return nil
	}
	ring := make(Ring, n)
	for i := range ring {
		s, c := math.Sincos(-math.Pi/2 + math.Pi*float64(2*i+1)/float64(n))
		ring[i] = Vec{radius * c, radius * s}
	}
	if !(cornerRadius > 0) {
		return Outline{ring}
	}
	return Outline{rounded(ring, math.Min(cornerRadius, radius*math.Cos(math.Pi/float64(n))))}
}

// rounded puts an arc of radius r into each corner of a convex ring. The caller
// takes r no larger than the inscribed circle.
func rounded(ring Ring, r float64) Ring {
	var out Ring
	for i, p := range ring {
		in := p.Sub(ring[(i+len(ring)-1)%len(ring)])
		on := ring[(i+1)%len(ring)].Sub(p)
		turn := math.Atan2(in.Cross(on), in.Dot(on))
		cut := r * math.Tan(turn/2)
		u, v := in.Times(1/in.Len()), on.Times(1/on.Len())
		centre := p.Sub(u.Times(cut)).Add(Vec{-u.Y, u.X}.Times(r))
		from := Vec{u.Y, -u.X} // from the centre to the start of the arc, by r
		n := arcSteps(r, turn)
		for k := 0; k <= n; k++ {
			q := Vec{}
			switch k {
			case 0:
				q = p.Sub(u.Times(cut))
			case n:
				q = p.Add(v.Times(cut))
			default:
				s, c := math.Sincos(turn * float64(k) / float64(n))
				q = centre.Add(Vec{from.X*c - from.Y*s, from.X*s + from.Y*c}.Times(r))
			}
			if m := len(out); m == 0 || q.Sub(out[m-1]).Len() > 2*SettleMM {
				out = append(out, q)
			}
		}
	}
	for len(out) > 3 && out[0].Sub(out[len(out)-1]).Len() <= 2*SettleMM {
		out = out[:len(out)-1]
	}
	return out
}

// Heart of width w and depth d, its tip at the front.
func Heart(w, d float64) Outline {
	if !sized(w, d) {
		return nil
	}
	// Half a heart in a box of two units, drawn for this program: from the tip up
	// the flank, over the lobe, down into the cleft.
	draw := func(to Affine) Ring {
		b := NewPath(to)
		b.MoveTo(Vec{0, -1})
		b.CubicTo(Vec{0.30, -0.62}, Vec{1.00, -0.16}, Vec{1.00, 0.42})
		b.CubicTo(Vec{1.00, 0.76}, Vec{0.78, 1.00}, Vec{0.50, 1.00})
		b.CubicTo(Vec{0.26, 1.00}, Vec{0.08, 0.84}, Vec{0, 0.62})
		b.CubicTo(Vec{-0.08, 0.84}, Vec{-0.26, 1.00}, Vec{-0.50, 1.00})
		b.CubicTo(Vec{-0.78, 1.00}, Vec{-1.00, 0.76}, Vec{-1.00, 0.42})
		b.CubicTo(Vec{-1.00, -0.16}, Vec{-0.30, -0.62}, Vec{0, -1})
		o, err := b.Outline()
		if err != nil || len(o) != 1 {
			return nil
		}
		return o[0]
	}
	ring := draw(Scale(w/2, d/2))
	if ring == nil {
		return nil
	}
	return Outline{ring}
}

func sized(w, d float64) bool { return w > 0 && d > 0 && w <= MaxMM && d <= MaxMM }
