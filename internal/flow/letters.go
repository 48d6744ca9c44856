package flow

import (
	"fmt"
	"math"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/coupon"
)

// lettersKey is the rule for the lowest text.
const lettersKey = "forecast.least_letter_mm"

// smallLetters finds texts lower than the rule, which is the smallest figure that came
// through on a coupon where one was looked at.
func (b *build) smallLetters() (found []finding.Finding) {
	least := b.c.Forecast.LetterMM
	if least == 0 {
		return nil
	}
	from := "the job's own"
	for _, m := range b.in.Measured {
		if m.Key == lettersKey && m.Used {
			from = fmt.Sprintf("the smallest figure that came through %s on your coupon of %s", map[string]string{coupon.Chocolate: "in chocolate", coupon.Detail: "on the print"}[m.Coupon], m.Date)
		}
	}
	for _, m := range b.made {
		tallest := map[int]PlanMark{}
		for _, k := range m.plan.Marks {
			if k.Art > 0 && k.Art <= len(b.c.Pieces[m.design].Art) && b.c.Pieces[m.design].Art[k.Art-1].Text != "" && k.HeightMM > tallest[k.Art].HeightMM {
				tallest[k.Art] = k
			}
		}
		for i, a := range b.c.Pieces[m.design].Art {
			k := tallest[i+1]
			h := k.HeightMM
			if h == 0 || h > least-0.05 { // a step is read to its half
				continue
			}
			where := fmt.Sprintf("piece[%d].art[%d]", m.design+1, i+1)
			larger := func(key string, mm float64) finding.Remedy {
				return finding.Set(where+"."+key, math.Ceil(10*mm*least/h)/10)
			}
			f := finding.Finding{Severity: finding.Care, Where: where, At: finding.Place{Piece: m.plan.Name, XMM: math.Round(100*k.XMM) / 100, YMM: math.Round(100*k.YMM) / 100},
				What: fmt.Sprintf("letters %s high (rule of thumb %s, %s: %s)", unit.Length(math.Round(h*10)/10), lettersKey, unit.Length(least), from),
				Do:   "larger letters, or a finer coupon"}
			switch {
			case a.WidthMM > 0 && a.HeightMM > 0: // the smaller scale wins: one number is no remedy
			case a.WidthMM > 0:
				f.Remedy = larger("width_mm", a.WidthMM)
			case a.HeightMM > 0:
				f.Remedy = larger("height_mm", a.HeightMM)
			}
			if _, row, ok := strings.Cut(m.plan.Name, ": "); ok {
				f.Where += " (" + row + ")"
			}
			found = append(found, f)
		}
	}
	return found
}
