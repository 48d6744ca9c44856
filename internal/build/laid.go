package build

import (
	"crypto/sha256"
	"fmt"

	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/plate"
	"mouldwright/internal/record"
)

// laid is every plate as the plan reckons it, uncorrected, and every part as it lies
// there, to be remembered.
func laid(r *flow.Result) (plates []*record.Plate, parts []*record.Laid) {
	if r.Plates == nil || r.Master == nil {
		return nil, nil
	}
	p, factor := r.Choices.Printer, 1.0
	for _, l := range r.Plan.Learned {
		if l.Step == flow.StepPrint && l.Used {
			factor = l.Factor.Likely
		}
	}
	for k, pl := range r.Plates.Plates {
		plates = append(plates, &record.Plate{Number: pl.Number, PlannedMin: pl.PrintTimeMin.Likely / factor, ResinML: pl.ResinML})
		for i, it := range pl.Items {
			part := r.Master.Parts[it.Part]
			mid := part.Outline.Transform(it.Affine(part)).Bounds().Center()
			parts = append(parts, &record.Laid{Plate: pl.Number, Name: r.Plan.Plates[k].Parts[i],
				Place: record.PlaceWords(mid.X/p.PlateWidthMM, mid.Y/p.PlateDepthMM), Shape: fmt.Sprintf("%x", printedShape(part.Shape, it, r.Choices.Resin))})
		}
	}
	return plates, parts
}

// printedShape is a part's digest as it is printed: where the plate's axes differ, it is
// made up for as the part lies.
func printedShape(shape [32]byte, it plate.Item, r material.Resin) [32]byte {
	if (r.LongerX == unit.Range{}) && (r.BleedMoreXMM == unit.Range{}) {
		return shape
	}
	return sha256.Sum256(fmt.Appendf(nil, "%x %v %v %v", shape, r.LongerX, r.BleedMoreXMM, it.Lies()))
}
