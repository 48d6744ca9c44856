package pour

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"mouldwright/internal/base/unit"
)

// Home is rubber that is there already, A and B together in the right ratio. After Make
// the last fields say what the plan does with it.
type Home struct {
	What, Lot    string
	MassG        float64
	Opened       unit.Date // zero: not opened
	KeepsUntil   unit.Date // zero: not known
	OpenedMonths float64   // that an opened tin of it keeps; 0: not known
	Poured       bool      // it is no longer at home, since it was poured for this job

	Until  unit.Date // the last day on which it is good; zero: not known
	Spoilt bool      // that is before the day needed: none of it is counted on
	UsedG  float64   // of the mass needed
	LeftG  float64   // is left over when frames and pads are poured
}

// until is the last day: the sooner of what stands on the tin and of what an opened one
// keeps.
func (h Home) until() unit.Date {
	out := h.KeepsUntil
	if h.Opened != (unit.Date{}) && h.OpenedMonths > 0 {
		months, part := math.Modf(h.OpenedMonths)
		t := time.Date(h.Opened.Year, time.Month(h.Opened.Month)+time.Month(months), h.Opened.Day+int(part*30), 0, 0, 0, 0, time.UTC)
		end := unit.Date{Year: t.Year(), Month: int(t.Month()), Day: t.Day()}
		if out == (unit.Date{}) || end.String() < out.String() {
			out = end
		}
	}
	return out
}

// atHome judges what is there by the day needed (zero: not known) and puts first what
// keeps least long; what keeps unknown comes last. good is the mass to count on.
func atHome(list []Home, needed unit.Date) (out []Home, good float64) {
	for _, h := range list {
		if !(h.MassG > 0) || math.IsInf(h.MassG, 0) {
			continue
		}
		h.Until = h.until()
		h.Spoilt = h.Until != (unit.Date{}) && needed != (unit.Date{}) && h.Until.String() < needed.String()
		if !h.Spoilt {
			good += h.MassG
		}
		out = append(out, h)
	}
	never := unit.Date{Year: 9999, Month: 12, Day: 31}
	end := func(h Home) unit.Date {
		if h.Poured {
			return unit.Date{Year: 1, Month: 1, Day: 1}
		}
		if h.Until == (unit.Date{}) {
			return never
		}
		return h.Until
	}
	slices.SortStableFunc(out, func(a, b Home) int { return cmp.Compare(end(a).String(), end(b).String()) })
	return out, good
}

// MaxHome bounds the tins at home (our choice: no cupboard has room for them).
const MaxHome = 5000

// use takes the rubber needed from what is at home, in order.
func use(list []Home, needG, usedG float64) {
	for i := range list {
		h := &list[i]
		if h.Spoilt {
			continue
		}
		h.UsedG = math.Min(h.MassG, needG)
		needG -= h.UsedG
		poured := math.Min(h.MassG, usedG)
		usedG -= poured
		h.LeftG = h.MassG - poured
	}
}

// Words say how long it is good.
func (h Home) Words() string {
	switch {
	case h.Poured:
		return "in this job's moulds"
	case h.Spoilt:
		return fmt.Sprintf("good until %s, before it is needed: not counted on", h.Until)
	case h.Until != (unit.Date{}):
		return fmt.Sprintf("good until %s", h.Until)
	case h.Opened != (unit.Date{}):
		return fmt.Sprintf("opened %s; how long it keeps is not known", h.Opened)
	}
	return "how long it keeps is not known"
}
