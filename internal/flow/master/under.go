package master

import (
	"context"
	"fmt"
	"math"
	"strings"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/flow/artwork"
)

// Letters draws a short text, its capitals and figures heightMM high. Without any (nil)
// parts stay without numbers and codes, which is for looking at and not for printing.
type Letters func(text string, heightMM float64) (geom.Outline, error)

// Sans is the letters of the built-in bold sans.
func Sans(fonts *artwork.Fonts) Letters {
	return func(text string, heightMM float64) (geom.Outline, error) {
		o, _, err := artwork.Text(artwork.TextSpec{Where: "engraving", Text: text, Font: "sans bold", Align: "centre", Leading: 1.2, HeightMM: heightMM}, fonts)
		return o, err
	}
}

// Engraving: strokes about 0.5 mm wide are cut by a V of this lean from vertical, so
// that they print as valleys and not as slits.
const (
	engraveLeanDeg = 20
	engravePitchMM = 0.04 // a wall 0.4 mm deep spans 3.6 samples
	engraveTolMM   = 0.02
	engraveRimMM   = 0.3 // plane around the letters within their patch
	letterMM       = 4.0
	smallLetterMM  = 1.4 // lower letters cannot be read
)

// engrave cuts shape depthMM deep: upwards into an underside, else downwards.
func engrave(ctx context.Context, shape geom.Outline, depthMM float64, upwards bool) (*mesh.Sheet, error) {
	box := shape.Bounds().Grow(engraveRimMM)
	lean := math.Tan(engraveLeanDeg * math.Pi / 180)
	f, err := field.SignedDistance(ctx, field.Around(box.Grow(2*engravePitchMM), engravePitchMM), shape, depthMM*lean+2*engravePitchMM)
	if err != nil {
		return nil, fmt.Errorf("master: engraving: %w", err)
	}
	sign := -1.0
	if upwards {
		sign = 1
	}
	for i, d := range f.Z {
		f.Z[i] = float32(sign * math.Min(math.Max(float64(d)/lean, 0), depthMM))
	}
	return mesh.ReliefEdge(ctx, f, geom.Outline{{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}}}, engraveTolMM, 0)
}

// leastFootMM is the least chamfer that is made (our choice: no printer draws a finer
// one).
const leastFootMM = 0.005

// mirror turns what is read from above into what is read from below
// (by definition of a mirror in x).
var mirror = geom.Affine{A: -1, D: 1}

// label sets lines one below the other, each as high as fits into w x h mm but at most
// 4 mm, with an arrow to the front before the first line when asked. Where only a
// narrow upright strip is free, the lines run up it in one, without an arrow. Its box
// is centred on the origin. It is nil when letters would be too small to read.
func label(letters Letters, lines []string, arrow bool, w, h float64) (geom.Outline, error) {
	if letters == nil {
		return nil, nil
	}
	o, err := block(letters, lines, arrow)
	if err != nil {
		return nil, err
	}
	s := scaleInto(o, w, h)
	if s*letterMM < 2*smallLetterMM && h > w {
		turned, err := block(letters, []string{strings.Join(lines, " ")}, false)
		if err != nil {
			return nil, err
		}
		turned = turned.Transform(quarter)
		if t := scaleInto(turned, w, h); t > s {
			o, s = turned, t
		}
	}
	if s*letterMM < smallLetterMM {
		return nil, nil
	}
	b := o.Bounds()
	return o.Transform(geom.Move(-b.Center().X, -b.Center().Y).Then(geom.Scale(s, s))), nil
}

func scaleInto(o geom.Outline, w, h float64) float64 {
	b := o.Bounds()
	return math.Min(1, math.Min((w-2*engraveRimMM)/b.W(), (h-2*engraveRimMM)/b.H()))
}

// block sets lines in full size, each centred.
func block(letters Letters, lines []string, arrow bool) (geom.Outline, error) {
	const gap = 1.6
	var all geom.Outline
	y := 0.0
	for i, text := range lines {
		o, err := letters(text, letterMM)
		if err != nil {
			return nil, fmt.Errorf("master: engraving %q: %w", text, err)
		}
		if i == 0 && arrow {
			b := o.Bounds()
			o = append(o.Transform(geom.Move(2.5-b.Min.X, -b.Min.Y)), geom.Ring{{X: -1.5, Y: letterMM}, {X: -1.5, Y: 1.8}, {X: -2.8, Y: 1.8}, {X: -0.9, Y: 0}, {X: 1, Y: 1.8}, {X: -0.3, Y: 1.8}, {X: -0.3, Y: letterMM}})
		}
		b := o.Bounds()
		all = append(all, o.Transform(geom.Move(-b.Center().X, y-b.Max.Y))...)
		y -= b.H() + gap
	}
	return all, nil
}

// underside closes a solid from below: a chamfer that draws the first layers in, the
// plane on the build plate, and what is let into it. rim is the outline's rings on
// the chamfer's upper edge, for the wall above it.
type underside struct {
	rim   []mesh.Ring3
	down  []*mesh.Sheet
	openZ float64 // volume under the sheets, to be taken off a prism
}

// under makes the underside of outline o, whose rings (in plan as the wall above has
// them) are rings. holes are sheets let into the plane, each with its outer ring at
// z = 0 as its first.
func (m *maker) under(o geom.Outline, rings []mesh.Ring3, footHeight float64, holes []*mesh.Sheet) (underside, error) {
	var u underside
	foot := m.print.FootMM
	if foot < leastFootMM || footHeight < leastFootMM {
		foot, footHeight = 0, 0
	}
	u.rim = atHeight(rings, float32(footHeight))
	plane := u.rim
	if foot > 0 {
		inset, err := geom.Offset(o, -foot)
		if err != nil {
			return u, fmt.Errorf("master: first layers: %w", err)
		}
		plane = mesh.Level(inset, 0)
		strip, err := mesh.Plane(append(append([]mesh.Ring3(nil), u.rim...), reversed(plane)...))
		if err != nil {
			return u, fmt.Errorf("master: first layers: %w", err)
		}
		u.down = append(u.down, strip)
	}
	all := append([]mesh.Ring3(nil), plane...)
	for _, h := range holes {
		all = append(all, h.Rings[0].Reversed())
		u.down = append(u.down, h)
	}
	flat, err := mesh.Plane(all)
	if err != nil {
		return u, fmt.Errorf("master: underside: %w", err)
	}
	u.down = append(u.down, flat)
	for _, s := range u.down {
		u.openZ += s.Volume()
	}
	return u, nil
}

func atHeight(rings []mesh.Ring3, z float32) []mesh.Ring3 {
	out := make([]mesh.Ring3, len(rings))
	for i, r := range rings {
		out[i] = make(mesh.Ring3, len(r))
		for j, v := range r {
			out[i][j] = [3]float32{v[0], v[1], z}
		}
	}
	return out
}

func reversed(rings []mesh.Ring3) []mesh.Ring3 {
	out := make([]mesh.Ring3, len(rings))
	for i, r := range rings {
		out[i] = r.Reversed()
	}
	return out
}

func placed(rings []mesh.Ring3, turnDeg, x, y, z float64) []mesh.Ring3 {
	out := make([]mesh.Ring3, len(rings))
	for i, r := range rings {
		out[i] = r.Placed(turnDeg, x, y, z)
	}
	return out
}
