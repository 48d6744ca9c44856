package workshop

import (
	"net/http"
	"testing"
	"time"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/record"
)

// Too little B is told with what to add; a cup that is not there and a lost decimal
// point are refused.
func TestWeighed(t *testing.T) {
	v := opened(t, letters(t))
	var tray struct{ Plan flow.Plan }
	v.want(http.StatusOK, "GET", "/api/tray", nil, &tray)
	cup := tray.Plan.Pour.Cups[0]
	var got flow.PlanWeighed
	v.want(http.StatusOK, "POST", "/api/weighed", WeighedRequest{[]WeighedCup{{1, cup.PartAG, cup.PartBG * 0.9, 0}}}, &got)
	if c := got.Cups[0]; c.Verdict != "too little B" || c.AddBG <= 0 || c.Words == "" || len(got.Words) == 0 {
		t.Errorf("%+v", got)
	}
	v.want(http.StatusOK, "POST", "/api/weighed", WeighedRequest{[]WeighedCup{{1, cup.PartAG, cup.PartBG, 0}}}, &got)
	if c := got.Cups[0]; c.Verdict != "the ratio is right" || c.AddBG != 0 {
		t.Errorf("%+v", got)
	}
	v.want(http.StatusUnprocessableEntity, "POST", "/api/weighed", WeighedRequest{[]WeighedCup{{len(tray.Plan.Pour.Cups) + 1, 1, 1, 0}}}, nil)
	v.want(http.StatusUnprocessableEntity, "POST", "/api/weighed", WeighedRequest{[]WeighedCup{{1, cup.PartAG * 10, cup.PartBG, 0}}}, nil)
	v.want(http.StatusBadRequest, "POST", "/api/weighed", map[string]any{"cup": 1}, nil)
}

// A clock and a weighed mass are kept without laying anything out anew; the outcome of a
// cure test opens the gate.
func TestEntriesThatLeaveThePlan(t *testing.T) {
	v := opened(t, letters(t))
	var tray struct{ Plan flow.Plan }
	v.want(http.StatusOK, "GET", "/api/tray", nil, &tray)
	c := tray.Plan.Pour.CureTest[0]
	v.want(http.StatusOK, "POST", "/api/record", record.Entries{Stocks: []record.Stock{{At: time.Date(2026, 11, 1, 10, 0, 0, 0, time.UTC), What: c.Silicone, Amount: 900, Unit: "g"}}}, nil)
	v.want(http.StatusOK, "GET", "/api/tray", nil, &tray)
	if tray.Plan.Pour.HomeG != 900 {
		t.Errorf("%g g at home", tray.Plan.Pour.HomeG)
	}
	before := v.s.live.last()
	at := time.Date(2026, 11, 20, 10, 0, 0, 0, time.UTC)
	v.want(http.StatusOK, "POST", "/api/record", record.Entries{
		Timers:    []record.Timer{{At: at, Name: "cup 1", Minutes: 20}},
		Weighings: []record.Weighing{{At: at, Cup: 1, What: "part A", MassG: 10, Silicone: c.Silicone}},
	}, nil)
	v.want(http.StatusOK, "GET", "/api/tray", nil, &tray)
	if v.s.live.last() != before {
		t.Error("a clock laid the trays out anew")
	}
	v.want(http.StatusOK, "POST", "/api/record", record.Entries{CureTests: []record.CureTest{{Day: unit.Date{Year: 2026, Month: 11, Day: 20}, Resin: c.Resin, Treatment: c.Treatment, Coating: c.Coating, Silicone: c.Silicone, Outcome: "clean"}}}, nil)
	v.want(http.StatusOK, "GET", "/api/tray", nil, &tray)
	if !tray.Plan.Pour.Released || v.s.live.last() == before {
		t.Error("a clean test does not open the gate")
	}
}
