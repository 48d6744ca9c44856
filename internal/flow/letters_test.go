package flow

import (
	"strings"
	"testing"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/coupon"
	"mouldwright/internal/flow/piece"
)

func TestLettersLowerThanTheCoupons(t *testing.T) {
	c := &Choices{Pieces: []piece.Choices{{Name: "plaque", Art: []artwork.Choices{{Text: "{name}"}, {File: "bee.svg"}}}}}
	figure := func(kind string, mm float64) Measured {
		return Measured{Found: coupon.Found{Key: lettersKey, What: coupon.SmallestFigure, Unit: coupon.InMM, Value: unit.Between(mm-0.5, mm, mm)}, Coupon: kind, Date: "2027-01-17", Used: true}
	}
	c.Forecast.LetterMM, c.Pieces[0].Art[0].HeightMM = 2.5, 2
	b := &build{c: c, in: &Input{Measured: []Measured{figure(coupon.Detail, 1), figure(coupon.Chocolate, 2.5)}}}
	b.made = []made{
		{plan: PlanPiece{Name: "plaque: Ysoline", PlanForecast: PlanForecast{Marks: []PlanMark{{Art: 1, HeightMM: 2}, {Art: 1, HeightMM: 1.4}, {Art: 2, HeightMM: 9}}}}},
		{plan: PlanPiece{Name: "plaque: Oda", PlanForecast: PlanForecast{Marks: []PlanMark{{Art: 1, HeightMM: 3}, {Art: 2, HeightMM: 1}}}}},
	}
	found := b.smallLetters()
	if len(found) != 1 || found[0].Where != "piece[1].art[1] (Ysoline)" || !strings.Contains(found[0].What, "forecast.least_letter_mm, 2.5") || !strings.Contains(found[0].What, "in chocolate") || found[0].Remedy.Value != "2.5" {
		t.Errorf("%+v", found)
	}
	c.Forecast.LetterMM = 1
	if found := b.smallLetters(); len(found) != 0 {
		t.Errorf("on the print 1 mm came through: %+v", found)
	}
}
