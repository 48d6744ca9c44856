package workshop

import (
	"net/http"
	"testing"

	"mouldwright/internal/flow"
)

// Too little B is told with what to add; a cup that is not there and a lost decimal
// point are refused.
func TestWeighed(t *testing.T) {
	v := opened(t, letters(t))
	var tray struct{ Plan flow.Plan }
	v.want(http.StatusOK, "GET", "/api/tray", nil, &tray)
	cup := tray.Plan.Pour.Cups[0]
	var got flow.PlanWeighed
	v.want(http.StatusOK, "POST", "/api/weighed", WeighedRequest{[]WeighedCup{{1, cup.PartAG, cup.PartBG * 0.9}}}, &got)
	if c := got.Cups[0]; c.Verdict != "too little B" || c.AddBG <= 0 || c.Words == "" || len(got.Words) == 0 {
		t.Errorf("%+v", got)
	}
	v.want(http.StatusOK, "POST", "/api/weighed", WeighedRequest{[]WeighedCup{{1, cup.PartAG, cup.PartBG}}}, &got)
	if c := got.Cups[0]; c.Verdict != "the ratio is right" || c.AddBG != 0 {
		t.Errorf("%+v", got)
	}
	v.want(http.StatusUnprocessableEntity, "POST", "/api/weighed", WeighedRequest{[]WeighedCup{{len(tray.Plan.Pour.Cups) + 1, 1, 1}}}, nil)
	v.want(http.StatusUnprocessableEntity, "POST", "/api/weighed", WeighedRequest{[]WeighedCup{{1, cup.PartAG * 10, cup.PartBG}}}, nil)
	v.want(http.StatusBadRequest, "POST", "/api/weighed", map[string]any{"cup": 1}, nil)
}
