package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
)

// Bounds of the heights that are kept: a fifth of a millimetre shows every change that a
// person would see on a chocolate, a micrometre is a step.
const (
	heightsPitchMM = 0.2
	heightsStepMM  = 0.001
	// MaxHeights is how many pieces of a revision are kept, some 10 kB each.
	MaxHeights    = 1000
	maxHeightsPX  = 1 << 20
	maxHeightsPNG = 3 << 20
)

// HeightsOf is a piece seen from above, coarse.
func HeightsOf(name string, f *field.Field) (*Heights, error) {
	every := max(1, int(math.Round(heightsPitchMM/f.PitchMM)))
	w, h := (f.W-1)/every+1, (f.H-1)/every+1
	for w*h > maxHeightsPX {
		every *= 2
		w, h = (f.W-1)/every+1, (f.H-1)/every+1
	}
	img := image.NewGray16(image.Rect(0, 0, w, h))
	for j := range h {
		for i := range w {
			if z := float64(f.At(i*every, j*every)); z > 0 {
				img.SetGray16(i, j, color.Gray16{Y: uint16(min(1+math.Round(z/heightsStepMM), 65535))})
			}
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		return nil, err
	}
	return &Heights{Piece: name, SHA256: fmt.Sprintf("%x", sha256.Sum256(b.Bytes())), PitchMM: f.PitchMM * float64(every), StepMM: heightsStepMM,
		X0MM: f.X0, Y0MM: f.Y0, PNG: base64.StdEncoding.EncodeToString(b.Bytes())}, nil
}

// Field gives the heights back, in mm.
func (h *Heights) Field() (*field.Field, error) {
	bad := func(err error) error {
		return &finding.Error{Key: "heights " + h.Piece, Found: "the heights cannot be read", Err: err, Do: "mouldwright record check says whether the record is damaged"}
	}
	data, err := base64.StdEncoding.DecodeString(h.PNG)
	if err != nil || len(data) > maxHeightsPNG {
		return nil, bad(err)
	}
	c, err := png.DecodeConfig(bytes.NewReader(data))
	if err != nil || c.Width*c.Height > maxHeightsPX || c.Width*c.Height < 1 {
		return nil, bad(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, bad(err)
	}
	grey, ok := img.(*image.Gray16)
	if !ok {
		return nil, bad(nil)
	}
	f := field.New(field.Grid{W: c.Width, H: c.Height, PitchMM: h.PitchMM, X0: h.X0MM, Y0: h.Y0MM})
	for j := range f.H {
		for i := range f.W {
			if v := grey.Gray16At(i, j).Y; v > 0 {
				f.Z[j*f.W+i] = float32(float64(v-1) * h.StepMM)
			}
		}
	}
	return f, nil
}

// Difference is how much higher b is than a, over both, in mm. Where the samples of both
// lie on each other it is exact. Else a steep wall between two samples would show a line
// where nothing changed: then only what lies beyond everything that the other has within
// one sample counts, so that a wall that moved by less than that is not seen.
func Difference(a, b *field.Field) *field.Field {
	r := a.Bounds()
	q := b.Bounds()
	r.Min.X, r.Min.Y = min(r.Min.X, q.Min.X), min(r.Min.Y, q.Min.Y)
	r.Max.X, r.Max.Y = max(r.Max.X, q.Max.X), max(r.Max.Y, q.Max.Y)
	g := field.Grid{PitchMM: b.PitchMM}
	// On b's own samples, so far as both reach.
	left, front := math.Ceil((b.X0-r.Min.X)/b.PitchMM-1e-6), math.Ceil((b.Y0-r.Min.Y)/b.PitchMM-1e-6)
	g.X0, g.Y0 = b.X0-left*b.PitchMM, b.Y0-front*b.PitchMM
	g.W, g.H = int(math.Ceil((r.Max.X-g.X0)/g.PitchMM-1e-6))+1, int(math.Ceil((r.Max.Y-g.Y0)/g.PitchMM-1e-6))+1
	out := field.New(g)
	exact := congruent(a, b)
	for j := range out.H {
		for i := range out.W {
			p := out.XY(i, j)
			z, was := nearest(b, p.X, p.Y), nearest(a, p.X, p.Y)
			d := z - was
			if !exact && d != 0 {
				low, high := around(a, p.X, p.Y)
				d = beyond(z, low, high)
				low, high = around(b, p.X, p.Y)
				if e := -beyond(was, low, high); e*d <= 0 {
					d = 0
				} else if math.Abs(float64(e)) < math.Abs(float64(d)) {
					d = e
				}
			}
			out.Z[j*out.W+i] = d
		}
	}
	return out
}

// congruent tells whether the samples of two fields lie on each other, within a hundredth
// of their distance.
func congruent(a, b *field.Field) bool {
	off := func(d float64) bool { d /= b.PitchMM; return math.Abs(d-math.Round(d)) > 0.01 }
	return math.Abs(a.PitchMM-b.PitchMM) < 1e-9 && !off(a.X0-b.X0) && !off(a.Y0-b.Y0)
}

// around is the least and the largest height within one sample of a place.
func around(f *field.Field, x, y float64) (low, high float32) {
	low, high = nearest(f, x, y), nearest(f, x, y)
	for dj := -1; dj <= 1; dj++ {
		for di := -1; di <= 1; di++ {
			z := nearest(f, x+float64(di)*f.PitchMM, y+float64(dj)*f.PitchMM)
			low, high = min(low, z), max(high, z)
		}
	}
	return low, high
}

// beyond is by how much z lies outside of a span; 0 inside.
func beyond(z, low, high float32) float32 {
	switch {
	case z > high:
		return z - high
	case z < low:
		return z - low
	}
	return 0
}

func nearest(f *field.Field, x, y float64) float32 {
	i, j := int(math.Round((x-f.X0)/f.PitchMM)), int(math.Round((y-f.Y0)/f.PitchMM))
	if i < 0 || j < 0 || i >= f.W || j >= f.H {
		return 0
	}
	return f.At(i, j)
}
