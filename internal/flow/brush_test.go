package flow

import (
	"math"
	"testing"

	"mouldwright/internal/flow/master"
)

// A hollow 10 mm right of the middle of a piece that is turned by a quarter lies 10 mm
// behind its place, and farther by what the master is larger.
func TestSpotsTurnWithTheirPiece(t *testing.T) {
	c := &Choices{}
	c.Silicone.Shrinkage.Likely = 0.5
	r := &Result{Choices: c, Master: &master.Master{Trays: []master.Tray{{Number: 1, WidthMM: 100, DepthMM: 80, Placed: []master.Placed{
		{Item: 1, Number: 1, XMM: 30, YMM: 20, TurnDeg: 90}, {Item: 0, Number: 2, XMM: 70, YMM: 20},
	}}}}}
	r.Plan.Pieces = []PlanPiece{{Name: "bee"}, {Name: "crest"}}
	r.Plan.Pieces[1].AirPockets = []PlanPocket{
		{Liquid: "rubber", XMM: 10, WidthMM: 1, DepthMM: 0.5, Brush: true},
		{Liquid: "chocolate", XMM: 3, YMM: 4}, // wide: it fills by itself
	}
	got := r.BrushFirst(0)
	if len(got) != 1 {
		t.Fatalf("%d spots, want 1: %v", len(got), got)
	}
	s := got[0]
	if s.Piece != "crest" || s.Place != 1 || s.Liquid != "rubber" || math.Hypot(s.XMM-30, s.YMM-40) > 0.01 || s.DiameterMM != 1 || s.DepthMM != 0.5 {
		t.Errorf("%+v, want the crest's hollow at (30, 40)", s)
	}
	if r.BrushFirst(1) != nil || r.BrushFirst(-1) != nil {
		t.Error("a tray that is not there has spots")
	}
}
