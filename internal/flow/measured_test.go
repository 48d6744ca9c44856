package flow

import (
	"math"
	"strings"
	"testing"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/coupon"
)

func TestMeasuredTakesThePlaceOfAssumed(t *testing.T) {
	day := unit.Date{Year: 2027, Month: 1, Day: 17}
	size := map[string][]float64{}
	for k, v := range map[string]float64{"X10": 10, "X20": 20, "X30": 30, "X40": 40} {
		size[k] = []float64{v*0.995 + 0.06}
	}
	for k, v := range map[string]float64{"X6": 6, "X12": 12, "X18": 18, "X24": 24} {
		size[k] = []float64{v*0.995 - 0.06}
	}
	c := Choices{Coupons: []coupon.Reading{
		{Kind: coupon.Size, Date: day, MM: size},
		{Kind: coupon.Detail, Date: day, MM: map[string][]float64{coupon.Line: {0.12}, coupon.Gap: {0.25}}},
		{Kind: coupon.Chocolate, Date: day, MM: map[string][]float64{coupon.Gap: {0.4}, coupon.Line: {0.6}}},
		{Kind: coupon.Chocolate, Date: unit.Date{Year: 2026, Month: 1, Day: 1}, MM: map[string][]float64{coupon.Line: {1.2}}},
		{Kind: coupon.Foot, Date: day, Resin: "another", MM: map[string][]float64{"H0": {12.2}, "H100": {12.1}, "H200": {12}, "H300": {12}}},
	}}
	c.Forecast.ChocolateMM = 0.5
	assumed := []Assumed{{Key: "resin.shrinkage"}, {Key: "resin.bleed_mm"}, {Key: "resin.foot_mm"}, {Key: "forecast.least_resin_mm"}, {Key: "forecast.least_rubber_mm"}}
	rest, measured, found := TakeMeasured(&c, assumed)
	if len(found) != 1 || !strings.Contains(found[0].What, "one axis alone") {
		t.Fatal(found)
	}
	if len(rest) != 1 || rest[0].Key != "resin.foot_mm" {
		t.Errorf("still assumed: %+v", rest)
	}
	if len(assumed) != 5 || assumed[0].Key != "resin.shrinkage" || assumed[4].Key != "forecast.least_rubber_mm" {
		t.Errorf("the given list changed: %+v", assumed)
	}
	if math.Abs(c.Resin.Shrinkage.Likely-0.005) > 1e-9 || math.Abs(c.Resin.BleedMM.Likely-0.03) > 1e-9 || c.Forecast.ResinMM != 0.12 {
		t.Errorf("%+v %+v", c.Resin, c.Forecast)
	}
	if c.Forecast.RubberMM != 0.4 {
		t.Errorf("fin of rubber %g, of 0.25 on the print and 0.4 in chocolate", c.Forecast.RubberMM)
	}
	if c.Forecast.ChocolateMM != 0.5 {
		t.Error("the job's own value is replaced")
	}
	why := map[string]string{}
	for _, m := range measured {
		if m.Key != "" {
			why[m.Coupon+" "+m.Key+" "+m.Date] = m.Why
		}
	}
	for k, want := range map[string]string{
		"chocolate forecast.least_chocolate_mm 2027-01-17": "own", "chocolate forecast.least_chocolate_mm 2026-01-01": "newer", "foot resin.foot_mm 2027-01-17": "another",
		"size resin.shrinkage 2027-01-17": "",
	} {
		got, ok := why[k]
		if !ok || !strings.Contains(got, want) || want == "" && got != "" {
			t.Errorf("%s: %q (%v)", k, got, ok)
		}
	}
}

func TestContradictionsInTheJobLeaveWhatWasAssumed(t *testing.T) {
	c := Choices{Coupons: []coupon.Reading{{Kind: coupon.Detail, MM: map[string][]float64{coupon.Line: {0.05, 0.5}}}}}
	c.Forecast.ResinMM = 0.15
	rest, measured, found := TakeMeasured(&c, []Assumed{{Key: "forecast.least_resin_mm"}})
	if len(rest) != 1 || len(measured) != 0 || c.Forecast.ResinMM != 0.15 {
		t.Errorf("%v %v", rest, measured)
	}
	if len(found) != 1 || found[0].Severity != "care" || found[0].Where != "coupon[1]" || !strings.Contains(found[0].What, "LINE") {
		t.Errorf("%+v", found)
	}
}
