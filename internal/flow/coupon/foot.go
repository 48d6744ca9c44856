package coupon

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// foot learns how far the first layers bulge and up to what height. A tooth that begins
// at height h is widest in its lowest layer, so that the caliper reads
//
//	m = W + 2 foot max(0, 1 - h/top)
//
// the bulge fading evenly up to its top, which is how the master makes up for it. W is
// the width without any. For each top the other two follow by least squares; the top
// with the least squares is taken.
func (l *Learned) foot(at func(string) string, mm map[string][]float64) {
	list := observations(Foot, mm)
	var y []float64
	heights := map[float64]bool{}
	for _, o := range list {
		y = append(y, o.mm)
		heights[o.DrawnMM] = true
	}
	if len(heights) < 4 {
		l.note(finding.Stop, at("H0"), fmt.Sprintf("readings at %s", unit.Count(len(heights), "height", "heights")), "measure at least four teeth, H0 among them")
		return
	}
	if !heights[0] {
		l.note(finding.Stop, at("H0"), "no reading of the tooth that stands on the plate", "measure it: the bulge is largest there")
		return
	}
	for i, a := range list {
		for _, b := range list[i+1:] {
			if b.DrawnMM > a.DrawnMM && b.mm-a.mm > apartMM/2 {
				l.note(finding.Stop, at(b.Name), fmt.Sprintf("%.2f mm wide, %.2f mm more than %s, which begins lower; a bulge only fades with height", b.mm, b.mm-a.mm, a.Name),
					"measure both again; look whether the part was turned upside down, or a tooth is chipped")
				return
			}
		}
	}
	most := list[len(list)-1].DrawnMM
	best, top := fit{}, 0.0
	for t := 0.02; t <= most+1e-9; t += 0.005 {
		f, err := leastSquares(footRows(list, t), y)
		if err != nil {
			l.refuse(at("H0"), err)
			return
		}
		if best.dof == 0 || f.sigma < best.sigma {
			best, top = f, t
		}
	}
	if l.odd(at, list, footRows(list, top)) {
		return
	}
	l.rows(list, best)
	foot := best.value[1]
	if foot > 1 {
		l.note(finding.Stop, at("H0"), fmt.Sprintf("a bulge of %.2f mm on each side; at most 1 mm is likely", foot), "see that the readings are in mm")
		return
	}
	// Near the best values the model is linear in all three: their uncertainties are
	// those of the fit to its derivatives. When readings are too few for that, the two
	// of the fit stand.
	h, topErr := best.half(1), 0.0
	dof := best.dof
	var jac [][]float64
	for i, r := range footRows(list, top) {
		d := 0.0
		if z := list[i].DrawnMM; z < top {
			d = 2 * foot * z / (top * top)
		}
		jac = append(jac, append(r, d))
	}
	if f, err := leastSquares(jac, best.residual); err == nil {
		h, dof = f.half(1), f.dof
		topErr = f.stdErr[2]
	}
	l.Values = append(l.Values, Found{Key: "resin.foot_mm", What: "bulge on each side at the plate", Unit: InMM,
		Value: unit.Between(math.Max(0, foot-h), math.Max(0, foot), math.Min(1, math.Max(0, foot)+h)), StdErr: best.stdErr[1], DoF: dof})
	if foot < h {
		l.note(finding.Note, at("H0"), "no bulge that the caliper can tell from none", "keep the exposure of the bottom layers as it is")
		return
	}
	if top > most-0.005 {
		l.note(finding.Care, at(list[len(list)-1].Name), fmt.Sprintf("the bulge has not ended at %g mm, the highest tooth measured", most), "measure higher teeth too")
	}
	half := topErr * studentT(confidence, dof)
	l.Values = append(l.Values, Found{Key: "resin.foot_height_mm", What: "height up to which it bulges", Unit: InMM, Value: unit.Between(math.Max(0, top-half), top, top+half), StdErr: topErr, DoF: dof})
}

func footRows(list []observation, top float64) (x [][]float64) {
	for _, o := range list {
		x = append(x, []float64{1, 2 * math.Max(0, 1-o.DrawnMM/top)})
	}
	return x
}
