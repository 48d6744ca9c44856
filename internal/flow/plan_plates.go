package flow

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/threemf"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/plate"
)

// PlanPrinting is the time of all plates, and the proof that it is short: no
// arrangement takes less than the bound, and every part alone takes what stands apart.
type PlanPrinting struct {
	PlateTimeMin      unit.Range `json:"plate_time_min" doc:"minutes: all plates together"`
	PlateTimeBoundMin unit.Range `json:"plate_time_bound_min" doc:"minutes: no arrangement of these parts takes less, by their areas and heights"`
	PlateTimeApartMin unit.Range `json:"plate_time_apart_min" doc:"minutes: every part printed alone"`
}

// PlanExposure is what a plate's layers expose; of a sketch there is none.
type PlanExposure struct {
	ExposedAreaMaxMM2 float64       `json:"exposed_area_max_mm2,omitempty" doc:"largest area of a layer"`
	ExposedAreaMM2    []float64     `json:"exposed_area_mm2,omitempty" doc:"area of each layer, from the build plate up"`
	Suction           []PlanSuction `json:"suction,omitempty" doc:"cups that are closed while they are printed"`
}

// PlanSuction is a cup that sucks at the film.
type PlanSuction struct {
	AreaMM2 float64 `json:"area_mm2" doc:"seen from above"`
	FromMM  float64 `json:"from_mm" doc:"height at which it begins"`
	ToMM    float64 `json:"to_mm" doc:"height at which it ends"`
	XMM     float64 `json:"x_mm" doc:"a place in it, from the plate's left edge"`
	YMM     float64 `json:"y_mm" doc:"from the plate's front edge"`
	Trapped bool    `json:"trapped" doc:"a roof closes over it, so that it keeps liquid resin"`
}

func planPrinting(p *plate.Plates) PlanPrinting {
	return PlanPrinting{PlateTimeMin: p.PrintTimeMin, PlateTimeBoundMin: p.BoundMin, PlateTimeApartMin: p.ApartMin}
}

// arrange puts the parts on plates, or just those that are asked for.
func (b *build) arrange(ctx context.Context) (*plate.Plates, []finding.Finding, error) {
	if len(b.opt.Only) == 0 {
		p, list, err := plate.Make(ctx, b.r.Master.Parts, b.c.Plate, b.c.Printer, b.c.Resin)
		b.learnPrints(p)
		return p, list, err
	}
	b.r.Plan.Only = b.opt.Only
	p, list, err := plate.Only(ctx, b.r.Master.Parts, b.opt.Only, b.c.Plate, b.c.Printer, b.c.Resin)
	b.learnPrints(p)
	return p, list, err
}

// plateFile is the name of a plate's files without what tells their kind.
func (b *build) plateFile(p *plate.Plate) string {
	kind := "plate"
	if len(b.opt.Only) > 0 {
		kind = "again"
	}
	return fmt.Sprintf("plates/%s-%02d-%s", kind, p.Number, b.r.Plan.Revision)
}

// Solids gives a plate's objects with the places of their instances, which are turned
// and moved in the plane only.
func Solids(m *threemf.Model) []plate.Solid {
	solids := make([]plate.Solid, len(m.Objects))
	for i, o := range m.Objects {
		solids[i] = plate.Solid{Name: o.Name, Mesh: o.Mesh}
	}
	for _, it := range m.Items {
		t := it.Transform
		solids[it.Object].Places = append(solids[it.Object].Places, geom.Affine{A: t[0], B: t[1], C: t[3], D: t[4], E: t[9], F: t[10]})
	}
	return solids
}

// expose measures the layers of a plate, from the very mesh that is written, and says
// what is to be known of them.
func (b *build) expose(ctx context.Context, p *plate.Plate, s *plate.Stack) (PlanExposure, error) {
	e, err := plate.Expose(ctx, s, b.c.Plate.SuctionMM2)
	if err != nil {
		return PlanExposure{}, err
	}
	b.found(p.Judge(e, b.c.Plate, s.LayerMM))
	b.cups = append(b.cups, p.Cups(e, b.r.Master.Parts)...)
	out := PlanExposure{ExposedAreaMaxMM2: hundredth(e.MaxMM2())}
	for _, a := range e.AreaMM2 {
		out.ExposedAreaMM2 = append(out.ExposedAreaMM2, hundredth(a))
	}
	for _, c := range e.Suction {
		out.Suction = append(out.Suction, PlanSuction{hundredth(c.AreaMM2), c.FromMM, c.ToMM, hundredth(c.XMM), hundredth(c.YMM), c.Trapped})
	}
	return out, nil
}

func hundredth(v float64) float64 { return math.Round(v*100) / 100 }
