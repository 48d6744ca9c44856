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

// LinesSpec is what a person decides about a picture that is traced.
type LinesSpec struct {
	Threshold float64 // 0.01..0.99: brightness at which the outline runs
	SmoothMM  float64 // 0..5: length of the wave that smoothing halves, and the size of specks that are dropped
	Invert    bool    // the dark side is inside, else the bright one
}

// LinesSpec takes the picture's part of the choices.
func (c Choices) LinesSpec() LinesSpec {
	return LinesSpec{Threshold: c.Threshold, SmoothMM: c.SmoothMM, Invert: c.Invert}
}

const (
	// Traced pictures are brought to between these sizes on the longer side (our choice:
	// enough samples for a smooth line, and no more than print and chocolate can show).
	leastTraced, mostTraced = 1024, 4096

	// The picture is always smoothed by this many of its pixels (standard deviation)
	// before it is traced. It halves waves of four pixels, so that the stairs of a
	// line without grey edges sink below a tenth of a pixel, and it rounds convex
	// edges of radius R, together with the pixels themselves, by only 0.45/R pixels.
	leastSigmaPx = 0.8

	// A ring smaller than this many pixels of the picture is a speck (our choice: two by
	// three pixels, of which no form can be told).
	speckPx = 6

	// Points are dropped where the line moves by less than this share of a pixel
	// (our choice: half of what smoothing leaves uncertain).
	tracedPx = 0.04
)

// Lines traces a picture: the outline of all that is brighter than the threshold
// (darker with Invert), settled, scaled evenly to the largest size that fits into
// widthMM x heightMM, and centred on the origin. One side may be 0 (free). Beyond
// the picture's edge is outside, so shapes that reach the edge are closed along it.
//
// The line runs where the smoothed picture, linear between samples, has the value
// of the threshold; a step between two flat tones is found to a few hundredths of a
// pixel. Islands and holes smaller than the square of SmoothMM, or than six pixels,
// are dropped. name stands in findings and errors.
//
// Errors are *finding.Error: a value out of range, a picture that lies on one side
// of the threshold altogether, one so busy that its outline has too many points;
// and the context's error.
func Lines(ctx context.Context, name string, img *bitmap.Image, s LinesSpec, widthMM, heightMM float64) (geom.Outline, []finding.Finding, error) {
	for _, c := range [...]struct {
		key          string
		v, low, high float64
	}{{"threshold", s.Threshold, 0.01, 0.99}, {"smooth_mm", s.SmoothMM, 0, 5}} {
		if !(c.v >= c.low && c.v <= c.high) {
			return nil, nil, &finding.Error{File: name, Key: c.key, Found: fmt.Sprintf("%g", c.v), Allowed: fmt.Sprintf("%g to %g", c.low, c.high), Do: "take the key out: the usual value is then used"}
		}
	}
	inside := func(v float32) bool { return (float64(v) >= s.Threshold) != s.Invert }
	ink := inkOf(img, inside)
	if ink.Empty() {
		return nil, nil, oneSided(name, s, "no part")
	}
	mmPerPx, err := fitScale(ink.W(), ink.H(), widthMM, heightMM)
	if err == nil && mmPerPx == 0 {
		err = &finding.Error{File: name, Key: "width_mm", Found: "a picture without a size", Allowed: "width_mm or height_mm", Do: "give the traced art's width in millimetres"}
	}
	if err != nil {
		return nil, nil, err
	}

	p, perSample, err := traceable(ctx, img, s, mmPerPx)
	if err != nil {
		return nil, nil, err
	}
	speck := math.Max(speckPx, s.SmoothMM*s.SmoothMM/(mmPerPx*mmPerPx)) / (perSample * perSample)
	t := tracer{plane: p, level: float32(s.Threshold), invert: s.Invert, speck: speck}
	o, err := t.all(ctx)
	if err != nil {
		return nil, nil, err
	}
	if t.full {
		return nil, nil, &finding.Error{File: name, Found: "a picture so busy that its outline has too many points",
			Allowed: fmt.Sprintf("at most %d", tracedPoints), Do: "raise smooth_mm, or take it as tone"}
	}
	if len(o) == 0 {
		return nil, nil, oneSided(name, s, "only specks of the picture")
	}

	// From samples to mm, y up; the tracer's rows run up already.
	f := perSample * mmPerPx
	o = geom.Simplify(o.Transform(geom.Scale(f, f)), tracedPx*math.Max(mmPerPx, f))
	if o, err = geom.Settle(o, geom.NonZero); err != nil {
		return nil, nil, err
	}
	if len(o) == 0 {
		return nil, nil, oneSided(name, s, "only specks of the picture")
	}
	var found []finding.Finding
	if t.dropped > 0 {
		found = append(found, finding.Finding{Severity: finding.Note, Where: name,
			What: fmt.Sprintf("%d specks smaller than %.2g mm² were left out", t.dropped, speck*f*f), Do: "lower smooth_mm if they belong to the art"})
	}
	o, err = fitOutline(o, widthMM, heightMM)
	return o, found, err
}

func oneSided(name string, s LinesSpec, found string) error {
	side := "brighter"
	if s.Invert {
		side = "darker"
	}
	return &finding.Error{File: name, Key: "threshold", Found: fmt.Sprintf("%s is %s than %g", found, side, s.Threshold),
		Allowed: "a threshold between the tones of the picture", Do: "change threshold or invert, or lower smooth_mm"}
}

// inkOf is the box in pixels around all pixels that are inside.
func inkOf(img *bitmap.Image, inside func(float32) bool) geom.Rect {
	b := geom.EmptyRect()
	for y := range img.H {
		row := img.V[y*img.W : (y+1)*img.W]
		x0, x1 := 0, img.W-1
		for x0 <= x1 && !inside(row[x0]) {
			x0++
		}
		for x1 > x0 && !inside(row[x1]) {
			x1--
		}
		if x0 <= x1 {
			b.Add(geom.Vec{X: float64(x0), Y: float64(y)})
			b.Add(geom.Vec{X: float64(x1 + 1), Y: float64(y + 1)})
		}
	}
	return b
}

// traceable brings the picture to a good number of samples and smooths it;
// perSample is the distance of samples in pixels. Rows run from the bottom.
func traceable(ctx context.Context, img *bitmap.Image, s LinesSpec, mmPerPx float64) (p plane, perSample float64, err error) {
	long := max(img.W, img.H)
	n := min(max(long, leastTraced), mostTraced)
	perSample = float64(long) / float64(n)
	w, h := samplesFor(img.W, perSample), samplesFor(img.H, perSample)
	if w*img.H > field.MaxSamples {
		return p, 0, &finding.Error{Found: fmt.Sprintf("a picture of %d x %d pixels", img.W, img.H), Allowed: "a less extreme shape", Do: "crop the picture"}
	}
	p = plane{img.W, img.H, img.V}
	// Sample i stands for the cell i..i+1, row 0 is the lowest.
	p, err = p.filter(ctx,
		areaTaps(img.W, w, func(i int) float64 { return (float64(i) + 0.5) * perSample }, perSample),
		areaTaps(img.H, h, func(j int) float64 { return float64(img.H) - (float64(j)+0.5)*perSample }, perSample))
	if err != nil {
		return p, 0, err
	}
	sigma := math.Max(leastSigmaPx, s.SmoothMM/mmPerPx*sigmaOfWave)
	p, err = p.smooth(ctx, sigma/perSample)
	return p, perSample, err
}

func samplesFor(pixels int, perSample float64) int {
	return max(1, int(math.Ceil(float64(pixels)/perSample-1e-9)))
}
