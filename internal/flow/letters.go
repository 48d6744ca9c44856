package flow

import (
	"fmt"
	"math"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/coupon"
)

// smallLetters finds texts lower than the smallest figure that came through on a coupon,
// in chocolate or, without one of chocolate, on the print.
func (b *build) smallLetters() (found []finding.Finding) {
	least := b.leastFigure()
	if least == nil {
		return nil
	}
	on := map[string]string{coupon.Chocolate: "in chocolate", coupon.Detail: "on the print"}[least.Coupon]
	for _, m := range b.made {
		tallest := map[int]float64{}
		for _, k := range m.plan.Marks {
			if k.Art > 0 && k.Art <= len(b.c.Pieces[m.design].Art) && b.c.Pieces[m.design].Art[k.Art-1].Text != "" {
				tallest[k.Art] = math.Max(tallest[k.Art], k.HeightMM)
			}
		}
		for art := range len(b.c.Pieces[m.design].Art) {
			h := tallest[art+1]
			if h == 0 || h > least.Value.Likely-0.05 { // a step is read to its half
				continue
			}
			where := fmt.Sprintf("piece[%d].art[%d]", m.design+1, art+1)
			if _, row, ok := strings.Cut(m.plan.Name, ": "); ok {
				where += " (" + row + ")"
			}
			found = append(found, finding.Finding{Severity: finding.Care, Where: where,
				What: fmt.Sprintf("letters %s high; the smallest figure that came through %s on your coupon of %s is %s", unit.Length(math.Round(h*10)/10), on, least.Date, unit.Length(least.Value.Likely)),
				Do:   "larger letters, or a finer coupon"})
		}
	}
	return found
}

// leastFigure is the smallest figure that counts; nil when none was looked at.
func (b *build) leastFigure() (least *Measured) {
	for i, m := range b.in.Measured {
		if m.What == coupon.SmallestFigure && m.Why == "" && (least == nil || m.Coupon == coupon.Chocolate) {
			least = &b.in.Measured[i]
		}
	}
	return least
}
