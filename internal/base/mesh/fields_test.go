package mesh

import (
	"math"
	"slices"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// sampled is f at every sample of the grid.
func sampled(g field.Grid, f func(x, y float64) float64) *field.Field {
	out := field.New(g)
	for j := range g.H {
		row := out.Row(j)
		for i := range row {
			p := g.XY(i, j)
			row[i] = float32(f(p.X, p.Y))
		}
	}
	return out
}

// circle is a regular polygon whose edges lie within geom.FlattenMM of the circle.
func circle(x, y, radius float64) geom.Ring {
	n := int(math.Ceil(math.Pi / math.Acos(1-geom.FlattenMM/radius)))
	return polygon(x, y, radius, max(n, 8))
}

func polygon(x, y, radius float64, n int) geom.Ring {
	r := make(geom.Ring, n)
	for k := range r {
		s, c := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		r[k] = geom.Vec{X: x + radius*c, Y: y + radius*s}
	}
	return r
}

func rectangle(x0, y0, x1, y1 float64) geom.Ring {
	return geom.Ring{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

// roundedRectangle is centred on the origin.
func roundedRectangle(w, h, radius float64) geom.Ring {
	n := int(math.Ceil(math.Pi / 4 / math.Acos(1-geom.FlattenMM/radius)))
	var r geom.Ring
	for q, c := range [4]geom.Vec{{X: 1, Y: 1}, {X: -1, Y: 1}, {X: -1, Y: -1}, {X: 1, Y: -1}} {
		for k := 0; k <= n; k++ {
			s, co := math.Sincos(math.Pi / 2 * (float64(q) + float64(k)/float64(n)))
			r = append(r, geom.Vec{X: c.X*(w/2-radius) + radius*co, Y: c.Y*(h/2-radius) + radius*s})
		}
	}
	return r
}

// insideRoundedRectangle is the distance to its edge, positive inside (closed form).
func insideRoundedRectangle(w, h, radius, x, y float64) float64 {
	qx, qy := math.Abs(x)-w/2+radius, math.Abs(y)-h/2+radius
	return radius - math.Min(math.Max(qx, qy), 0) - math.Hypot(math.Max(qx, 0), math.Max(qy, 0))
}

// word is the outline of a word in the bold sans of golang.org/x/image, scaled to
// the given width and centred on the origin.
func word(t testing.TB, text string, width float64) geom.Outline {
	t.Helper()
	face, err := sfnt.Parse(gobold.TTF)
	if err != nil {
		t.Fatal(err)
	}
	var buf sfnt.Buffer
	ppem := fixed.I(1000)
	var o geom.Outline
	x := 0.0
	for _, char := range text {
		glyph, err := face.GlyphIndex(&buf, char)
		if err != nil {
			t.Fatal(err)
		}
		segments, err := face.LoadGlyph(&buf, glyph, ppem, nil)
		if err != nil {
			t.Fatal(err)
		}
		at := func(p fixed.Point26_6) geom.Vec { return geom.Vec{X: x + float64(p.X)/64, Y: -float64(p.Y) / 64} }
		for _, s := range segments {
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				o = append(o, geom.Ring{at(s.Args[0])})
			case sfnt.SegmentOpLineTo:
				r := &o[len(o)-1]
				*r = append(*r, at(s.Args[0]))
			case sfnt.SegmentOpQuadTo:
				r := &o[len(o)-1]
				a, b, c := (*r)[len(*r)-1], at(s.Args[0]), at(s.Args[1])
				const n = 12
				for k := 1; k <= n; k++ {
					u := float64(k) / n
					*r = append(*r, geom.Vec{
						X: a.X*(1-u)*(1-u) + 2*b.X*u*(1-u) + c.X*u*u,
						Y: a.Y*(1-u)*(1-u) + 2*b.Y*u*(1-u) + c.Y*u*u})
				}
			}
		}
		advance, err := face.GlyphAdvance(&buf, glyph, ppem, font.HintingNone)
		if err != nil {
			t.Fatal(err)
		}
		x += float64(advance) / 64
	}
	for i, r := range o {
		if r[0] == r[len(r)-1] {
			o[i] = r[:len(r)-1]
		}
	}
	b := o.Bounds()
	s := width / b.W()
	o = o.Transform(geom.Move(-b.Center().X, -b.Center().Y).Then(geom.Scale(s, s)))
	if o.Area() < 0 { // TrueType outlines run clockwise
		for _, r := range o {
			for i, j := 0, len(r)-1; i < j; i, j = i+1, j-1 {
				r[i], r[j] = r[j], r[i]
			}
		}
	}
	return o
}

// insideBand gives, for every sample, the distance to the outline where the sample is
// inside, cut off at band, and 0 outside. Brute force over the edges near a sample.
func insideBand(g field.Grid, o geom.Outline, band float64) []float64 {
	d := make([]float64, g.W*g.H)
	winding := make([]int8, g.W*g.H)
	for i := range d {
		d[i] = band
	}
	for _, r := range o {
		for k, a := range r {
			b := r[(k+1)%len(r)]
			box := geom.EmptyRect()
			box.Add(a)
			box.Add(b)
			box = box.Grow(band)
			i0, i1 := max(int((box.Min.X-g.X0)/g.PitchMM), 0), min(int((box.Max.X-g.X0)/g.PitchMM)+1, g.W-1)
			j0, j1 := max(int((box.Min.Y-g.Y0)/g.PitchMM), 0), min(int((box.Max.Y-g.Y0)/g.PitchMM)+1, g.H-1)
			dx, dy := b.X-a.X, b.Y-a.Y
			for j := j0; j <= j1; j++ {
				for i := i0; i <= i1; i++ {
					p := g.XY(i, j)
					t := min(max(((p.X-a.X)*dx+(p.Y-a.Y)*dy)/(dx*dx+dy*dy), 0), 1)
					s := &d[j*g.W+i]
					*s = min(*s, math.Hypot(p.X-a.X-t*dx, p.Y-a.Y-t*dy))
				}
			}
			for j := range g.H {
				y := g.XY(0, j).Y
				if (a.Y <= y) == (b.Y <= y) {
					continue
				}
				x := a.X + (y-a.Y)/dy*dx
				turn := int8(1)
				if dy < 0 {
					turn = -1
				}
				for i := min(max(int(math.Floor((x-g.X0)/g.PitchMM)), -1), g.W-1); i >= 0; i-- {
					winding[j*g.W+i] += turn
				}
			}
		}
	}
	for i, w := range winding {
		if w == 0 {
			d[i] = 0
		}
	}
	return d
}

// reference is the reference piece: a rounded rectangle of 36 x 28 mm with corners of
// 4 mm, 12 mm high, sides at 8 degrees, the word ORCHARD 30 mm wide raised 0.8 mm with
// 10 degrees; sampled at 25 µm.
func reference(t testing.TB) (*field.Field, geom.Outline) {
	o := geom.Outline{roundedRectangle(36, 28, 4)}
	g := field.Around(o.Bounds(), 0.025)
	const side, height, raised = 8 * math.Pi / 180, 12.0, 0.8
	lean := math.Tan(10 * math.Pi / 180)
	letters := insideBand(g, word(t, "ORCHARD", 30), raised*lean)
	f := sampled(g, func(x, y float64) float64 {
		return min(height, max(0, insideRoundedRectangle(36, 28, 4, x, y)/math.Tan(side)))
	})
	for i, d := range letters {
		f.Z[i] += float32(d / lean)
	}
	return f, o
}

// lettered is a cushion of 1200 x 1200 samples, 25 µm apart, with six lines of a word
// raised 0.8 mm at 10 degrees: the kind of field that this project makes. The peer's
// script in bench/ makes the same one.
func lettered(t testing.TB) (*field.Field, geom.Outline) {
	const half, raised = 1199 * 0.025 / 2, 0.8
	g := field.Grid{W: 1200, H: 1200, PitchMM: 0.025, X0: -half, Y0: -half}
	lean := math.Tan(10 * math.Pi / 180)
	f := sampled(g, func(x, y float64) float64 { return 1.5 * (1 - x*x/225) * (1 - y*y/225) })
	var lines geom.Outline
	for k := range 6 {
		for _, r := range word(t, "ORCHARD", 28) {
			line := slices.Clone(r)
			for i := range line {
				line[i].Y += 4.8 * (float64(k) - 2.5)
			}
			lines = append(lines, line)
		}
	}
	for i, d := range insideBand(g, lines, raised*lean) {
		f.Z[i] += float32(d / lean)
	}
	return f, geom.Outline{rectangle(-half, -half, half, half)}
}

// waves is a generic height field of n x n samples, 10 µm apart.
func waves(n int) (*field.Field, geom.Outline) {
	g := field.Grid{W: n, H: n, PitchMM: 0.01}
	f := sampled(g, func(x, y float64) float64 {
		s := 12 / (float64(n-1) * g.PitchMM) // the same picture at every size
		x, y = x*s, y*s
		return 0.5*math.Sin(1.7*x)*math.Cos(2.3*y) + 0.2*math.Sin(5*x+3*y) + 0.1*math.Cos(11*y-7*x)
	})
	b := g.Bounds()
	return f, geom.Outline{rectangle(b.Min.X, b.Min.Y, b.Max.X, b.Max.Y)}
}
