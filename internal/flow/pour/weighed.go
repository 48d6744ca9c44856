package pour

import (
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// Weighed is what was really weighed into a cup. A part of 0 is not weighed yet.
type Weighed struct {
	Cup    int // its number; above those of the plan for a cup that was mixed beyond it
	PartAG float64
	PartBG float64
	Tray   int // where a cup beyond the plan goes; 0 for those of the plan
}

// MaxExtra bounds the cups beyond the plan (our choice: more are a plan of their own).
const MaxExtra = 50

// Verdicts about a cup.
const (
	NotWeighed = "not weighed"
	HalfDone   = "one part is weighed"
	AsPlanned  = "the ratio is right"
	TooLittleA = "too little A"
	TooLittleB = "too little B"
)

// Judged is a cup with what was weighed, or with what is to be weighed now.
type Judged struct {
	Cup           int
	Tray          int // of a cup beyond the plan; else 0
	Verdict       string
	MassG         float64 // weighed; to be weighed where it is not
	PartAG        float64
	PartBG        float64
	RatioOffShare float64 // A : B against the data sheet: above 0 there is too little B
	DoubtShare    float64 // by what share the scale's steps may be wrong about that
	AddAG         float64 // brings the ratio right, on the scale's steps
	AddBG         float64
	LastPourMin   float64 // after mixing began: the latest moment to begin to pour this mass
	Fills         []Fill
	Words         string
}

// Reached is how high the rubber comes in one tray.
type Reached struct {
	Tray    int
	LevelMM float64 // with what was weighed and is still to be weighed by the plan
	WantMM  float64
	ShortG  float64
}

// Change is what weighed masses change in the plan.
type Change struct {
	Cups     []Judged // those of the plan, then those mixed beyond it
	Extra    []Judged // further cups that are needed
	Trays    []Reached
	TotalAG  float64    // of all cups, weighed and to come
	TotalBG  float64    // likewise
	MissingG unit.Range // to the trays' levels, over the density, when all is weighed and none is added
	OverG    float64    // finds no room in the frames
	Words    []string
}

// Weigh judges what was really weighed. Cups that are not weighed yet share what is
// still missing; when they cannot hold it, or all are weighed, further cups are asked
// for. It is an error when a number cannot be meant.
func (p *Pour) Weigh(list []Weighed) (*Change, error) {
	if most := len(p.Cups) + MaxExtra; len(list) > most {
		return nil, &finding.Error{Key: "cups", Found: fmt.Sprintf("%d cups weighed", len(list)), Allowed: fmt.Sprintf("at most %d", most), Do: "send the cups of one pour"}
	}
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b Weighed) int { return a.Cup - b.Cup })
	c := &Change{Cups: make([]Judged, len(p.Cups))}
	for i, k := range p.Cups {
		c.Cups[i] = Judged{Cup: k.Number, Verdict: NotWeighed, MassG: k.MassG, PartAG: k.PartAG, PartBG: k.PartBG}
	}
	seen := map[int]bool{}
	for _, w := range list {
		if w.Cup < 1 || w.Cup > len(p.Cups)+MaxExtra || seen[w.Cup] {
			return nil, &finding.Error{Key: "cups", Found: fmt.Sprintf("cup %d", w.Cup), Allowed: fmt.Sprintf("each of 1 to %d once, and at most %d beyond the plan", len(p.Cups), MaxExtra), Do: "name each cup by its number on the sheet"}
		}
		seen[w.Cup] = true
		beyond := w.Cup > len(p.Cups)
		if known := slices.ContainsFunc(p.Trays, func(m Mix) bool { return m.Tray == w.Tray }); beyond != (w.Tray != 0) || beyond && !known {
			return nil, &finding.Error{Key: "cups", Found: fmt.Sprintf("cup %d into tray %d", w.Cup, w.Tray), Allowed: fmt.Sprintf("a tray for the cups beyond the %d of the plan, and only for those", len(p.Cups)), Do: "say which tray it went into"}
		}
		for part, is := range map[string]float64{"a": w.PartAG, "b": w.PartBG} {
			// Whoever weighs three times the largest batch has lost the decimal point.
			if !(is >= 0 && is <= 3*p.Batch.LargestG) {
				return nil, &finding.Error{Key: "part_" + part + "_g", Found: fmt.Sprintf("%g g in cup %d", is, w.Cup), Allowed: fmt.Sprintf("0 to %.4g g", 3*p.Batch.LargestG), Do: "look at the decimal point and at the scale's unit"}
			}
		}
		at := w.Cup - 1
		if beyond {
			if w.PartAG == 0 && w.PartBG == 0 {
				continue
			}
			at = len(c.Cups)
			c.Cups = append(c.Cups, Judged{Cup: w.Cup, Tray: w.Tray})
		}
		c.Cups[at].weigh(w, p)
	}
	c.share(p)
	c.pour(p)
	c.say(p)
	return c, nil
}

// weigh judges the ratio of one cup.
func (j *Judged) weigh(w Weighed, p *Pour) {
	a, b, step := w.PartAG, w.PartBG, p.bench.ScaleG
	wantA, wantB := b*p.ratioA/p.ratioB, a*p.ratioB/p.ratioA
	switch {
	case a == 0 && b == 0:
		return
	case b == 0:
		j.Verdict, j.PartAG, j.PartBG = HalfDone, a, onScale(wantB, step)
		j.Words = fmt.Sprintf("To %s of A belong %s of B", p.grams(a), p.grams(j.PartBG))
	case a == 0:
		j.Verdict, j.PartAG, j.PartBG = HalfDone, onScale(wantA, step), b
		j.Words = fmt.Sprintf("To %s of B belong %s of A", p.grams(b), p.grams(j.PartAG))
	default:
		j.PartAG, j.PartBG = a, b
		j.RatioOffShare = a/wantA - 1
		j.DoubtShare = step / 2 * (1/a + 1/b)
		j.judge(wantA, wantB, p)
	}
	j.MassG = j.PartAG + j.PartBG
}

// judge says what is short and by how much.
func (j *Judged) judge(wantA, wantB float64, p *Pour) {
	if math.Abs(j.RatioOffShare) <= p.bench.RatioTolerance {
		j.Verdict = AsPlanned
		j.Words = fmt.Sprintf("The ratio is off by %.1f %%, allowed %.3g %%", 100*math.Abs(j.RatioOffShare), 100*p.bench.RatioTolerance)
		return
	}
	short, add := "A", onScale(wantA-j.PartAG, p.bench.ScaleG)
	j.Verdict, j.AddAG = TooLittleA, add
	if j.RatioOffShare > 0 {
		short, add = "B", onScale(wantB-j.PartBG, p.bench.ScaleG)
		j.Verdict, j.AddAG, j.AddBG = TooLittleB, 0, add
	}
	j.Words = fmt.Sprintf("Too little %s: the ratio is off by %.1f %%, allowed %.3g %%, and the rubber may stay soft or sticky. Before it is stirred, add %s of %s. Once it is stirred, do not pour it over the master", short, 100*math.Abs(j.RatioOffShare), 100*p.bench.RatioTolerance, p.grams(add), short)
	if sum := j.PartAG + j.PartBG + add; sum > p.Batch.LargestG*(1+1e-9) {
		j.Words += fmt.Sprintf("; with it the cup holds %s, more than the %s of %s", p.grams(sum), p.grams(p.Batch.LargestG), p.Batch.LargestBy)
	}
}

// share divides what is still missing between the cups that are not weighed yet, and
// adds cups when those cannot hold it.
func (c *Change) share(p *Pour) {
	missing, open := p.Total.MassG.Likely, 0
	for _, j := range c.Cups {
		if j.Verdict == NotWeighed {
			open++
		} else {
			missing -= j.MassG
		}
	}
	if open == len(c.Cups) {
		return // nothing is weighed: the plan stands
	}
	parts := func(mass float64) (a, b float64) {
		a = mass * p.ratioA / (p.ratioA + p.ratioB)
		return onScale(a, p.bench.ScaleG), onScale(mass-a, p.bench.ScaleG)
	}
	n := open
	if missing > c.slack(p) {
		n = max(open, int(math.Ceil(missing/p.Batch.LargestG-1e-9)))
	}
	each := 0.0
	if missing > 0 && n > 0 {
		each = missing / float64(n)
	}
	for i := range c.Cups {
		if j := &c.Cups[i]; j.Verdict == NotWeighed {
			j.MassG = each
			j.PartAG, j.PartBG = parts(each)
			if math.Abs(each-p.Cups[i].MassG) > c.slack(p) {
				j.Words = fmt.Sprintf("Now %s of A and %s of B, since the cups before it came out otherwise", p.grams(j.PartAG), p.grams(j.PartBG))
			} else {
				j.MassG, j.PartAG, j.PartBG = p.Cups[i].MassG, p.Cups[i].PartAG, p.Cups[i].PartBG
			}
		}
	}
	for i := open; i < n; i++ {
		mass := max(each, p.Batch.SmallestG)
		j := Judged{Cup: c.Cups[len(c.Cups)-1].Cup + len(c.Extra) + 1, Verdict: NotWeighed, MassG: mass}
		j.PartAG, j.PartBG = parts(mass)
		c.Extra = append(c.Extra, j)
	}
}

// slack is a mass that makes no difference: two steps of the scale for each cup, and a
// thousandth of the whole, since density is not known as well as that.
func (c *Change) slack(p *Pour) float64 {
	return max(2*p.bench.ScaleG*float64(len(c.Cups)), 0.001*p.Total.MassG.Likely)
}

// pour finds how high the cups reach without the extra ones.
func (c *Change) pour(p *Pour) {
	sum := 0.0
	for i := range c.Cups {
		j := &c.Cups[i]
		j.LastPourMin = max(0, p.Times.WorkingTimeMin.Low-j.MassG/p.pourGMin)
		sum += j.MassG
		c.TotalAG, c.TotalBG = c.TotalAG+j.PartAG, c.TotalBG+j.PartBG
	}
	c.TotalAG, c.TotalBG = onScale(c.TotalAG, p.bench.ScaleG), onScale(c.TotalBG, p.bench.ScaleG)
	order := c.order(p)
	list := make([]portion, len(order))
	for i, k := range order {
		list[i] = portion{c.Cups[k].MassG, c.Cups[k].Tray}
	}
	fills, over := into(p.Trays, p.fill, list)
	c.OverG = over
	got := map[int]float64{}
	level := map[int]float64{}
	for i, k := range order {
		c.Cups[k].Fills = fills[i]
		for _, f := range fills[i] {
			got[f.Tray] += f.MassG
			level[f.Tray] = f.LevelMM
		}
	}
	for i, t := range p.Trays {
		c.Trays = append(c.Trays, Reached{Tray: t.Tray, LevelMM: level[t.Tray], WantMM: p.fill[i].levelMM, ShortG: max(0, t.MassG.Likely-got[t.Tray])})
	}
	c.MissingG = p.Total.MassG.Map(func(need float64) float64 { return max(0, need-sum) })
}

// order is the one in which cups are poured: those of the plan up to the last one that is
// weighed, then those beyond the plan, then what is still to come.
func (c *Change) order(p *Pour) (out []int) {
	next := 0
	for i := range p.Cups {
		if c.Cups[i].Verdict != NotWeighed {
			next = i + 1
		}
	}
	for i := range c.Cups {
		if i < next || i >= len(p.Cups) {
			out = append(out, i)
		}
	}
	for i := next; i < len(p.Cups); i++ {
		out = append(out, i)
	}
	return out
}

// say words what the person has to know, the worst first.
func (c *Change) say(p *Pour) {
	if !slices.ContainsFunc(c.Cups, func(j Judged) bool { return j.Verdict != NotWeighed }) {
		c.Words = []string{"Nothing is weighed yet; the plan stands."}
		return
	}
	for _, j := range c.Cups {
		if j.Verdict == TooLittleA || j.Verdict == TooLittleB {
			c.Words = append(c.Words, fmt.Sprintf("Cup %d: %s.", j.Cup, j.Words))
		}
	}
	short := false
	for _, t := range c.Trays {
		if t.ShortG > c.slack(p) {
			short = true
			c.Words = append(c.Words, fmt.Sprintf("Tray %d: the rubber ends %.1f mm over the base instead of %.1f; %s are missing.", t.Tray, t.LevelMM, t.WantMM, unit.Mass(t.ShortG)))
		}
	}
	if len(c.Extra) > 0 {
		j := c.Extra[0]
		c.Words = append(c.Words, fmt.Sprintf("Mix %s more: %s of A and %s of B, while the last cup is wet (%.0f min from its first stir), or once it is firm.", unit.Count(len(c.Extra), "cup", "cups"), p.grams(j.PartAG), p.grams(j.PartBG), p.Stages.WetUntilMin))
	}
	if c.OverG > c.slack(p) {
		c.Words = append(c.Words, fmt.Sprintf("About %s find no room in the frames: have a pad or a spare form ready.", unit.Mass(c.OverG)))
	}
	if len(c.Words) == 0 && !short {
		c.Words = []string{"What was weighed changes nothing in the plan."}
	}
}

func (p *Pour) grams(g float64) string { return Grams(g, p.bench.ScaleG) }
