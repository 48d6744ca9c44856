package coupon

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// Bounds of what a print can do: beyond them a reading, and not the resin, is wrong.
// Shrinkage of cured resin is 0.2-1.5 % (common practice, no source).
const (
	mostShrink  = 0.05
	mostBleedMM = 0.3
)

// size learns shrinkage and light bleed. A part drawn L wide measures
//
//	m = (1 - shrinkage) L + 2 bleed    over two faces,
//	m = (1 - shrinkage) L - 2 bleed    between two faces,
//
// since light that bleeds past the mask's edge makes what is solid wider and what is
// open narrower, on each side. Each axis is solved alone, and both together.
func (l *Learned) size(at func(string) string, mm map[string][]float64) {
	all := observations(Size, mm)
	axes := map[byte]fit{}
	var told []Found
	for _, axis := range []byte{'X', 'Y'} {
		var list []observation
		for _, o := range all {
			if o.axis == axis {
				list = append(list, o)
			}
		}
		if len(list) == 0 {
			continue
		}
		x, y := sizeRows(list)
		f, err := leastSquares(x, y, caliperMM)
		if err != nil {
			l.refuse(at(string(axis)), err)
			return
		}
		if l.odd(at, list, x) {
			return
		}
		l.caliper(at(string(axis)), x, y)
		l.rows(list, f)
		axes[axis] = f
		low := string(axis + 'a' - 'A')
		told = append(told, sizeValues(f, " in "+low)...)
	}
	if len(axes) == 2 {
		l.Values = told
	}
	x, y := sizeRows(all)
	f, err := leastSquares(x, y, caliperMM)
	if err != nil {
		l.refuse(at("X"), err)
		return
	}
	s, b := 1-f.value[0], f.value[1]
	hs, hb := f.half(0), f.half(1)
	switch {
	case s+hs < 0:
		l.note(finding.Stop, at("X"), fmt.Sprintf("the print is %.2f %% larger than drawn; cured resin shrinks", -100*s), "zero the caliper, and see that the print was not scaled")
	case s > mostShrink:
		l.note(finding.Stop, at("X"), fmt.Sprintf("the print is %.1f %% smaller than drawn, resin shrinks by at most %.0f %%", 100*s, 100*mostShrink), "see that the readings are in mm and the print was not scaled")
	case math.Abs(b) > mostBleedMM:
		l.note(finding.Stop, at("X"), fmt.Sprintf("light would bleed by %.2f mm on each side, at most %.1f mm is likely", b, mostBleedMM), "see that readings over steps and in windows are not exchanged")
	}
	if !l.Sound() {
		return
	}
	if fx, fy := axes['X'], axes['Y']; fx.dof > 0 && fy.dof > 0 {
		d := fx.value[0] - fy.value[0]
		both := math.Hypot(fx.stdErr[0], fy.stdErr[0]) * studentT(confidence, fx.dof+fy.dof)
		if math.Abs(d) > both && math.Abs(d) > 0.001 {
			l.note(finding.Care, at("X"), fmt.Sprintf("x and y differ by %.2f %% in size, more than the readings explain", 100*math.Abs(d)), "the mask's pixels may not be square; the middle of both is taken, so turn nothing on the plate that must fit")
			hs = math.Max(hs, math.Abs(d)/2+both)
		}
	}
	l.Values = append(l.Values,
		Found{Key: "resin.shrinkage", What: "shrinkage", Value: unit.Between(math.Max(0, s-hs), math.Max(0, s), math.Min(mostShrink, math.Max(0, s+hs))), StdErr: f.stdErr[0], DoF: f.dof},
		Found{Key: "resin.bleed_mm", What: "light bleed on each side", Value: unit.Between(math.Max(-mostBleedMM, b-hb), b, math.Min(mostBleedMM, b+hb)), StdErr: f.stdErr[1], DoF: f.dof})
}

// sizeValues are both values of one axis, which are only told.
func sizeValues(f fit, axis string) []Found {
	s := f.around(0)
	return []Found{
		{What: "shrinkage" + axis, Value: unit.Between(1-s.High, 1-s.Likely, 1-s.Low), StdErr: f.stdErr[0], DoF: f.dof},
		{What: "light bleed" + axis, Value: f.around(1), StdErr: f.stdErr[1], DoF: f.dof},
	}
}

func sizeRows(list []observation) (x [][]float64, y []float64) {
	for _, o := range list {
		side := 2.0
		if o.inside {
			side = -2
		}
		x, y = append(x, []float64{o.DrawnMM, side}), append(y, o.mm)
	}
	return x, y
}

// caliper looks for what shifts readings over steps and in windows alike, which no
// print does: a caliper that is not at zero.
func (l *Learned) caliper(where string, x [][]float64, y []float64) {
	wide := make([][]float64, len(x))
	over, in := false, false
	for i, r := range x {
		wide[i] = []float64{r[0], r[1], 1}
		over, in = over || r[1] > 0, in || r[1] < 0
	}
	if !over || !in {
		l.note(finding.Care, where, "steps or windows alone do not tell light bleed from a caliper that is off zero", "measure both")
		return
	}
	f, err := leastSquares(wide, y, caliperMM)
	if err != nil {
		return
	}
	if z := f.value[2]; math.Abs(z) > f.half(2) && math.Abs(z) > 0.02 {
		l.note(finding.Care, where, fmt.Sprintf("steps and windows agree only if every reading is %.2f mm too %s", math.Abs(z), map[bool]string{true: "large", false: "small"}[z > 0]), "close the caliper's jaws, set it to zero, and measure again")
	}
}

func (l *Learned) refuse(where string, err error) {
	f := finding.Finding{Severity: finding.Stop, Where: where, What: err.Error()}
	if e, ok := err.(*finding.Error); ok {
		f.What, f.Do = e.Found, e.Do
		if e.Allowed != "" {
			f.What += ", allowed: " + e.Allowed
		}
	}
	l.Findings = append(l.Findings, f)
}
