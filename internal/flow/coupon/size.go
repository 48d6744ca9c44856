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
// open narrower, on each side. Each axis is solved alone. Where both were measured a part
// is made for the middle of both, and the plate makes up for the difference.
func (l *Learned) size(at func(string) string, mm map[string][]float64) {
	axes := map[byte]fit{}
	for _, axis := range []byte{'X', 'Y'} {
		var list []observation
		for _, o := range observations(Size, mm) {
			if o.axis == axis {
				list = append(list, o)
			}
		}
		if len(list) == 0 {
			continue
		}
		x, y := sizeRows(list)
		f, err := leastSquares(x, y)
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
	}
	shrink := func(f fit) estimate { return estimate{1 - f.value[0], f.stdErr[0], f.dof} }
	bleed := func(f fit) estimate { return estimate{f.value[1], f.stdErr[1], f.dof} }
	fx, x := axes['X']
	fy, y := axes['Y']
	if !x || !y {
		f := fx
		if y {
			f = fy
		}
		if !l.likelySize(at("X"), shrink(f), bleed(f)) {
			return
		}
		l.tell("resin.shrinkage", "shrinkage", InShare, shrink(f), 0, mostShrink)
		l.tell("resin.bleed_mm", "light bleed on each side", InMM, bleed(f), -mostBleedMM, mostBleedMM)
		l.note(finding.Note, at(map[bool]string{true: "X", false: "Y"}[y]), "one axis alone stands for both", "print and measure the coupon of the other one too")
		return
	}
	s, b := shrink(fx).both(shrink(fy), 0.5, 0.5), bleed(fx).both(bleed(fy), 0.5, 0.5)
	longer, further := shrink(fy).both(shrink(fx), 1, -1), bleed(fx).both(bleed(fy), 1, -1)
	if !l.likelySize(at("X"), s, b) {
		return
	}
	if math.Abs(longer.value) > longer.half() && math.Abs(longer.value) > 0.001 {
		l.note(finding.Note, at("X"), fmt.Sprintf("x and y differ by %.2f %% in size, more than the readings explain; parts are drawn for it as they lie on the plate", 100*math.Abs(longer.value)), "hold printer.pixel_mm against the data sheet: the mask's pixels may not be square")
	}
	l.tell("", "shrinkage in x", InShare, shrink(fx), -1, 1)
	l.tell("", "light bleed in x", InMM, bleed(fx), -1, 1)
	l.tell("", "shrinkage in y", InShare, shrink(fy), -1, 1)
	l.tell("", "light bleed in y", InMM, bleed(fy), -1, 1)
	l.tell("resin.shrinkage", "shrinkage, the middle of x and y", InShare, s, 0, mostShrink)
	l.tell("resin.longer_x", "longer in x than in y", InShare, longer, -mostShrink, mostShrink)
	l.tell("resin.bleed_mm", "light bleed on each side, the middle of x and y", InMM, b, -mostBleedMM, mostBleedMM)
	l.tell("resin.bleed_more_x_mm", "light bleeds further in x than in y by", InMM, further, -mostBleedMM, mostBleedMM)
}

// likelySize refuses what no print can be.
func (l *Learned) likelySize(where string, s, b estimate) bool {
	switch {
	case s.value+s.half() < 0:
		l.note(finding.Stop, where, fmt.Sprintf("the print is %.2f %% larger than drawn; cured resin shrinks", -100*s.value), "zero the caliper, and see that the print was not scaled")
	case s.value > mostShrink:
		l.note(finding.Stop, where, fmt.Sprintf("the print is %.1f %% smaller than drawn, resin shrinks by at most %.0f %%", 100*s.value, 100*mostShrink), "see that the readings are in mm and the print was not scaled")
	case math.Abs(b.value) > mostBleedMM:
		l.note(finding.Stop, where, fmt.Sprintf("light would bleed by %.2f mm on each side, at most %.1f mm is likely", b.value, mostBleedMM), "see that readings over steps and in windows are not exchanged")
	}
	return l.Sound()
}

// estimate is a value with its standard error and the degrees of freedom behind it.
type estimate struct {
	value, stdErr float64
	dof           int
}

// both is p of one estimate and q of another that does not depend on it; their degrees of
// freedom add up, as both have a caliper's errors (JCGM 100:2008, H.1.6 has the general rule).
func (e estimate) both(o estimate, p, q float64) estimate {
	return estimate{p*e.value + q*o.value, math.Hypot(p*e.stdErr, q*o.stdErr), e.dof + o.dof}
}

// half is half the width of the interval.
func (e estimate) half() float64 { return e.stdErr * studentT(confidence, e.dof) }

// tell adds an estimate with its interval, kept within what can be.
func (l *Learned) tell(key, what, in string, e estimate, least, most float64) {
	h := e.half()
	within := func(v float64) float64 { return math.Min(most, math.Max(least, v)) }
	l.Values = append(l.Values, Found{Key: key, What: what, Unit: in, Value: unit.Between(within(e.value-h), within(e.value), within(e.value+h)), StdErr: e.stdErr, DoF: e.dof})
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
	f, err := leastSquares(wide, y)
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
