package picture

import (
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// made is a chocolate by formula: sides that lean 8 degrees, a rounded upper edge,
// a cushioned top, and raised art with sides that lean 15 degrees.
func made(o geom.Outline, heightMM, riseMM, pitchMM float64, art geom.Outline, raisedMM float64) *field.Field {
	f := field.New(field.Around(o.Bounds().Grow(1), pitchMM))
	tan8, tan15 := math.Tan(8*math.Pi/180), math.Tan(15*math.Pi/180)
	const edge = 1.2
	for j := range f.H {
		for i := range f.W {
			p := f.XY(i, j)
			d := inside(o, p)
			if d <= 0 {
				continue
			}
			rim := heightMM - riseMM
			z := math.Min(d/tan8, rim)
			if in := d - (rim-edge)*tan8; in > 0 && in < edge { // the rounded edge
				z = math.Min(z, rim-edge+math.Sqrt(edge*edge-(edge-in)*(edge-in)))
			}
			if in := d - rim*tan8; in > 0 {
				z += riseMM * (1 - math.Exp(-in/2.5))
			}
			if a := inside(art, p); a > 0 {
				z += math.Min(a/tan15, raisedMM)
			}
			f.Z[j*f.W+i] = float32(z)
		}
	}
	return f
}

// inside is the distance to the outline in mm, positive inside.
func inside(o geom.Outline, p geom.Vec) float64 {
	best := math.Inf(1)
	for _, r := range o {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			ab, ap := b.Sub(a), p.Sub(a)
			t := math.Max(0, math.Min(1, ap.Dot(ab)/math.Max(ab.Dot(ab), 1e-12)))
			best = math.Min(best, ap.Sub(ab.Times(t)).Len())
		}
	}
	if o.Contains(p) {
		return best
	}
	return -best
}

// wheel is art with fine and wide strokes: spokes and two rings.
func wheel(r float64) geom.Outline {
	var o geom.Outline
	for k := range 8 {
		leaf := geom.Ellipse(r*0.62, r*0.2)
		o = append(o, leaf.Transform(geom.Move(r*0.55, 0).Then(geom.Turn(float64(k)*45)))...)
	}
	ring := func(a, b float64) {
		o = append(o, thin(geom.Circle(a)[0]))
		in := thin(geom.Circle(b)[0])
		for i, j := 0, len(in)-1; i < j; i, j = i+1, j-1 {
			in[i], in[j] = in[j], in[i]
		}
		o = append(o, in)
	}
	ring(r, r*0.92)
	o = append(o, thin(geom.Circle(r * 0.16)[0]))
	return o
}

// thin keeps some of a ring's points, so that brute force stays quick.
func thin(r geom.Ring) geom.Ring {
	step := max(1, len(r)/60)
	var out geom.Ring
	for i := 0; i < len(r); i += step {
		out = append(out, r[i])
	}
	return out
}
