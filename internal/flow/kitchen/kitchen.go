// Package kitchen turns cavities into what the kitchen needs.
//
//	Items (cavities with counts and densities) + Choices --Make--> Kitchen (masses)
//	a chocolate's masses --NewBowl--> Bowl (melt, seed, buy)
//	Body (one design's shape) --Chill--> Setting (coat, times, warmest filling)
//	a filling's recipe --Keep--> Keeping (water activity, days, allergens)
//	Trays + Settings --Work--> Evening (rounds and timeline)
//
// The physics stands in the packages below this one.
package kitchen

import (
	"fmt"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// Item is one kind of chocolate to make, so many times.
type Item struct {
	Piece        string // for findings
	Count        int    // >= 0
	Rounds       int    // in how many rounds of the mould they are made; 0 counts as 1
	Chocolate    string
	ChocolateGML unit.Range // density when set
	Filling      string     // "" for a solid piece, whose ShellMM3 is all of it
	FillingGML   unit.Range
	ShellMM3     float64 // of one piece
	FillingMM3   float64
	CapMM3       float64
}

// Chocolate is what one chocolate is needed for.
type Chocolate struct {
	Name       string
	ShellMassG unit.Range // stays in the shells; solid pieces included
	CapMassG   unit.Range // stays in the caps
	MeltMassG  unit.Range // to melt: with what is tipped out again and what is lost
	RoundG     unit.Range // in the bowl for one round, of which ReturnG comes back
	ReturnG    unit.Range // of one round: is tipped out and goes back into the bowl
}

// Filling is how much of one filling is needed.
type Filling struct {
	Name  string
	MassG unit.Range // to make, losses included
}

// Kitchen is what the kitchen needs, in the order in which names first appear.
type Kitchen struct {
	Chocolates []Chocolate
	Fillings   []Filling
}

// Make adds up what all items need. Ranges come from the densities alone: a low mass
// is that of the low density.
func Make(items []Item, c Choices) (*Kitchen, []finding.Finding, error) {
	if !(c.BowlFactor >= 1) || !(c.LossShare >= 0 && c.LossShare < 1) || !(c.FillingLossShare >= 0 && c.FillingLossShare < 1) {
		return nil, nil, &finding.Error{Key: "kitchen", Found: fmt.Sprintf("bowl_factor %g, chocolate_loss_share %g, filling_loss_share %g", c.BowlFactor, c.LossShare, c.FillingLossShare),
			Allowed: "a factor of 1 or more, shares from 0 to below 1", Do: "take them out: the usual values are then used"}
	}
	k := &Kitchen{}
	var solidG []unit.Range // by chocolate: not tipped out
	rounds := func(it Item) float64 { return float64(max(1, it.Rounds)) }
	for _, it := range items {
		if it.Count < 0 || !it.ChocolateGML.Ordered() || it.ChocolateGML.Low <= 0 {
			return nil, nil, &finding.Error{Key: "piece " + it.Piece, Found: fmt.Sprintf("count %d, density %v g/ml", it.Count, it.ChocolateGML), Allowed: "a count of 0 or more and a density above 0", Do: "write how many are wanted, and the density that the package tells"}
		}
		i := slices.IndexFunc(k.Chocolates, func(x Chocolate) bool { return x.Name == it.Chocolate })
		if i < 0 {
			i = len(k.Chocolates)
			k.Chocolates, solidG = append(k.Chocolates, Chocolate{Name: it.Chocolate}), append(solidG, unit.Range{})
		}
		mass := func(mm3 float64, gml unit.Range) unit.Range { return gml.Scale(mm3 / 1000 * float64(it.Count)) }
		ch := &k.Chocolates[i]
		shell := mass(it.ShellMM3, it.ChocolateGML)
		ch.ShellMassG = sum(ch.ShellMassG, shell)
		if it.Filling == "" {
			solidG[i] = sum(solidG[i], shell)
			ch.RoundG = sum(ch.RoundG, shell.Scale(1/rounds(it)))
			continue
		}
		caps := mass(it.CapMM3, it.ChocolateGML)
		ch.CapMassG = sum(ch.CapMassG, caps)
		ch.RoundG = sum(ch.RoundG, sum(shell, caps).Scale(c.BowlFactor/rounds(it)))
		ch.ReturnG = sum(ch.ReturnG, sum(shell, caps).Scale((c.BowlFactor-1)/rounds(it)))
		if !it.FillingGML.Ordered() || it.FillingGML.Low <= 0 {
			return nil, nil, &finding.Error{Key: "filling " + it.Filling, Found: fmt.Sprintf("density %v g/ml", it.FillingGML), Allowed: "above 0", Do: "weigh a full spoon of known volume: g by ml"}
		}
		f := slices.IndexFunc(k.Fillings, func(x Filling) bool { return x.Name == it.Filling })
		if f < 0 {
			f = len(k.Fillings)
			k.Fillings = append(k.Fillings, Filling{Name: it.Filling})
		}
		k.Fillings[f].MassG = sum(k.Fillings[f].MassG, mass(it.FillingMM3, it.FillingGML).Scale(1/(1-c.FillingLossShare)))
	}
	for i := range k.Chocolates {
		ch := &k.Chocolates[i]
		stays := sum(ch.ShellMassG, ch.CapMassG)
		// What is tipped out comes on top of what stays in pieces that are tipped out.
		tipped := unit.Range{Low: stays.Low - solidG[i].Low, Likely: stays.Likely - solidG[i].Likely, High: stays.High - solidG[i].High}
		ch.MeltMassG = sum(stays, tipped.Scale(c.BowlFactor-1)).Scale(1 / (1 - c.LossShare))
	}
	return k, nil, nil
}

func sum(a, b unit.Range) unit.Range {
	return unit.Range{Low: a.Low + b.Low, Likely: a.Likely + b.Likely, High: a.High + b.High}
}
