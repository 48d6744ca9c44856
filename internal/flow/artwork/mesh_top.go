package artwork

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// View is how a mesh is looked at: turned so that Up looks up, scaled, then turned
// about the upright axis, centred on the origin and set down on z = 0.
type View struct {
	Up       string  // x, -x, y, -y, z or -z; "" is z
	WidthMM  float64 // size in x before TurnDeg; 0 leaves it free
	HeightMM float64 // size in y before TurnDeg; with WidthMM the smaller scale wins; 0 leaves it free
	DepthMM  float64 // size in z; 0 keeps the proportions
	TurnDeg  float64 // counter-clockwise, seen from above
	PitchMM  float64 // of the samples, > 0
}

// Top is a mesh seen from above. All grids are the same; samples lie on multiples of
// the pitch, the middle of the mesh on the origin.
type Top struct {
	// Height is the highest point of the mesh over each sample in mm, 0 off the mesh.
	// It is the exact height of the triangle over the sample, no average.
	Height *field.Field
	// Inside marks the samples under the mesh's silhouette, row-major like Height. A
	// sample on the edge of the silhouette belongs to it on the left and lower side.
	Inside []bool
	// Undercut is the height of the hollows that the top view fills, in mm: over each
	// sample the top less the length of the upright line that runs inside the mesh.
	// Meaningless when the mesh is not closed.
	Undercut *field.Field

	WidthMM, DepthMM, HeightMM float64 // size in x, y, z as placed, turned
	Scale                      float64 // mm of width for one unit of the mesh
	Triangles                  int
	Closed                     bool    // each edge is met as often in one direction as in the other, see also seamShare
	VolumeMM3                  float64 // signed volume of the mesh as placed; meaningless unless Closed
	UndercutMM3                float64 // volume of the hollows filled; meaningless unless Closed
	Deepest                    Undercut
	Findings                   []finding.Finding
}

// maxSide bounds a grid's width and height, so that products of two coordinates stay
// inside an int64: 15 bits beside the 15 bits of a sample's fraction (see draw).
const maxSide = 1 << 15

// maxWork bounds the samples that all triangles' bounding boxes cover together (our
// choice: about twenty seconds on one core). A closed mesh needs a few times its grid; a
// thousand crossing sheets, or a hostile file, need more.
const maxWork = 1 << 34

// TopView samples the top of a mesh on a grid. Every sample is decided by exact
// integer arithmetic on corners rounded to 1/32768 of the pitch (under a nanometre at
// 25 µm), so two triangles that share an edge never leave a crack and never both
// cover a sample. The result does not depend on the number of cores. `name` is the
// mesh's name in errors and findings. Memory beside the triangles: 9 bytes a sample.
//
// Errors: no or non-finite triangles, a mesh without extent seen from above, a grid
// of more than field.MaxSamples or maxSide, too many samples to draw, ctx ended.
func TopView(ctx context.Context, name string, tri Triangles, v View) (*Top, error) {
	turn, err := v.turn(name)
	if err != nil {
		return nil, err
	}
	s, err := survey(ctx, name, tri, turn)
	if err != nil {
		return nil, err
	}
	p, err := v.place(name, turn, s)
	if err != nil {
		return nil, err
	}
	top := &Top{
		Height: field.New(p.grid), Undercut: field.New(p.grid), Inside: make([]bool, p.grid.W*p.grid.H),
		WidthMM: p.size[0], DepthMM: p.size[1], HeightMM: p.size[2],
		Scale: p.scaleXY, Triangles: tri.Count(), Closed: s.closed(),
		VolumeMM3: s.volume * p.scaleXY * p.scaleXY * p.scaleZ,
	}
	where := "" // is the mesh open
	if !top.Closed && tri.Count() <= seamTriangles {
		n, p, err := holes(ctx, tri, seamShare*s.longest())
		if err != nil {
			return nil, err
		}
		top.Closed = n == 0
		where = fmt.Sprintf(" along %d edges, the first at x %.4g, y %.4g, z %.4g of the file", n, p[0], p[1], p[2])
	}
	if err := draw(ctx, tri, p, top); err != nil {
		return nil, err
	}
	top.judge(name, where)
	if top.Closed && top.UndercutMM3 > small*top.VolumeMM3 && top.VolumeMM3 > 0 {
		if top.Deepest, err = top.deepest(ctx); err != nil {
			return nil, err
		}
	}
	return top, nil
}

// small is the share of a mesh's volume that is not worth a word, since walls that are
// upright but for rounding give a sample here and there of any height between bottom and
// top.
const small = 1e-3

// judge sums the undercut and words what the person should know; where says where an
// open mesh is open.
func (t *Top) judge(name, where string) {
	if !t.Closed {
		t.Findings = append(t.Findings, finding.Finding{Severity: finding.Care, Where: name,
			What: "the mesh is open" + where + ", so its volume and its undercut cannot be told; its top view is used as it is",
			Do:   "close the mesh's holes, or check the picture of the piece for gaps"})
		return
	}
	sum, below := 0.0, 0.0 // below: where the lines run longer inside the mesh than the mesh is high
	for _, u := range t.Undercut.Z {
		sum += float64(u)
		below += math.Min(0, float64(u))
	}
	area := t.Height.PitchMM * t.Height.PitchMM
	t.UndercutMM3, below = sum*area, below*area
	switch {
	case t.VolumeMM3 < 0:
		t.Findings = append(t.Findings, finding.Finding{Severity: finding.Care, Where: name,
			What: "the mesh is inside out, so its undercut cannot be told; its top view is used as it is",
			Do:   "flip the mesh's normals"})
	case below < -small*t.VolumeMM3:
		t.Findings = append(t.Findings, finding.Finding{Severity: finding.Care, Where: name,
			What: fmt.Sprintf("shells of the mesh overlap, so the undercut of %.1f mm³ is too small", t.UndercutMM3),
			Do:   "unite the shells, or check the picture of the piece"})
	}
}

// turn is the rotation from the file's axes to the view's, rows x, y, z, without TurnDeg.
func (v View) turn(name string) ([3][3]float64, error) {
	switch v.Up {
	case "z", "":
		return [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}, nil
	case "-z":
		return [3][3]float64{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}}, nil
	case "y":
		return [3][3]float64{{1, 0, 0}, {0, 0, -1}, {0, 1, 0}}, nil
	case "-y":
		return [3][3]float64{{1, 0, 0}, {0, 0, 1}, {0, -1, 0}}, nil
	case "x":
		return [3][3]float64{{0, 1, 0}, {0, 0, 1}, {1, 0, 0}}, nil
	case "-x":
		return [3][3]float64{{0, -1, 0}, {0, 0, 1}, {-1, 0, 0}}, nil
	}
	return [3][3]float64{}, &finding.Error{File: name, Key: "up", Found: fmt.Sprintf("%q", v.Up),
		Allowed: "x, -x, y, -y, z or -z", Do: "name the direction that looks up out of the chocolate"}
}

// placed is a view made concrete for one mesh: sample coordinates (in samples from
// the grid's first) and height are m * corner + t.
type placed struct {
	grid            field.Grid
	m               [3][3]float64
	t               [3]float64
	scaleXY, scaleZ float64
	size            [3]float64
}

func (v View) place(name string, turn [3][3]float64, s *surveyed) (*placed, error) {
	refuse := func(key, found, allowed, do string) error {
		return &finding.Error{File: name, Key: key, Found: found, Allowed: allowed, Do: do}
	}
	for _, q := range []struct {
		key string
		v   float64
	}{{"width_mm", v.WidthMM}, {"height_mm", v.HeightMM}, {"depth_mm", v.DepthMM}} {
		if !(q.v >= 0 && q.v <= 1e6) {
			return nil, refuse(q.key, fmt.Sprintf("%g", q.v), "0 (free) to 1e6", "give a size in mm")
		}
	}
	if !(v.PitchMM > 0 && v.PitchMM < 1e6) || math.IsNaN(v.TurnDeg) || math.Abs(v.TurnDeg) > 1e6 {
		return nil, refuse("", fmt.Sprintf("pitch %g mm, turn %g°", v.PitchMM, v.TurnDeg), "a pitch above 0 and a finite turn", "")
	}
	w, h, d := s.hi[0]-s.lo[0], s.hi[1]-s.lo[1], s.hi[2]-s.lo[2]
	if !(w > 0 && h > 0) {
		return nil, refuse("", fmt.Sprintf("seen from above the mesh is %g by %g: it has no area", w, h), "", "choose another direction for up")
	}
	p := &placed{scaleXY: math.Inf(1)}
	if v.WidthMM > 0 {
		p.scaleXY = v.WidthMM / w
	}
	if v.HeightMM > 0 {
		p.scaleXY = math.Min(p.scaleXY, v.HeightMM/h)
	}
	if math.IsInf(p.scaleXY, 1) {
		p.scaleXY = 1
	}
	p.scaleZ = p.scaleXY
	if v.DepthMM > 0 && d > 0 {
		p.scaleZ = v.DepthMM / d
	}

	// The box turned about its middle covers the mesh turned; corners of the box.
	sin, cos := sinCos(v.TurnDeg)
	c := [2]float64{(s.lo[0] + s.hi[0]) / 2, (s.lo[1] + s.hi[1]) / 2}
	half := geom.Vec{
		X: p.scaleXY * (math.Abs(cos)*w + math.Abs(sin)*h) / 2,
		Y: p.scaleXY * (math.Abs(sin)*w + math.Abs(cos)*h) / 2,
	}
	p.size = [3]float64{2 * half.X, 2 * half.Y, p.scaleZ * d}
	edge := v.PitchMM // a rim of samples off the mesh
	side := math.Max(half.X, half.Y)*2/v.PitchMM + 6
	if n := (2*half.X/v.PitchMM + 6) * (2*half.Y/v.PitchMM + 6); side > maxSide || n > field.MaxSamples {
		return nil, refuse("", fmt.Sprintf("the mesh is %.4g by %.4g mm and needs %.3g samples of %g mm", 2*half.X, 2*half.Y, n, v.PitchMM),
			fmt.Sprintf("at most %d samples, %d on a side", field.MaxSamples, maxSide),
			"give a smaller width_mm or height_mm; a file without units may be in inches or metres")
	}
	p.grid = field.Around(geom.Rect{
		Min: geom.Vec{X: -half.X - edge, Y: -half.Y - edge},
		Max: geom.Vec{X: half.X + edge, Y: half.Y + edge}}, v.PitchMM)

	k := p.scaleXY / v.PitchMM
	if work := k*k*s.boxArea*2 + k*s.boxHeight + 4*float64(s.n); work > maxWork {
		return nil, refuse("", fmt.Sprintf("the mesh's triangles cover %.2g samples one over another", work),
			fmt.Sprintf("at most %.2g", float64(maxWork)), "make the mesh simpler, or the piece smaller")
	}
	for a := range 3 {
		x, y := turn[0][a], turn[1][a]
		p.m[0][a] = k * (cos*x - sin*y)
		p.m[1][a] = k * (sin*x + cos*y)
		p.m[2][a] = p.scaleZ * turn[2][a]
	}
	p.t[0] = -k*(cos*c[0]-sin*c[1]) - p.grid.X0/v.PitchMM
	p.t[1] = -k*(sin*c[0]+cos*c[1]) - p.grid.Y0/v.PitchMM
	p.t[2] = -p.scaleZ * s.lo[2]
	return p, nil
}

// sinCos is exact for whole quarter turns.
func sinCos(deg float64) (sin, cos float64) {
	switch math.Mod(math.Mod(deg, 360)+360, 360) {
	case 0:
		return 0, 1
	case 90:
		return 1, 0
	case 180:
		return 0, -1
	case 270:
		return -1, 0
	}
	return math.Sincos(deg * math.Pi / 180)
}
