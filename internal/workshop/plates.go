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
			w, d := part.WidthMM, part.DepthMM
			if it.TurnDeg == 90 {
				w, d = d, w
			}
			one.Parts = append(one.Parts, PlatePart{Name: part.Name, XMM: tenthMicron(it.XMM), YMM: tenthMicron(it.YMM),
				WidthMM: tenthMicron(w), DepthMM: tenthMicron(d), TurnDeg: it.TurnDeg})
		}
		out = append(out, one)
	}
	return out
}
