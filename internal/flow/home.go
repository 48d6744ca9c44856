package flow

import (
	"mouldwright/internal/flow/pour"
	"mouldwright/internal/flow/shopping"
)

// openedMonths is how long opened rubber keeps that no kit of the job is called like
// (source: the default of kit.opened_months).
const openedMonths = 6

// rubberAtHome tells whether stock is the job's rubber: it is called like it, like one of
// its kits, or mould rubber. A count of kits becomes their mass.
func (b *build) rubberAtHome(h shopping.Stock) (pour.Home, bool) {
	s := b.c.Silicone
	alike := func(a, b string) bool { return b != "" && (shopping.Names(a, b) || shopping.Names(b, a)) }
	kit := pour.Kit{OpenedMonths: openedMonths}
	known := alike(h.What, s.Called()) || alike(h.What, rubberName)
	for _, k := range b.c.Kits {
		if alike(h.What, k.Name) {
			known, kit = true, k
			break
		}
	}
	mass := h.Amount
	switch {
	case !known, h.Unit == "pair", h.Unit == "piece" && kit.MassG == 0:
		return pour.Home{}, false
	case h.Unit == "piece":
		mass *= float64(kit.MassG)
	case h.Unit == "ml":
		mass *= s.DensityGML.Likely
	}
	if h.Done {
		return pour.Home{What: "poured already", MassG: mass, Poured: true}, true
	}
	return pour.Home{What: h.What, Lot: h.Lot, MassG: mass, Opened: h.Opened, KeepsUntil: h.KeepsUntil, OpenedMonths: kit.OpenedMonths}, true
}

// stock parts what is at home into rubber, against which the kits are chosen, and the
// rest, which the shopping list counts.
func (b *build) stock() (rubber []pour.Home, rest []shopping.Stock) {
	for _, s := range b.in.Past.Stock {
		if h, ok := b.rubberAtHome(s); ok {
			rubber = append(rubber, h)
		} else {
			rest = append(rest, s)
		}
	}
	return rubber, rest
}
