package recipe

import (
	"math"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/kitchen/chill"
)

// What a piping bag lets through is told from how thick a filling is. The continuous
// phase is syrup where there is water, else oil; what floats in it thickens it.

// SyrupPaS is the viscosity of a sucrose solution of brix per cent (0-84) at c °C, in
// Pa s (J. Génotelle, Ind. Alim. Agric. 95 (1978) 747, from memory; 60 % at 20 °C: 58.5
// mPa s in the tables of J. F. Swindells et al., NBS Circular 440 supplement, 1958, from
// memory).
func SyrupPaS(brix, c float64) float64 {
	n := brix / (1900 - 18*brix)
	return math.Pow(10, 22.46*n-0.114+(30-c)/(91+c)*(1.1+43.1*math.Pow(n, 1.25))) / 1000
}

// thickened is by what factor a share of volume that floats in a liquid thickens it (I.
// M. Krieger, T. J. Dougherty, Trans. Soc. Rheol. 3 (1959) 137): (1 - φ/φm)^(-2.5 φm).
// φm = 0.68 suits particles of mixed sizes (from memory).
func thickened(share float64) float64 {
	const most = 0.68
	return math.Pow(1-math.Min(share, 0.999*most)/most, -2.5*most)
}

const (
	oilPaS    = 0.06 // of nuts and molten cocoa butter at 25-35 °C, 0.04-0.08 (from memory)
	wettestPc = 8.0  // per cent of water from which syrup, not fat, is what all else floats in (assumption)
	mostBrix  = 84.0 // per cent of solids: thicker syrup is a glass at room temperature (assumption)
	pipePaS   = 100  // what two hands press through a 4 mm nozzle, about a tooth paste (from memory, no source at hand)
	coldestC  = 10.0 // (our choice: no kitchen is colder)
	hottestC  = 60.0 // (our choice: nobody pipes hotter by hand, and chocolate melts)
)

// thickPaS is how thick a filling is at a temperature when set of its hard fat, 0 to 1,
// has crystallised as far as the temperature allows. An estimate within a factor of
// several: gels, air and the order of mixing are not in it.
func (c *Composition) thickPaS(celsius, set float64, cooked bool) float64 {
	hard := math.Max(0, c.FatG-c.LiquidFatG) * set * chill.SolidShare(celsius)
	solids := c.ProteinG/1.35 + (c.StarchG+c.FibreG)/1.55
	sugar, floating := 0.0, 0.0
	for i, g := range c.Solutes {
		in := g
		if s := solutes[i].solute; !cooked { // a cooked syrup stays oversaturated
			in = math.Min(g, s.SolubleG*c.WaterG)
		}
		sugar, floating = sugar+in, floating+g-in
	}
	fat := c.FatG / 0.92
	all := c.WaterG + fat + c.AlcoholG/0.79 + solids + (sugar+floating)/1.55
	if c.WaterG < wettestPc {
		return oilPaS * thickened((all-fat+hard/0.92)/all)
	}
	brix := math.Min(mostBrix, 100*sugar/(sugar+c.WaterG))
	// Crystals stiffen the drops of fat until they hold together: tenfold for each tenth of
	// the filling that is solid fat (assumption).
	return SyrupPaS(brix, celsius) * thickened((fat+solids+floating/1.55)/all) * math.Pow(10, hard/10)
}

// PipeC is the temperature from which a filling goes through a bag, °C, from 10 to 60:
// low when it is fresh and its fat liquid, high when it has stood and its fat is set.
func (f *Filling) PipeC(cooked bool) unit.Range {
	at := func(set float64) float64 {
		lo, hi := coldestC, hottestC
		if f.Of100G.thickPaS(lo, set, cooked) <= pipePaS {
			return lo
		}
		for hi-lo > 0.1 {
			if mid := (lo + hi) / 2; f.Of100G.thickPaS(mid, set, cooked) > pipePaS {
				lo = mid
			} else {
				hi = mid
			}
		}
		return hi
	}
	return unit.Between(at(0), at(0.5), at(1))
}
