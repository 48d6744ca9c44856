package kitchen

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/kitchen/temper"
)

// Bowl is one chocolate to be tempered by seeding: MeltG + SeedG = BuyG.
type Bowl struct {
	Name    string
	Curve   temper.Curve
	BuyG    unit.Range // all that goes through the bowl: what stays in pieces, what is lost, what is left over
	MeltG   unit.Range // to melt
	SeedG   unit.Range // to stir in solid
	ReturnG unit.Range // left in the bowl at the end, for another day
	RoundG  unit.Range // in the bowl when a round begins: the cavities are filled to the brim
	WorkMin unit.Range // how long the bowl stays in its working band in the room

	ThickMin unit.Range // how long it may stand before it has to be tempered anew
}

// NewBowl works out one chocolate. What is tipped out goes back into the bowl, so that
// only one round's return comes on top of what stays in the pieces.
func NewBowl(k Chocolate, m material.Chocolate, c Choices) (Bowl, []finding.Finding, error) {
	curve, ok := temper.Curves[m.Kind]
	if !ok {
		return Bowl{}, nil, &finding.Error{Key: "chocolate." + k.Name + ".kind", Found: fmt.Sprintf("%q", m.Kind), Allowed: "dark, milk or white", Do: "write one of these, and your own values below it"}
	}
	b := Bowl{Name: k.Name, Curve: curve, ReturnG: k.ReturnG, RoundG: k.RoundG}
	b.BuyG = sum(sum(k.ShellMassG, k.CapMassG), k.ReturnG).Scale(1 / (1 - c.LossShare))
	share, err := curve.Seeding(c.RoomC, m.FatPct)
	if err != nil {
		return Bowl{}, nil, err
	}
	// The band of the seed is that of the likely bowl; the rest of it is melted.
	b.SeedG = share.Scale(b.BuyG.Likely)
	b.MeltG = unit.Between(b.BuyG.Likely-b.SeedG.High, b.BuyG.Likely-b.SeedG.Likely, b.BuyG.Likely-b.SeedG.Low)
	b.WorkMin = curve.WorkMin(b.BuyG.Likely, m.LiquidGML.Likely, c.RoomC)
	b.ThickMin = curve.ThickMin(b.BuyG.Likely, m.LiquidGML.Likely, c.RoomC)
	var list []finding.Finding
	if b.BuyG.Likely > 0 && b.BuyG.Likely < leastBowlG {
		list = append(list, finding.Finding{Severity: finding.Note, Where: "chocolate." + k.Name,
			What: fmt.Sprintf("only %.0f g are tempered; so little cools too fast to be kept in its band", b.BuyG.Likely),
			Do:   fmt.Sprintf("melt %.0f g and keep what is left", math.Ceil(leastBowlG))})
	}
	return b, list, nil
}

// leastBowlG is the least that is worth tempering (common practice, no source).
const leastBowlG = 300.0
