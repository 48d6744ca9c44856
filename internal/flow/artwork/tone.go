package artwork

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/bitmap"
	"mouldwright/internal/base/geom"
)

// ToneSpec is what a person decides about a picture that becomes heights.
type ToneSpec struct {
	Gamma    float64 // 0.1..10: brightness is raised to it; above 1 deepens the darks
	Contrast float64 // 0..1: how much small differences are strengthened against large ones
	SmoothMM float64 // 0..5: length of the wave that smoothing halves; never below four samples
	Invert   bool    // dark is high
}

// ToneSpec takes the picture's part of the choices.
func (c Choices) ToneSpec() ToneSpec {
	return ToneSpec{Gamma: c.Gamma, Contrast: c.Contrast, SmoothMM: c.SmoothMM, Invert: c.Invert}
}

// BitmapWidthMM is the width of a picture that fills the box with its shorter
// scale; a side of 0 is free, but not both.
func BitmapWidthMM(img *bitmap.Image, widthMM, heightMM float64) (float64, error) {
	f, err := fitScale(float64(img.W), float64(img.H), widthMM, heightMM)
	if err == nil && f == 0 {
		err = &finding.Error{Key: "width_mm", Found: "a picture without a size", Allowed: "width_mm or height_mm", Do: "give the picture's width in millimetres"}
	}
	return f * float64(img.W), err
}

// A wave shorter than this many samples is taken out, since the grid has two samples
// to a pixel of the printer, and a wave needs two pixels.
const leastWave = 4

// sigmaOfWave: a normal curve of this standard deviation, in lengths of a wave,
// halves that wave (derived from exp(-2 (pi sigma)^2) = 1/2).
var sigmaOfWave = math.Sqrt(math.Ln2/2) / math.Pi

// Tone turns brightness into height, 0 (low) to 1 (high): resampled to the grid by
// area, small differences strengthened, bent by gamma, inverted if asked, smoothed.
// The picture is widthMM wide and centred on the origin; the grid has its samples
// on multiples of pitchMM (field.Around). name stands in findings and errors.
//
// Errors are *finding.Error for values out of range or too many samples, and the
// context's error.
func Tone(ctx context.Context, name string, img *bitmap.Image, s ToneSpec, widthMM, pitchMM float64) (*field.Field, []finding.Finding, error) {
	if err := s.check(name); err != nil {
		return nil, nil, err
	}
	p, grid, err := sampled(ctx, name, img, widthMM, pitchMM)
	if err != nil {
		return nil, nil, err
	}
	if s.Contrast > 0 {
		if err := strengthen(ctx, p, s.Contrast); err != nil {
			return nil, nil, err
		}
	}
	err = field.ForRows(ctx, p.h, func(y0, y1 int) {
		for i, v := range p.v[y0*p.w : y1*p.w] {
			if s.Gamma != 1 {
				v = float32(math.Pow(float64(v), s.Gamma))
			}
			if s.Invert {
				v = 1 - v
			}
			p.v[y0*p.w+i] = v
		}
	})
	if err != nil {
		return nil, nil, err
	}
	f, err := finish(ctx, p, grid, s.SmoothMM)
	return f, coarse(name, img, s, widthMM), err
}

// Depth takes a picture that already is a depth map, white high: resampled to the
// grid by area, inverted if asked, smoothed, and nothing else. Gamma and Contrast
// are not used. Otherwise as Tone.
func Depth(ctx context.Context, name string, img *bitmap.Image, s ToneSpec, widthMM, pitchMM float64) (*field.Field, []finding.Finding, error) {
	s.Gamma, s.Contrast = 1, 0
	f, found, err := Tone(ctx, name, img, s, widthMM, pitchMM)
	if err == nil && img.Bits < 16 {
		found = append(found, finding.Finding{Severity: finding.Care, Where: name,
			What: fmt.Sprintf("a depth map of %d bits has %d steps, which may show as terraces", img.Bits, 1<<img.Bits),
			Do:   "save the depth map with 16 bits, or raise smooth_mm"})
	}
	return f, found, err
}

func (s ToneSpec) check(name string) error {
	for _, c := range [...]struct {
		key          string
		v, low, high float64
	}{{"gamma", s.Gamma, 0.1, 10}, {"local_contrast", s.Contrast, 0, 1}, {"smooth_mm", s.SmoothMM, 0, 5}} {
		if !(c.v >= c.low && c.v <= c.high) {
			return &finding.Error{File: name, Key: c.key, Found: fmt.Sprintf("%g", c.v), Allowed: fmt.Sprintf("%g to %g", c.low, c.high), Do: "take the key out: the usual value is then used"}
		}
	}
	return nil
}

// coarse remarks on a picture with too few pixels for its size.
func coarse(name string, img *bitmap.Image, s ToneSpec, widthMM float64) []finding.Finding {
	px := widthMM / float64(img.W)
	const visible = 0.25 // mm; a pixel of this size shows as a facet (common practice, no source)
	if px <= visible || px <= s.SmoothMM {
		return nil
	}
	return []finding.Finding{{Severity: finding.Care, Where: name,
		What: fmt.Sprintf("a picture of %d pixels on %.4g mm has pixels of %.2g mm, which may show", img.W, widthMM, px),
		Do:   fmt.Sprintf("use a picture at least %.0f pixels wide, or raise smooth_mm", math.Ceil(widthMM/visible))}}
}

// sampled resamples the picture by area to the grid, rows from the bottom.
func sampled(ctx context.Context, name string, img *bitmap.Image, widthMM, pitchMM float64) (plane, field.Grid, error) {
	if !(widthMM > 0 && widthMM <= geom.MaxMM && pitchMM > 0 && pitchMM <= widthMM) {
		return plane{}, field.Grid{}, &finding.Error{File: name, Key: "width_mm", Found: fmt.Sprintf("a width of %g mm at a pitch of %g mm", widthMM, pitchMM),
			Allowed: fmt.Sprintf("above the pitch, at most %d mm", int(geom.MaxMM)), Do: "make the picture as wide as it shall be on the piece"}
	}
	px := widthMM / float64(img.W)
	half := geom.Vec{X: widthMM / 2, Y: px * float64(img.H) / 2}
	g := field.Around(geom.Rect{Min: half.Times(-1), Max: half}, pitchMM)
	if err := g.Check(); err != nil {
		return plane{}, g, err
	}
	if g.W*img.H > field.MaxSamples {
		return plane{}, g, &finding.Error{File: name, Found: fmt.Sprintf("a picture of %d rows on %d samples", img.H, g.W),
			Allowed: fmt.Sprintf("a product of at most %d", field.MaxSamples), Do: "make the picture smaller"}
	}
	xs := areaTaps(img.W, g.W, func(i int) float64 { return (g.XY(i, 0).X + half.X) / px }, pitchMM/px)
	ys := areaTaps(img.H, g.H, func(j int) float64 { return (half.Y - g.XY(0, j).Y) / px }, pitchMM/px)
	p, err := plane{img.W, img.H, img.V}.filter(ctx, xs, ys)
	return p, g, err
}

// finish smooths and makes the field. Rounding may leave the range by a hair.
func finish(ctx context.Context, p plane, g field.Grid, smoothMM float64) (*field.Field, error) {
	wave := math.Max(smoothMM/g.PitchMM, leastWave)
	p, err := p.smooth(ctx, wave*sigmaOfWave)
	if err != nil {
		return nil, err
	}
	for i, v := range p.v {
		p.v[i] = min(1, max(0, v))
	}
	return &field.Field{Grid: g, Z: p.v}, nil
}
