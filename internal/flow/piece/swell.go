package piece

import (
	"context"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// swell is the shape of a top that is not flat: 0 along the rim, 1 at its highest.
//
// It is a membrane blown up over the rim, the solution u of Poisson's equation
// Δu = -1 that vanishes there, because its contours are smooth whatever the rim's
// shape; a height by distance from the rim would show a ridge along the middle
// line and a crease in every corner. Over a circle or an ellipse u is exactly a
// paraboloid, 1 - x²/a² - y²/b².
//
// u is known on a coarse grid (some 32 cells from rim to middle) and carried to the
// samples by uniform cubic B-splines, which are smooth to the second derivative.
type swell struct {
	u, climb *field.Field // u and its slope inwards, square to the rim, in 1/mm; both on the coarse grid
}

// The coarse grid of the membrane. Our choice: it is smooth, and cubic splines between 32
// samples follow it closely.
const (
	swellCells  = 32   // from the rim to the middle
	swellSide   = 400  // most cells along a side
	swellRounds = 4000 // of the solver at most
)

// newSwell solves the membrane over the part of o that lies more than rimMM inside.
// reachMM is the greatest distance inside o.
func newSwell(ctx context.Context, o geom.Outline, rimMM, reachMM float64) (*swell, error) {
	b := o.Bounds()
	pitch := math.Max((reachMM-rimMM)/swellCells, math.Max(b.W(), b.H())/swellSide)
	g := field.Around(b.Grow(4*pitch), pitch)
	d, err := field.SignedDistance(ctx, g, o, reachMM+16*pitch)
	if err != nil {
		return nil, err
	}
	for i := range d.Z {
		d.Z[i] -= float32(rimMM)
	}
	u, err := membrane(ctx, d)
	if err != nil {
		return nil, err
	}
	extend(u, d)
	// A B-spline through the samples of a function f reads f + p²/6 Δf, and Δu = -1.
	// Its highest point is a sample's own value then, as long as u is smooth.
	highest := float32(0)
	for _, v := range u.Z {
		highest = max(highest, v)
	}
	for i := range u.Z {
		u.Z[i] = (u.Z[i] + float32(pitch*pitch/6)) / highest
	}
	s := &swell{u: u, climb: field.New(g)}
	for j := 1; j < g.H-1; j++ {
		for i := 1; i < g.W-1; i++ {
			ux, uy := central(u, i, j)
			dx, dy := central(d, i, j)
			s.climb.Z[j*g.W+i] = float32(ux*dx + uy*dy)
		}
	}
	return s, nil
}

// membrane solves Δu = -1 where d > 0 with u = 0 at d = 0, on d's grid, by successive
// over-relaxation. Beside the rim the arms of the five-point star end at the rim
// (G. H. Shortley, R. Weller, "The numerical solution of Laplace's equation",
// J. Appl. Phys. 9 (1938) 334), so that quadratic solutions come out exactly.
func membrane(ctx context.Context, d *field.Field) (*field.Field, error) {
	type node struct {
		at                       int
		west, east, south, north float64 // weights of the neighbours, 0 where the rim is nearer
		right                    float64
	}
	w := d.W
	h := d.PitchMM
	var nodes []node
	arm := func(from, to int) (float64, bool) {
		a, b := float64(d.Z[from]), float64(d.Z[to])
		if b > 0 {
			return h, true
		}
		// No arm is shorter than a hundredth of the pitch: keeps weights tame, moves the rim by less than that.
		return h * math.Max(0.01, a/(a-b)), false
	}
	for j := 1; j < d.H-1; j++ {
		for i := 1; i < w-1; i++ {
			k := j*w + i
			if d.Z[k] <= 0 {
				continue
			}
			aw, inW := arm(k, k-1)
			ae, inE := arm(k, k+1)
			as, inS := arm(k, k-w)
			an, inN := arm(k, k+w)
			diagonal := 2/(aw*ae) + 2/(as*an)
			n := node{at: k, right: 1 / diagonal}
			weight := func(in bool, mine, other float64) float64 {
				if !in {
					return 0
				}
				return 2 / (mine * (mine + other)) / diagonal
			}
			n.west, n.east = weight(inW, aw, ae), weight(inE, ae, aw)
			n.south, n.north = weight(inS, as, an), weight(inN, an, as)
			nodes = append(nodes, n)
		}
	}
	u := make([]float64, len(d.Z))
	// The factor that is best for a square of so many cells (D. M. Young, 1954).
	omega := 2 / (1 + math.Sin(math.Pi/math.Max(8, math.Sqrt(float64(len(nodes))))))
	for round := range swellRounds {
		if round%16 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		change, highest := 0.0, 0.0
		for i := range nodes {
			n := &nodes[i]
			k := n.at
			v := n.right + n.west*u[k-1] + n.east*u[k+1] + n.south*u[k-w] + n.north*u[k+w]
			step := omega * (v - u[k])
			u[k] += step
			change, highest = math.Max(change, math.Abs(step)), math.Max(highest, u[k])
		}
		if change <= 1e-8*highest {
			break
		}
	}
	out := field.New(d.Grid)
	for k, v := range u {
		out.Z[k] = float32(v)
	}
	return out, nil
}

// extend continues u beyond the rim by the parabola through the rim and two points
// inside, along the direction in which the distance d grows, so that splines and
// slopes run smoothly through the rim. Only a strip of a few cells matters.
func extend(u, d *field.Field) {
	p := u.PitchMM
	near, far := 1.5*p, 3*p // so far inside that bilinear reading meets no sample outside
	for j := 1; j < u.H-1; j++ {
		for i := 1; i < u.W-1; i++ {
			v := float64(d.At(i, j))
			if v > 0 || v < -4*p {
				continue
			}
			gx, gy := central(d, i, j)
			n := math.Hypot(gx, gy)
			if n < 0.1 { // no direction is the nearest
				continue
			}
			at := u.XY(i, j)
			read := func(s float64) float64 {
				s = (s - v) / n
				return math.Max(0, float64(u.SampleOrZero(at.X+s*gx, at.Y+s*gy)))
			}
			b1, b2 := read(near)/near, read(far)/far // mean slopes from the rim
			bend := (b2 - b1) / (far - near)
			u.Z[j*u.W+i] = float32(v * (b1 - bend*near + bend*v))
		}
	}
}

// central is the gradient at a sample that has neighbours on all sides.
func central(f *field.Field, i, j int) (x, y float64) {
	q := 2 * f.PitchMM
	return float64(f.At(i+1, j)-f.At(i-1, j)) / q, float64(f.At(i, j+1)-f.At(i, j-1)) / q
}

// spline reads a coarse field on a fine grid by uniform cubic B-splines, row by row.
type spline struct {
	f    *field.Field
	fine field.Grid
	at   []int        // first of four columns for each fine column
	w    [][4]float32 // their weights
}

func newSpline(f *field.Field, fine field.Grid) *spline {
	s := &spline{f: f, fine: fine, at: make([]int, fine.W), w: make([][4]float32, fine.W)}
	for i := range s.at {
		s.at[i], s.w[i] = splineWeights((fine.X0+float64(i)*fine.PitchMM-f.X0)/f.PitchMM, f.W)
	}
	return s
}

// row fills dst with row j of the fine grid; line is room for one coarse row.
func (s *spline) row(j int, line, dst []float32) {
	at, w := splineWeights((s.fine.Y0+float64(j)*s.fine.PitchMM-s.f.Y0)/s.f.PitchMM, s.f.H)
	r0, r1, r2, r3 := s.f.Row(at), s.f.Row(at+1), s.f.Row(at+2), s.f.Row(at+3)
	for i := range line {
		line[i] = w[0]*r0[i] + w[1]*r1[i] + w[2]*r2[i] + w[3]*r3[i]
	}
	for i := range dst {
		c, v := line[s.at[i]:s.at[i]+4], &s.w[i]
		dst[i] = v[0]*c[0] + v[1]*c[1] + v[2]*c[2] + v[3]*c[3]
	}
}

func splineWeights(x float64, n int) (int, [4]float32) {
	i := min(max(int(math.Floor(x)), 1), n-3)
	t := x - float64(i)
	return i - 1, [4]float32{
		float32((1 - t) * (1 - t) * (1 - t) / 6),
		float32((3*t*t*t - 6*t*t + 4) / 6),
		float32((-3*t*t*t + 3*t*t + 3*t + 1) / 6),
		float32(t * t * t / 6),
	}
}

// plateau is the share of the membrane's height from which a cushioned top is level (our
// choice: it looks like a cushion, and art finds level ground).
const plateau = 0.5

// cushion is a cushioned top's height from the membrane's: level at the rim and on
// the plateau, with curvature that begins and ends softly (a quintic step).
func cushion(u float64) float64 {
	t := math.Max(0, math.Min(1, u/plateau))
	return t * t * t * (10 + t*(6*t-15))
}

// dome turns the membrane's height into that of a domed top whose rise and whose
// radius are given: over a circle a spherical cap, over an ellipse its affine image.
// A dome that rises more than its radius is half an ellipsoid.
func dome(riseMM, radiusMM float64) func(u float64) (height, slope float64) {
	h := math.Min(riseMM/radiusMM, 1) // with radius 1
	r := (1 + h*h) / (2 * h)          // of the sphere
	const steepest = 50               // of the line that continues it below the rim
	edge := math.Sqrt(math.Max(0, r*r-1))
	below := math.Min(steepest, 1/(2*h*math.Max(edge, 1e-9)))
	return func(u float64) (float64, float64) {
		if u <= 0 {
			return below * u, below
		}
		s := math.Sqrt(math.Max(r*r-1+u, 1e-12))
		return (s - edge) / h, math.Min(steepest, 1/(2*h*s))
	}
}
