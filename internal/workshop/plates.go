package workshop

import (
	"mouldwright/internal/flow"
)

// platesOf is every build plate of a sketch with where its parts lie.
func platesOf(in *flow.Input, r *flow.Result) []OnePlate {
	out := []OnePlate{}
	if r.Plates == nil || r.Master == nil {
		return out
	}
	p := in.Choices.Printer
	for _, plate := range r.Plates.Plates {
		one := OnePlate{Number: plate.Number, WidthMM: p.PlateWidthMM, DepthMM: p.PlateDepthMM, MarginMM: p.MarginMM, Parts: []PlatePart{}}
		for _, it := range plate.Items {
			part := r.Master.Parts[it.Part]
			m := it.Affine(part)
			one.Parts = append(one.Parts, PlatePart{Name: part.Name, Part: it.Part + 1, Rings: rings(part.Outline.Transform(m)),
				At: [6]float64{m.A, m.B, m.C, m.D, tenthMicron(m.E), tenthMicron(m.F)}})
		}
		out = append(out, one)
	}
	return out
}
