package plate

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/mesh"
)

var ctx = context.Background()

// mask is a printer with square pixels of 1 mm: shares of a pixel are mm².
func mask(w, d float64) material.Printer {
	return material.Printer{PlateWidthMM: w, PlateDepthMM: d, PlateHeightMM: 50, PixelMM: 1, LayerMM: 1}
}

func prism(t interface{ Fatal(...any) }, o geom.Outline, heightMM float64) *mesh.Mesh {
	m, err := mesh.Prism(o, 0, heightMM)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func stack(t interface{ Fatal(...any) }, p material.Printer, solids ...Solid) *Stack {
	s, err := NewStack(ctx, solids, p)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func layer(t interface{ Fatal(...any) }, s *Stack, k int) *image.Gray {
	im, err := s.Layer(ctx, k, nil)
	if err != nil {
		t.Fatal(err)
	}
	return im
}

func at(o geom.Outline, x, y float64) geom.Outline { return o.Transform(geom.Move(x, y)) }

func place(m *mesh.Mesh, places ...geom.Affine) Solid {
	if len(places) == 0 {
		places = []geom.Affine{geom.Identity}
	}
	return Solid{Name: "part", Mesh: m, Places: places}
}

// lit is the sum of an image in pixels.
func lit(im *image.Gray) float64 {
	sum := 0
	for _, v := range im.Pix {
		sum += int(v)
	}
	return float64(sum) / 255
}

// A frustum of a cone on a disc, by the closed form of any handbook of mathematics.
func TestStackGivesVolume(t *testing.T) {
	p := material.Printer{PlateWidthMM: 40, PlateDepthMM: 30, PlateHeightMM: 50, PixelMM: 0.05, LayerMM: 0.05}
	const r, h = 12.0, 8.0
	lean := math.Tan(8 * math.Pi / 180)
	f := field.New(field.Around(geom.Circle(r).Bounds(), 0.025))
	bottom := field.New(f.Grid)
	for j := range f.H {
		for i := range f.W {
			at := f.XY(i, j)
			f.Row(j)[i] = float32(1 + min(h, max(0, (r-math.Hypot(at.X, at.Y))/lean)))
		}
	}
	m, err := mesh.Slab(ctx, geom.Circle(r), f, bottom, 0.005)
	if err != nil {
		t.Fatal(err)
	}
	top := r - h*lean
	want := math.Pi*r*r*1 + math.Pi*h/3*(r*r+r*top+top*top)
	s := stack(t, p, place(m, geom.Move(20.013, 15.007)))
	got := summed(t, s)
	t.Logf("images %.3f mm3 (%+.4f %%), mesh %.3f mm3, closed form %.3f mm3", got, 100*(got/want-1), m.Volume(), want)
	if math.Abs(got/want-1) > 1e-3 {
		t.Errorf("images of %g mm3, closed form %g mm3", got, want)
	}
}

// summed is the volume of a stack by its images.
func summed(t testing.TB, s *Stack) float64 {
	t.Helper()
	var im *image.Gray
	sum := 0.0
	for k := range s.Layers {
		var err error
		if im, err = s.Layer(ctx, k, im); err != nil {
			t.Fatal(err)
		}
		n := lit(im)
		// Each edge pixel is rounded to 255 steps; a thousandth of the area is plenty.
		if a := s.AreaMM2(k); math.Abs(n*s.PixelMM*s.PixelMM-a) > 1e-3*a+s.PixelMM*s.PixelMM {
			t.Errorf("layer %d: image of %g mm2, slice of %g mm2", k, n*s.PixelMM*s.PixelMM, a)
		}
		sum += n
	}
	return sum * s.PixelMM * s.PixelMM * s.LayerMM
}

func TestStackRefuses(t *testing.T) {
	box := prism(t, at(geom.Rectangle(4, 4), 5, 5), 2)
	open := &mesh.Mesh{V: box.V}
	for i, tr := range box.T { // leave out half of a wall that runs away from us
		if a, b, c := box.V[tr[0]], box.V[tr[1]], box.V[tr[2]]; a[0] == b[0] && b[0] == c[0] {
			open.T = slices.Delete(slices.Clone(box.T), i, i+1)
			break
		}
	}
	with := func(change func(*material.Printer)) material.Printer {
		p := mask(10, 10)
		change(&p)
		return p
	}
	for _, c := range []struct {
		name    string
		printer material.Printer
		solid   Solid
		want    string
	}{
		{"pixel", with(func(p *material.Printer) { p.PixelMM = 0 }), place(box), "printer.pixel_mm: 0 mm"},
		{"not a number", with(func(p *material.Printer) { p.PixelMM = math.NaN() }), place(box), "printer.pixel_mm: NaN mm"},
		{"layer", with(func(p *material.Printer) { p.LayerMM = 0 }), place(box), "printer.layer_mm: 0 mm"},
		{"side", with(func(p *material.Printer) { p.PixelMM = 1e-4 }), place(box), "100000 x 100000 pixels"},
		{"no pixel", with(func(p *material.Printer) { p.PixelMM = 30 }), place(box), "0 x 0 pixels"},
		{"pixels", with(func(p *material.Printer) { p.PixelMM = 10.0 / 20000 }), place(box), "20000 x 20000 pixels"},
		{"layers", with(func(p *material.Printer) { p.LayerMM = 1e-6 }), place(box), "at most 200000 layers"},
		{"off the plate", mask(10, 10), place(box, geom.Move(4, 0)), "it lies from (7.000, 3.000)"},
		{"mirrored", mask(10, 10), place(box, geom.Affine{A: -1, D: 1, E: 10}), "mirrors"},
		{"below the plate", mask(10, 10), place(&mesh.Mesh{V: [][3]float32{{1, 1, -1}, {2, 1, 0}, {1, 2, 0}}, T: [][3]uint32{{0, 1, 2}}}), "1 mm below the build plate"},
		{"not finite", mask(10, 10), place(&mesh.Mesh{V: [][3]float32{{1, 1, float32(math.NaN())}}, T: [][3]uint32{{0, 0, 0}}}), "finite"},
	} {
		if _, err := NewStack(ctx, []Solid{c.solid}, c.printer); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	s := stack(t, mask(10, 10), place(open))
	if err := s.WritePNG(ctx, 0, &bytes.Buffer{}); err == nil || !strings.Contains(err.Error(), "open edge") {
		t.Errorf("an open mesh: %v", err)
	}
	for _, k := range []int{-1, s.Layers} {
		if _, err := s.Layer(ctx, k, nil); err == nil || !strings.Contains(err.Error(), "0 to 1") {
			t.Errorf("layer %d: %v", k, err)
		}
	}
}

func TestStackCancelled(t *testing.T) {
	s := stack(t, mask(10, 10), place(prism(t, at(geom.Rectangle(4, 4), 5, 5), 2)))
	gone, cancel := context.WithCancel(ctx)
	cancel()
	var out bytes.Buffer
	if err := s.WritePNG(gone, 0, &out); err != context.Canceled || out.Len() > 0 {
		t.Errorf("PNG cancelled: %v, %d bytes", err, out.Len())
	}
	if _, err := s.Layer(gone, 0, nil); err != context.Canceled {
		t.Errorf("image cancelled: %v", err)
	}
	if _, err := NewStack(gone, []Solid{place(prism(t, at(geom.Rectangle(4, 4), 5, 5), 2))}, mask(10, 10)); err != context.Canceled {
		t.Errorf("stack cancelled: %v", err)
	}
}

// keep writes layers into the folder that PLATE_PICTURES names, to be looked at.
func keep(t testing.TB, s *Stack, name string, layers ...int) {
	dir := os.Getenv("PLATE_PICTURES")
	if dir == "" {
		return
	}
	for _, k := range layers {
		var out bytes.Buffer
		if err := s.WritePNG(ctx, k, &out); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(dir+"/"+fmt.Sprintf("%s-%04d.png", name, k), out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
