package field

import (
	"context"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// SignedDistance samples the distance in mm to the nearest edge of the outline,
// positive inside (non-zero rule), clamped to -limitMM..limitMM. It is the exact
// Euclidean distance to the polygon, rounded to float32, not that to a mask. An
// outline without edges gives -limitMM everywhere.
//
// Errors: a *finding.Error for a grid that Check refuses, an outline that its
// Check refuses or a limit that is not above 0; the context's error.
//
// The nearest point of a polygon lies inside an edge, and then the sample lies in
// the strip square to that edge, or it is a corner, and then the sample lies in
// the wedge between the strips of its two edges. Only strips and wedges are
// visited, so that the work grows with perimeter times limit and not with samples
// times edges (the closest point transform of Mauch, 2000).
func SignedDistance(ctx context.Context, g Grid, o geom.Outline, limitMM float64) (*Field, error) {
	if err := g.Check(); err != nil {
		return nil, err
	}
	if err := o.Check(); err != nil {
		return nil, err
	}
	if !(limitMM > 0) || limitMM > math.MaxFloat32 {
		return nil, &finding.Error{Key: "distance", Found: fmt.Sprintf("a limit of %g mm", limitMM), Allowed: "more than 0"}
	}
	f := New(g)
	// Nothing lies farther than across the samples and the outline together.
	all := g.Bounds()
	for _, r := range o {
		for _, p := range r {
			all.Add(p)
		}
	}
	reach := min(limitMM, math.Hypot(all.W(), all.H())+1)
	s := newScan(g, o, reach)
	err := forBands(ctx, g.H, 16, func(j0, j1 int) {
		for j := j0; j < j1; j++ {
			row := f.Row(j)
			for i := range row {
				row[i] = float32(limitMM)
			}
		}
		s.distances(f, j0, j1)
		s.signs(f, j0, j1)
	})
	if err != nil {
		return nil, err
	}
	return f, nil
}

// strip is an edge with the samples that may be nearest to its inside.
type strip struct {
	a, b   geom.Vec
	u      geom.Vec // unit vector from a to b
	length float64
}

// wedge is a corner with the samples that may be nearest to it: at or beyond the
// end of the edge before it and at or before the start of the one after it.
type wedge struct {
	v    geom.Vec
	u, w geom.Vec // unit vectors of the edges before and after
}

type span struct{ lo, hi float64 } // in y, mm

// scan holds the strips and wedges of an outline over a grid, with the rows that
// each of them reaches.
type scan struct {
	g      Grid
	reach  float64
	strips []strip
	stripY []span
	edgeY  []span // of the edges alone, for the crossings
	wedges []wedge
	wedgeY []span
}

func newScan(g Grid, o geom.Outline, reach float64) *scan {
	s := &scan{g: g, reach: reach}
	for _, r := range o {
		first := len(s.strips)
		for i, a := range r {
			b := r[(i+1)%len(r)]
			l := b.Sub(a).Len()
			if l == 0 {
				continue
			}
			e := strip{a, b, b.Sub(a).Times(1 / l), l}
			n := math.Abs(e.u.X) * reach
			y := span{min(a.Y, b.Y), max(a.Y, b.Y)}
			s.strips = append(s.strips, e)
			s.edgeY = append(s.edgeY, y)
			s.stripY = append(s.stripY, span{y.lo - n, y.hi + n})
		}
		ring := s.strips[first:]
		for i, e := range ring {
			before := ring[(i+len(ring)-1)%len(ring)]
			c := wedge{e.a, before.u, e.u}
			s.wedges = append(s.wedges, c)
			s.wedgeY = append(s.wedgeY, c.rows(reach))
		}
	}
	return s
}

// rows is how far the wedge extends in y: to its two bounding rays, or to the
// full reach where it holds the vertical direction.
func (c wedge) rows(reach float64) span {
	out := span{c.v.Y, c.v.Y}
	add := func(d geom.Vec) {
		if d.Dot(c.u) >= -1e-9 && d.Dot(c.w) <= 1e-9 {
			out.lo, out.hi = min(out.lo, c.v.Y+d.Y*reach), max(out.hi, c.v.Y+d.Y*reach)
		}
	}
	for _, d := range [...]geom.Vec{{X: -c.u.Y, Y: c.u.X}, {X: c.u.Y, Y: -c.u.X}, {X: -c.w.Y, Y: c.w.X}, {X: c.w.Y, Y: -c.w.X}, {Y: 1}, {Y: -1}} {
		add(d)
	}
	return out
}

// slack widens intervals of samples, and slackMM intervals in mm, against
// rounding (our choice: far above that of a float64). A sample too many does no harm: it gets the distance to a point at
// most that far beyond the end of an edge.
const (
	slack   = 1e-6
	slackMM = 1e-9
)

// clip narrows x0..x1 to where lo <= a + b*x <= hi.
func clip(x0, x1, a, b, lo, hi float64) (float64, float64) {
	lo, hi = lo-slackMM, hi+slackMM
	if math.Abs(b) < 1e-12 { // a line along the row: all of it or nothing
		if a < lo || a > hi {
			return 1, 0
		}
		return x0, x1
	}
	p, q := (lo-a)/b, (hi-a)/b
	if p > q {
		p, q = q, p
	}
	return max(x0, p), min(x1, q)
}

// samples turns an interval of x in pitches from the first sample into indices.
func samples(x0, x1 float64, w int) (int, int) {
	x0, x1 = max(x0-slack, 0), min(x1+slack, float64(w-1))
	if !(x0 <= x1) {
		return 1, 0
	}
	return int(math.Ceil(x0)), int(math.Floor(x1))
}

// distances lowers the rows j0..j1-1 to the distance from the edges.
func (s *scan) distances(f *Field, j0, j1 int) {
	p := s.g.PitchMM
	y0, y1 := s.g.Y0+float64(j0)*p, s.g.Y0+float64(j1-1)*p
	for k, r := range s.stripY {
		if r.hi < y0-slack*p || r.lo > y1+slack*p {
			continue
		}
		e := &s.strips[k]
		for j, end := s.firstRow(r, j0), s.lastRow(r, j1); j <= end; j++ {
			// Along the edge: t = t0 + u.X*x, beside it: d = d0 + u.Y*x.
			rx, ry := s.g.X0-e.a.X, s.g.Y0+float64(j)*p-e.a.Y
			t0, d0 := rx*e.u.X+ry*e.u.Y, rx*e.u.Y-ry*e.u.X
			lo, hi := clip(0, float64(s.g.W-1), t0, e.u.X*p, 0, e.length)
			lo, hi = clip(lo, hi, d0, e.u.Y*p, -s.reach, s.reach)
			i0, i1 := samples(lo, hi, s.g.W)
			if i0 > i1 {
				continue
			}
			lower(f.Row(j)[i0:i1+1], d0+float64(i0)*e.u.Y*p, e.u.Y*p)
		}
	}
	for k, r := range s.wedgeY {
		if r.hi < y0-slack*p || r.lo > y1+slack*p {
			continue
		}
		c := &s.wedges[k]
		for j, end := s.firstRow(r, j0), s.lastRow(r, j1); j <= end; j++ {
			rx, ry := s.g.X0-c.v.X, s.g.Y0+float64(j)*p-c.v.Y
			h := s.reach*s.reach - ry*ry
			if h < 0 {
				continue
			}
			h = math.Sqrt(h)
			lo, hi := clip(0, float64(s.g.W-1), rx, p, -h, h)
			lo, hi = clip(lo, hi, rx*c.u.X+ry*c.u.Y, c.u.X*p, 0, math.Inf(1))
			lo, hi = clip(lo, hi, rx*c.w.X+ry*c.w.Y, c.w.X*p, math.Inf(-1), 0)
			i0, i1 := samples(lo, hi, s.g.W)
			if i0 > i1 {
				continue
			}
			row := f.Row(j)[i0 : i1+1]
			for i := range row {
				x := rx + float64(i0+i)*p
				if d2, z := x*x+ry*ry, float64(row[i]); d2 < z*z {
					row[i] = float32(math.Sqrt(d2))
				}
			}
		}
	}
}

// lower puts |d + i*step| where that is less.
func lower(row []float32, d, step float64) {
	for i := range row {
		v := float32(math.Abs(d + float64(i)*step))
		row[i] = min(row[i], v)
	}
}

func (s *scan) firstRow(r span, j0 int) int {
	return max(j0, int(math.Ceil(max((r.lo-s.g.Y0)/s.g.PitchMM-slack, -1))))
}

func (s *scan) lastRow(r span, j1 int) int {
	return min(j1-1, int(math.Floor(min((r.hi-s.g.Y0)/s.g.PitchMM+slack, float64(s.g.H)))))
}

// signs turns distances negative outside. Along a row the winding number changes
// at each edge that crosses it; an edge takes its lower end and not its upper
// one, so that a corner counts once.
func (s *scan) signs(f *Field, j0, j1 int) {
	type cross struct {
		x   float64 // in pitches from the first sample
		way int
	}
	p := s.g.PitchMM
	y0, y1 := s.g.Y0+float64(j0)*p, s.g.Y0+float64(j1-1)*p
	var near []int32
	for k, r := range s.edgeY {
		if r.hi >= y0 && r.lo <= y1 {
			near = append(near, int32(k))
		}
	}
	var list []cross
	for j := j0; j < j1; j++ {
		y := s.g.Y0 + float64(j)*p
		list = list[:0]
		for _, k := range near {
			e := &s.strips[k]
			if (e.a.Y <= y) == (e.b.Y <= y) {
				continue
			}
			way := 1
			if e.b.Y > e.a.Y {
				way = -1
			}
			x := e.a.X + (e.b.X-e.a.X)*((y-e.a.Y)/(e.b.Y-e.a.Y))
			list = append(list, cross{(x - s.g.X0) / p, way})
		}
		slices.SortFunc(list, func(a, b cross) int {
			switch {
			case a.x < b.x:
				return -1
			case a.x > b.x:
				return 1
			}
			return a.way - b.way
		})
		row, from, winding := f.Row(j), 0, 0
		flip := func(to int) {
			if winding == 0 {
				for i, v := range row[from:to] {
					row[from+i] = 0 - v
				}
			}
			from = to
		}
		for _, c := range list {
			to := int(math.Ceil(min(max(c.x, 0), float64(len(row)))))
			if to > from {
				flip(to)
			}
			winding += c.way
		}
		flip(len(row))
	}
}
