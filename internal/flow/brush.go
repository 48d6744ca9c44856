package flow

import (
	"math"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/master"
)

// Spot is a hollow on a tray that is to be brushed first, so that no air stays in it.
type Spot struct {
	Liquid     string  // rubber, on the master; chocolate, in the mould
	Place      int     // Placed.Number of the piece that it is on
	Piece      string  // name of that piece
	XMM, YMM   float64 // on the tray, from its left front corner, seen from above the master
	DiameterMM float64 // of the largest disc that fits at half its depth
	DepthMM    float64
}

// BrushFirst is every spot of a tray (index into Master.Trays) to brush before a liquid
// is poured: rubber over the master, or chocolate into the mould. Spots are in the order
// of the places, the largest of a piece first. The mould lies face up when chocolate is
// poured into it, so that it shows the tray mirrored: its x is the tray's width less
// XMM. A tray of a sketch knows those of the rubber only.
func (r *Result) BrushFirst(tray int) []Spot {
	if r.Master == nil || tray < 0 || tray >= len(r.Master.Trays) {
		return nil
	}
	t := &r.Master.Trays[tray]
	var out []Spot
	for _, p := range t.Placed {
		if p.Item >= len(r.Plan.Pieces) {
			continue
		}
		pc := &r.Plan.Pieces[p.Item]
		for _, k := range pc.AirPockets {
			if k.Brush {
				out = append(out, spotOf(k, p, pc.Name, r.Choices.Silicone.Shrinkage.Likely))
			}
		}
	}
	return out
}

// spotOf carries a hollow of a piece to where the piece stands, as much larger as the
// master is for the rubber's shrinkage.
func spotOf(k PlanPocket, p master.Placed, name string, shrink float64) Spot {
	grow := 1 / (1 - shrink)
	at := geom.Turn(p.TurnDeg).Then(geom.Move(p.XMM, p.YMM)).Apply(geom.Vec{X: k.XMM * grow, Y: k.YMM * grow})
	return Spot{Liquid: k.Liquid, Place: p.Number, Piece: name,
		XMM: math.Round(at.X*100) / 100, YMM: math.Round(at.Y*100) / 100, DiameterMM: k.WidthMM, DepthMM: k.DepthMM}
}
