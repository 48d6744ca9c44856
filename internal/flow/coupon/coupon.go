package coupon

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/pour"
)

// Coupon is one test part to print.
type Coupon struct {
	Kind                       string // one of Kinds, or Pad
	Name                       string // "size in x"; of a pad its combination in words
	Code                       string // of a pad
	Test                       pour.CureTest
	WidthMM, DepthMM, HeightMM float64
	VolumeMM3                  float64
	Places                     []Spot
	RubberMM3                  float64        // to fill a pad's rim or the chocolate coupon's cup
	PieceMM3                   float64        // of the chocolate coupon's piece
	Drawing                    []geom.Outline // from above, in lines: outline first, then what stands on it; from its left front corner

	Mesh *mesh.Mesh // its box begins at the origin
}

// Work is what coupons are made for.
type Work struct {
	Printer  material.Printer
	Resin    material.Resin
	Silicone material.Silicone
	Fonts    *artwork.Fonts
	Tests    []pour.CureTest // a pad for each
	Pads     pour.TestChoices
	Master   master.Choices // of the chocolate coupon: fillet, rubber over the piece
}

// maxPads bounds the pads of one set of files.
const maxPads = pour.MaxCombinations

// Make makes one of every kind of coupon, and a pad for each combination of the cure
// test. The size and detail coupons do not depend on the job; heights of the foot
// coupon lie on the printer's layers.
func Make(ctx context.Context, w Work) ([]*Coupon, error) {
	switch p := w.Printer; {
	case !(p.LayerMM > 0):
		return nil, &finding.Error{Key: "printer.layer_mm", Found: fmt.Sprintf("%g mm", p.LayerMM), Allowed: "above 0", Do: "write the layer's thickness, such as 0.05"}
	case !(p.PixelMM > 0):
		return nil, &finding.Error{Key: "printer.pixel_mm", Found: fmt.Sprintf("%g mm", p.PixelMM), Allowed: "above 0", Do: "write the side of the mask's pixel, such as 0.035"}
	case len(w.Tests) > maxPads:
		return nil, &finding.Error{Key: "cure_test", Found: fmt.Sprintf("%d pads", len(w.Tests)), Allowed: fmt.Sprintf("at most %d", maxPads), Do: "test fewer resins, treatments and coatings at a time"}
	}
	m := &maker{Work: w, letters: apart(w.Fonts)}
	var out []*Coupon
	for _, make := range []func(context.Context) (*Coupon, error){
		m.foot,
		func(ctx context.Context) (*Coupon, error) { return m.size(ctx, 'X') },
		func(ctx context.Context) (*Coupon, error) { return m.size(ctx, 'Y') },
		m.detail, m.chocolate,
	} {
		c, err := make(ctx)
		if err != nil {
			return nil, err
		}
		out = append(out, c)
	}
	for _, t := range w.Tests {
		c, err := m.pad(ctx, t)
		if err != nil {
			return nil, err
		}
		out = append(out, c)
	}
	return out, nil
}

type maker struct {
	Work
	letters master.Letters
}

// apart is the letters of the built-in bold sans with room between them: where two
// touch in a point (VV) the raised letters would be no solid.
func apart(fonts *artwork.Fonts) master.Letters {
	return func(text string, heightMM float64) (geom.Outline, error) {
		o, _, err := artwork.Text(artwork.TextSpec{Where: "coupon", Text: text, Font: "sans bold", Align: "centre", Leading: 1.2, Tracking: 0.08, HeightMM: heightMM}, fonts)
		return o, err
	}
}

// words sets a text with its middle at (x, y), h mm high.
func (m *maker) words(text string, h, x, y float64) (geom.Outline, error) {
	o, err := m.letters(text, h)
	if err != nil {
		return nil, fmt.Errorf("coupon: %q: %w", text, err)
	}
	c := o.Bounds().Center()
	return o.Transform(geom.Move(x-c.X, y-c.Y)), nil
}

// finish moves a solid's mesh to the corner and measures it.
func finish(ctx context.Context, c *Coupon, s *solid) (*Coupon, error) {
	built, err := s.mesh(ctx)
	if err != nil {
		return nil, fmt.Errorf("coupon: %s: %w", c.Name, err)
	}
	lo, hi := built.Bounds()
	built.Move(-float64(lo[0]), -float64(lo[1]), -float64(lo[2]))
	c.Mesh = built
	c.WidthMM, c.DepthMM, c.HeightMM = float64(hi[0]-lo[0]), float64(hi[1]-lo[1]), float64(hi[2]-lo[2])
	c.VolumeMM3 = built.Volume()
	to := geom.Move(-float64(lo[0]), -float64(lo[1]))
	c.Drawing = append(c.Drawing, s.outline.Transform(to))
	for _, t := range s.terraces {
		c.Drawing = append(c.Drawing, t.outline.Transform(to))
	}
	return c, nil
}

func box(x0, y0, x1, y1 float64) geom.Outline {
	return geom.Outline{{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}}
}

// labelMM is the height of figures that are read by eye on a print (our choice: as small print
// in a book).
const labelMM = 2.2

// riseMM is how far labels stand up (our choice: ten layers, which still show under paint
// or rubber).
const riseMM = 0.5

// foot makes the foot coupon: a spine with pairs of teeth, each pair beginning a little
// higher than the one before. A caliper over a pair finds its widest layer, which is
// its lowest, so that each pair tells the bulge at the height where it begins. A flat
// tooth 2 mm long hangs well enough, since a layer is cured all at once.
func (m *maker) foot(ctx context.Context) (*Coupon, error) {
	const (
		toothMM, gapMM = 5.0, 2.0
		spineMM        = 8.0
		thickMM        = 4.0
		endMM          = 2.0
	)
	heights := footHeights(m.Printer.LayerMM)
	n := float64(len(heights))
	length := 2*endMM + n*toothMM + (n-1)*gapMM
	c := &Coupon{Kind: Foot, Name: "foot", Places: Spots(Foot, m.Printer.LayerMM)}
	s := &solid{thickMM: thickMM}
	half, wide := spineMM/2, footWideMM/2
	right := geom.Ring{{X: half, Y: 0}}
	var left geom.Ring
	for i := range heights { // from the front: the highest; the one on the plate is at the back
		h := heights[len(heights)-1-i]
		y := endMM + float64(i)*(toothMM+gapMM)
		right = append(right, geom.Vec{X: half, Y: y}, geom.Vec{X: wide, Y: y}, geom.Vec{X: wide, Y: y + toothMM}, geom.Vec{X: half, Y: y + toothMM})
		left = append(left, geom.Vec{X: -half, Y: y}, geom.Vec{X: -wide, Y: y}, geom.Vec{X: -wide, Y: y + toothMM}, geom.Vec{X: -half, Y: y + toothMM})
		o, err := m.words(fmt.Sprintf("H%.0f", h*1000), labelMM, 0, y+toothMM/2)
		if err != nil {
			return nil, err
		}
		s.terraces = append(s.terraces, terrace{outline: o, riseMM: riseMM})
	}
	right = append(right, geom.Vec{X: half, Y: length}, geom.Vec{X: -half, Y: length})
	for i := len(left) - 1; i >= 0; i-- {
		right = append(right, left[i])
	}
	s.outline = geom.Outline{append(right, geom.Vec{X: -half, Y: 0})}
	s.bottom = func(p geom.Vec) float64 {
		k := int(math.Floor((p.Y - endMM + gapMM/2) / (toothMM + gapMM)))
		h := heights[len(heights)-1-min(max(k, 0), len(heights)-1)]
		return h * min(1, max(0, (math.Abs(p.X)-half-2*bottomPitchMM)/(2*bottomPitchMM)))
	}
	return finish(ctx, c, s)
}

// size makes the size coupon of one axis: four bands, each with a step to measure over
// and a window to measure in. The underside is drawn in, so that the foot is not
// measured along.
func (m *maker) size(ctx context.Context, axis byte) (*Coupon, error) {
	const (
		bandMM   = 10.0
		windowMM = 4.0 // depth of a window: a caliper's inside jaws go in
		rimMM    = 2.0
		thickMM  = 5.0
		clearMM  = 1.2
	)
	c := &Coupon{Kind: Size, Name: "size in " + string(axis+'a'-'A'), Places: sizeSpots(axis)}
	s := &solid{thickMM: thickMM}
	turn := func(o geom.Outline) geom.Outline { return o }
	if axis == 'Y' { // a quarter turn; words are set upright afterwards
		turn = func(o geom.Outline) geom.Outline { return o.Transform(geom.Affine{B: 1, C: -1}) }
	}
	n := len(oversMM)
	ring := geom.Ring{}
	for i := range n {
		w := oversMM[n-1-i] / 2
		y := float64(i) * bandMM
		ring = append(ring, geom.Vec{X: w, Y: y}, geom.Vec{X: w, Y: y + bandMM})
	}
	for i := 2*n - 1; i >= 0; i-- {
		ring = append(ring, geom.Vec{X: -ring[i].X, Y: ring[i].Y})
	}
	outline := geom.Outline{ring}
	for i := range n {
		over, window := oversMM[n-1-i], windowsMM[n-1-i]
		y := float64(i)*bandMM + rimMM
		hole := box(-window/2, y, window/2, y+windowMM)[0]
		for k, j := 0, len(hole)-1; k < j; k, j = k+1, j-1 {
			hole[k], hole[j] = hole[j], hole[k]
		}
		outline = append(outline, hole)
		o, err := m.words(fmt.Sprintf("%g/%g", over, window), labelMM, 0, y+windowMM+2)
		if err != nil {
			return nil, err
		}
		s.terraces = append(s.terraces, terrace{outline: turn(o), riseMM: riseMM})
	}
	o, err := m.words(string(axis), 3.5, oversMM[n-1]/2-2.6, rimMM+windowMM/2)
	if err != nil {
		return nil, err
	}
	s.terraces = append(s.terraces, terrace{outline: turn(o), riseMM: riseMM})
	s.outline = turn(outline)
	if s.bottom, err = relieved(ctx, s.outline, clearMM, 0.5); err != nil {
		return nil, err
	}
	return finish(ctx, c, s)
}

// detail makes the ladders of raised lines, gaps and figures.
func (m *maker) detail(ctx context.Context) (*Coupon, error) {
	const (
		thickMM = 2.0
		depthMM = 0.6 // of lines and gaps
		longMM  = 6.6
		stepMM  = 4.4
		lowMM   = 1.6 // small labels: they are printed bold, and only stand beside
	)
	c := &Coupon{Kind: Detail, Name: "detail", Places: Spots(Detail, m.Printer.LayerMM)}
	width := float64(len(linesMM))*stepMM + 2
	s := &solid{thickMM: thickMM}
	y := 1.5
	// Figures, each its own height in mm, so that it is its own label.
	x := 1.5
	for _, h := range lettersMM {
		o, err := m.letters(fmt.Sprintf("%g", h), h)
		if err != nil {
			return nil, err
		}
		b := o.Bounds()
		s.terraces = append(s.terraces, terrace{outline: o.Transform(geom.Move(x-b.Min.X, y-b.Min.Y)), riseMM: 0.4})
		x += b.W() + 2
	}
	y += lettersMM[len(lettersMM)-1] + 2
	for _, rise := range []float64{-depthMM, depthMM} {
		for i, w := range linesMM {
			mid := 1 + (float64(i)+0.5)*stepMM
			o, err := m.words(fmt.Sprintf("%g", math.Round(w*100)), lowMM, mid, y+lowMM/2)
			if err != nil {
				return nil, err
			}
			s.terraces = append(s.terraces, terrace{outline: o, riseMM: riseMM},
				terrace{outline: box(mid-w/2, y+lowMM+1, mid+w/2, y+lowMM+1+longMM), riseMM: rise})
		}
		y += lowMM + 1 + longMM + 2
	}
	s.outline = box(0, 0, width, y-0.5)
	return finish(ctx, c, s)
}
