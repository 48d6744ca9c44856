package plate

import (
	"context"
	"fmt"
	"image"
	"math"
	"sync"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/flow/master"
)

// Solid is a closed, oriented mesh in mm and the places where it stands on a plate:
// turned and moved, never mirrored. Solids do not overlap.
type Solid struct {
	Name   string
	Mesh   *mesh.Mesh
	Places []geom.Affine
}

// Stack is a plate cut into its layers: each is the image that the printer's mask
// shows. A pixel is 0 (dark) to 255 (fully lit): the share of its area inside the
// slice at the layer's middle height. The image shows the plate from above, its back
// edge in the first row; pixel (i, j) covers x from i to i+1 and y from DepthPx-1-j to
// DepthPx-j pixels from the plate's left front corner.
//
// A level face of a part lies on a layer's edge or is moved to the nearest one, up to
// half a layer, as in every print made of layers.
//
// A Stack does not change: several goroutines may draw from it at once.
type Stack struct {
	Layers           int // images, from the build plate up
	WidthPx, DepthPx int
	PixelMM, LayerMM float64

	solids  []placed
	blank   [2]packed // of a band without solid, and of the last band
	pens    sync.Pool // *pen
	drawing sync.Pool // *drawing
}

// placed is a solid ready to be cut.
type placed struct {
	name   string
	slicer *slicer
	places []geom.Affine
}

// Limits of one stack. Our choice: the largest build volume of the job file has 200,000
// layers of the thinnest; the finest masks that are made have some 10^8 pixels.
const (
	MaxLayers   = 200_000
	MaxSidePx   = 1 << 15
	MaxPixels   = 1 << 28 // 256 MiB for one image that is held whole
	maxSegments = 1 << 22 // of one slice: 128 MiB
)

// Stack makes the plate's parts and prepares them for cutting. parts and printer are
// those given to Make.
func (p *Plate) Stack(ctx context.Context, parts []master.Part, printer material.Printer) (*Stack, error) {
	var solids []Solid
	at := map[Lies]int{}
	for _, it := range p.Items {
		k, seen := at[it.Lies()]
		if !seen {
			m, err := it.Mesh(ctx, parts[it.Part])
			if err != nil {
				return nil, err
			}
			k = len(solids)
			at[it.Lies()] = k
			solids = append(solids, Solid{Name: parts[it.Part].Name, Mesh: m})
		}
		solids[k].Places = append(solids[k].Places, it.Affine(parts[it.Part]))
	}
	return NewStack(ctx, solids, printer)
}

// NewStack prepares solids for cutting. They stand on z = 0 or above and lie on the
// printer's plate; its size is taken to the nearest whole pixel.
func NewStack(ctx context.Context, solids []Solid, printer material.Printer) (*Stack, error) {
	s := &Stack{PixelMM: printer.PixelMM, LayerMM: printer.LayerMM}
	if err := s.size(printer); err != nil {
		return nil, err
	}
	high := 0.0
	for _, b := range solids {
		top, err := s.check(b)
		if err != nil {
			return nil, err
		}
		high = math.Max(high, top)
	}
	if !(high/s.LayerMM <= MaxLayers) {
		return nil, &finding.Error{Key: "printer.layer_mm", Found: fmt.Sprintf("%g mm for a height of %g mm", s.LayerMM, high), Allowed: fmt.Sprintf("at most %d layers", MaxLayers), Do: "a thicker layer"}
	}
	s.Layers = Layers(high, s.LayerMM)
	for _, b := range solids {
		cut, err := newSlicer(ctx, b.Mesh, s.Layers, s.LayerMM)
		if err != nil {
			return nil, err
		}
		s.solids = append(s.solids, placed{b.Name, cut, b.Places})
	}
	s.pens.New = func() any { return newPen(s.WidthPx) }
	s.drawing.New = func() any { return new(drawing) }
	return s, s.packBlanks()
}

// size sets the image's sides.
func (s *Stack) size(printer material.Printer) error {
	for _, v := range [...]struct {
		key string
		mm  float64
	}{{"pixel_mm", s.PixelMM}, {"layer_mm", s.LayerMM}, {"plate_width_mm", printer.PlateWidthMM}, {"plate_depth_mm", printer.PlateDepthMM}} {
		if !(v.mm > 0) || math.IsInf(v.mm, 1) {
			return &finding.Error{Key: "printer." + v.key, Found: fmt.Sprintf("%g mm", v.mm), Allowed: "above 0", Do: "write it in millimetres, as the printer has it"}
		}
	}
	w, d := math.Round(printer.PlateWidthMM/s.PixelMM), math.Round(printer.PlateDepthMM/s.PixelMM)
	if !(w >= 1 && d >= 1 && w <= MaxSidePx && d <= MaxSidePx && w*d <= MaxPixels) {
		return &finding.Error{Key: "printer.pixel_mm",
			Found:   fmt.Sprintf("%g mm, which makes %g x %g pixels of a plate of %g x %g mm", s.PixelMM, w, d, printer.PlateWidthMM, printer.PlateDepthMM),
			Allowed: fmt.Sprintf("1 to %d pixels on a side and at most %d in all", MaxSidePx, MaxPixels), Do: "enter the pixel and the plate as the printer's data sheet gives them"}
	}
	s.WidthPx, s.DepthPx = int(w), int(d)
	return nil
}

// check gives a solid's top and refuses one that does not stand on the plate.
func (s *Stack) check(b Solid) (topMM float64, err error) {
	if len(b.Mesh.T) == 0 || len(b.Places) == 0 {
		return 0, nil
	}
	for _, v := range b.Mesh.V {
		if sum := v[0] + v[1] + v[2]; sum-sum != 0 {
			return 0, &finding.Error{Key: b.Name, Found: fmt.Sprintf("a vertex at (%g, %g, %g) mm", v[0], v[1], v[2]), Allowed: "finite coordinates"}
		}
	}
	lo, hi := b.Mesh.Bounds()
	if lo[2] < -fitSlack {
		return 0, &finding.Error{Key: b.Name, Found: fmt.Sprintf("it begins %g mm below the build plate", -lo[2]), Allowed: "0"}
	}
	// Half a pixel may be lost where the plate is no whole number of pixels.
	slack := s.PixelMM/2 + math.Min(s.PixelMM/4, fitSlack)
	w, d := float64(s.WidthPx)*s.PixelMM, float64(s.DepthPx)*s.PixelMM
	for _, m := range b.Places {
		if !(m.A*m.D-m.B*m.C > 0) {
			return 0, &finding.Error{Key: b.Name, Found: fmt.Sprintf("a place that mirrors or flattens it: %v", m), Allowed: "turned and moved"}
		}
		box := geom.EmptyRect()
		for _, v := range b.Mesh.V {
			box.Add(m.Apply(geom.Vec{X: float64(v[0]), Y: float64(v[1])}))
		}
		if !(box.Min.X >= -slack && box.Min.Y >= -slack && box.Max.X <= w+slack && box.Max.Y <= d+slack) {
			return 0, &finding.Error{Key: b.Name, Found: fmt.Sprintf("it lies from (%.3f, %.3f) to (%.3f, %.3f) mm", box.Min.X, box.Min.Y, box.Max.X, box.Max.Y),
				Allowed: fmt.Sprintf("on the plate, from 0 to (%.3f, %.3f) mm", w, d)}
		}
	}
	return float64(hi[2]), nil
}

// AreaMM2 is the area of layer k, from 0, that is exposed: exact for the slice at the
// layer's middle, without an image. 0 outside the stack.
func (s *Stack) AreaMM2(k int) float64 {
	if k < 0 || k >= s.Layers {
		return 0
	}
	d := s.drawing.Get().(*drawing)
	defer s.drawing.Put(d)
	sum := 0.0
	for i := range s.solids {
		b := &s.solids[i]
		d.cut = b.slicer.cut(k, d.cut[:0])
		area := 0.0
		for _, g := range d.cut {
			area += g.ax*g.by - g.bx*g.ay
		}
		for _, m := range b.places {
			sum += area / 2 * (m.A*m.D - m.B*m.C)
		}
	}
	return sum
}

// Layer draws the image of layer k, from 0. into is drawn over and given back when it
// has the stack's size; else, and for nil, a new image is made.
func (s *Stack) Layer(ctx context.Context, k int, into *image.Gray) (*image.Gray, error) {
	d, err := s.open(k)
	if err != nil {
		return nil, err
	}
	defer s.drawing.Put(d)
	size := image.Rect(0, 0, s.WidthPx, s.DepthPx)
	if into == nil || into.Rect != size {
		into = image.NewGray(size)
	}
	err = s.bands(ctx, d, func(p *pen, band, j0, j1 int) {
		rows := into.Pix[j0*into.Stride : min(j1*into.Stride, len(into.Pix))]
		clear(rows)
		p.draw(d, band, j0, j1, rows, into.Stride)
	})
	if err != nil {
		return nil, err
	}
	return into, d.closed(k)
}

// outside is the refusal of a layer that is not there.
func (s *Stack) outside(k int) error {
	if k >= 0 && k < s.Layers {
		return nil
	}
	return &finding.Error{Key: "layer", Found: fmt.Sprint(k), Allowed: fmt.Sprintf("0 to %d", s.Layers-1)}
}
