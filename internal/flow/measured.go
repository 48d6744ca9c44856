package flow

import (
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/coupon"
)

// Measured is a value that a coupon's readings gave.
type Measured struct {
	coupon.Found
	Coupon string `json:"coupon" doc:"foot, size, detail or chocolate"`
	Date   string `json:"date" doc:"when it was measured"`
	Used   bool   `json:"used" doc:"it took the place of an assumed value"`
	Why    string `json:"why,omitempty" doc:"why it did not"`
}

// measuredNumber is the choice that a key of a plain number names, if a coupon can tell it.
func (c *Choices) measuredNumber(key string) *float64 {
	switch key {
	case "resin.foot_height_mm":
		return &c.Resin.FootHeightMM
	case "forecast.least_resin_mm":
		return &c.Forecast.ResinMM
	case "forecast.least_rubber_mm":
		return &c.Forecast.RubberMM
	case "forecast.least_chocolate_mm":
		return &c.Forecast.ChocolateMM
	case "forecast.least_letter_mm":
		return &c.Forecast.LetterMM
	}
	return nil
}

// measuredRange is the same for a range.
func (c *Choices) measuredRange(key string) *unit.Range {
	switch key {
	case "resin.foot_mm":
		return &c.Resin.FootMM
	case "resin.shrinkage":
		return &c.Resin.Shrinkage
	case "resin.bleed_mm":
		return &c.Resin.BleedMM
	case "resin.longer_x":
		return &c.Resin.LongerX
	case "resin.bleed_more_x_mm":
		return &c.Resin.BleedMoreXMM
	}
	return nil
}

// TakeMeasured puts what the job's coupons say in the place of assumed values: what the
// job file has itself stays. It returns the values that are still assumed.
func TakeMeasured(c *Choices, assumed []Assumed) (rest []Assumed, measured []Measured, found []finding.Finding) {
	rest = assumed
	newest := map[string]int{}
	for i, r := range c.Coupons {
		k, seen := newest[r.Kind]
		if c.otherResin(r) == "" && (!seen || r.Date.String() >= c.Coupons[k].Date.String()) {
			newest[r.Kind] = i
		}
	}
	for i, r := range c.Coupons {
		where := fmt.Sprintf("coupon[%d]", i+1)
		l := coupon.Read(where, r)
		why := c.otherResin(r)
		if k := newest[r.Kind]; why == "" && k != i {
			why = "coupon[" + fmt.Sprint(k+1) + "] is newer"
		}
		if why == "" {
			for _, f := range l.Findings {
				if f.Severity == finding.Stop { // the job goes on with what was assumed
					f.Severity = finding.Care
					f.Where, f.What = where, f.Where+": "+f.What+"; none of this coupon's values is used"
				}
				found = append(found, f)
			}
		}
		for _, v := range l.Values {
			v.Value, v.StdErr = v.Value.Map(tidy), tidy(v.StdErr)
			m := Measured{Found: v, Coupon: r.Kind, Date: r.Date.String(), Why: why}
			if v.Key != "" && why == "" {
				m.Used, m.Why, rest = c.take(m, rest, measured)
			}
			measured = append(measured, m)
		}
	}
	return rest, measured, found
}

// otherResin says why a reading of another resin is not used.
func (c *Choices) otherResin(r coupon.Reading) string {
	if r.Resin == "" || r.Resin == c.Resin.Called() {
		return ""
	}
	return fmt.Sprintf("printed with %s, the job has %s", r.Resin, c.Resin.Called())
}

// take puts one value in its place.
func (c *Choices) take(m Measured, rest []Assumed, before []Measured) (used bool, why string, _ []Assumed) {
	ours := slices.ContainsFunc(before, func(o Measured) bool { return o.Used && o.Key == m.Key })
	k := slices.IndexFunc(rest, func(a Assumed) bool { return a.Key == m.Key })
	if k < 0 && !ours {
		return false, "the job file has its own " + m.Key + "; take it out there to use this", rest
	}
	if r := c.measuredRange(m.Key); r != nil {
		*r = m.Value
	} else if p := c.measuredNumber(m.Key); ours && *p > m.Value.Likely {
		// Two coupons judge the same fin of rubber or letter: what either lost is lost.
		return false, fmt.Sprintf("the other coupon asks for %g mm", *p), rest
	} else {
		*p = m.Value.Likely
	}
	if k >= 0 {
		rest = slices.Delete(slices.Clone(rest), k, k+1)
	}
	return true, "", rest
}

// tidy rounds to a ten-thousandth: a tenth of a µm, or a hundredth of a per cent.
func tidy(x float64) float64 {
	if r := math.Round(x*1e4) / 1e4; r != 0 {
		return r
	}
	return 0
}
