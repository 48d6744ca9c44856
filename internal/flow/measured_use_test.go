package flow_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/coupon"
	"mouldwright/internal/flow/forecast"
	"mouldwright/internal/flow/piece"
)

// Each ladder of a coupon takes the place of the assumed value everywhere that it is used:
// in the fates of marks, in the widths' verdicts, in the smallest text and in the remark,
// which names the measured number. The plan lists it as measured and no longer as assumed.
func TestMeasuredLaddersDecide(t *testing.T) {
	ctx := context.Background()
	for _, k := range []struct {
		kind, ladder, key string
		mm                float64
		changed           func(was, is *forecast.Forecast) bool
		remark            string
	}{
		{coupon.Detail, coupon.Line, "forecast.least_resin_mm", 0.8, func(was, is *forecast.Forecast) bool {
			return lost(is, "raised", "resin") > lost(was, "raised", "resin") && is.Widths[2].Resin == forecast.TooFine && was.Widths[2].Resin == forecast.Holds && is.SmallestTextMM > was.SmallestTextMM
		}, "forecast.least_resin_mm, 0.8 mm"},
		{coupon.Detail, coupon.Gap, "forecast.least_rubber_mm", 0.8, func(was, is *forecast.Forecast) bool {
			return lost(is, "hole", "rubber") > lost(was, "hole", "rubber") && is.SmallestTextMM > was.SmallestTextMM
		}, "forecast.least_rubber_mm, 0.8 mm"},
		{coupon.Chocolate, coupon.Gap, "forecast.least_rubber_mm", 1, func(was, is *forecast.Forecast) bool {
			return lost(is, "hole", "rubber") > lost(was, "hole", "rubber") && is.SmallestTextMM > was.SmallestTextMM
		}, "forecast.least_rubber_mm, 1 mm"},
		{coupon.Chocolate, coupon.Line, "forecast.least_chocolate_mm", 1, func(was, is *forecast.Forecast) bool {
			return lost(is, "raised", "chocolate") > lost(was, "raised", "chocolate") && is.Widths[2].Chocolate == forecast.TooFine && was.Widths[2].Chocolate == forecast.Holds && is.SmallestTextMM > was.SmallestTextMM
		}, "forecast.least_chocolate_mm, 1 mm"},
		{coupon.Detail, coupon.Letter, "forecast.least_letter_mm", 4, func(was, is *forecast.Forecast) bool {
			return math.Abs(is.SmallestTextMM-4) < 1e-9 && was.SmallestTextMM < 4
		}, "forecast.least_letter_mm, 4"},
		{coupon.Chocolate, coupon.Letter, "forecast.least_letter_mm", 6, func(was, is *forecast.Forecast) bool {
			return math.Abs(is.SmallestTextMM-6) < 1e-9 && was.SmallestTextMM < 6
		}, "forecast.least_letter_mm, 6"},
	} {
		name := k.kind + " " + k.ladder
		in := orchard(t)
		in.Rows = in.Rows[:1]
		d := &in.Choices.Pieces[3]
		d.Art[0].Text, d.Art[0].WidthMM, d.Art[0].HeightMM, d.Art[0].DepthMM = "aobe", 0, 5, 0.2
		if k.ladder == coupon.Letter { // strokes alone would allow less
			in.Choices.Forecast.ChocolateMM, in.Choices.Forecast.RubberMM = 0.2, 0.1
		}
		judge := func() (*forecast.Forecast, []finding.Finding) {
			c := &in.Choices
			f := c.Forecast
			p, _, err := piece.Make(ctx, c.Pieces[3], piece.Inputs{Fonts: artwork.NewFonts()}, nil, -1, 0.03)
			if err != nil || p == nil {
				t.Fatal(err)
			}
			p.Design = 3
			got, list, err := forecast.Make(ctx, p, c.Means(3), f)
			if err != nil {
				t.Fatal(err)
			}
			return got, list
		}
		was, _ := judge()
		in.Choices.Coupons = []coupon.Reading{{Kind: k.kind, Date: unit.Date{Year: 2027, Month: 1, Day: 17}, MM: map[string][]float64{k.ladder: {k.mm}}}}
		in.Assumed, in.Measured, _ = flow.TakeMeasured(&in.Choices, in.Assumed)
		is, list := judge()
		if !k.changed(was, is) {
			t.Errorf("%s: nothing changed: %+v and %+v", name, was.Widths, is.Widths)
		}
		if k.ladder != coupon.Letter && !strings.Contains(fmt.Sprint(list), k.remark) {
			t.Errorf("%s: no remark names %s: %v", name, k.remark, list)
		}
		if !slices.ContainsFunc(in.Measured, func(m flow.Measured) bool { return m.Key == k.key && m.Used && m.Value.Likely == k.mm }) {
			t.Errorf("%s: not measured: %+v", name, in.Measured)
		}
		if slices.ContainsFunc(in.Assumed, func(a flow.Assumed) bool { return a.Key == k.key }) {
			t.Errorf("%s: still assumed", name)
		}
	}
}

// lost counts the marks of a kind that something takes.
func lost(f *forecast.Forecast, kind, by string) (n int) {
	for _, m := range f.Marks {
		if m.Kind == kind && m.Cause == by {
			n++
		}
	}
	return n
}
