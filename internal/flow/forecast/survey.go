package forecast

import (
	"context"
	"math"

	"mouldwright/internal/base/field"
)

// survey is one side's art at one level, drawn and made.
type survey struct {
	side        string
	drawn, made *field.Field
	t           float32
	parts       labels // of {drawn > t}
	became      labels // of {made > t}
	ground      labels // of the rest of drawn; ground's parts that do not touch the rim are holes
	inside      *field.Field
	outside     *field.Field
	need        needs

	marked []part // of parts
	holes  []part // of ground
	gaps   []float64
	tied   []int // how many drawn parts each made part ties together
}

func newSurvey(ctx context.Context, side string, drawn, made *field.Field, t float32, set *field.Mask, parts labels, need needs) (*survey, error) {
	s := &survey{side: side, drawn: drawn, made: made, t: t, parts: parts, need: need}
	s.became = label(made.Above(t).On, made.W, made.H, true)
	var err error
	if s.outside, err = field.Distance(ctx, set); err != nil {
		return nil, err
	}
	set.Not()
	if s.inside, err = field.Distance(ctx, set); err != nil {
		return nil, err
	}
	s.ground = label(set.On, set.W, set.H, false)
	s.marked = s.gather(s.parts, s.inside, func(k int) (int32, bool) { b := s.became.of[k]; return b, b != 0 })
	s.holes = s.gather(s.ground, s.outside, func(k int) (int32, bool) { return 0, s.became.of[k] == 0 })
	s.within(s.holes)
	s.gaps = s.gapsOf(len(s.marked))
	s.tied = make([]int, s.became.n+1)
	for a := 1; a < len(s.marked); a++ {
		for _, o := range s.marked[a].overlap {
			if float64(o.n) >= sharedShare*float64(s.marked[a].area) {
				s.tied[o.with]++
			}
		}
	}
	return s, nil
}

// part is what a pass over the samples gathers of one connected part.
type part struct {
	area           int
	i0, j0, i1, j1 int
	depth          float32
	peak           int // sample of its greatest depth
	widest         float32
	at             int
	widths         []float32 // on its middle line
	edged          []float32 // those between edges
	even           []float32 // those of them where the part does not taper
	rim            bool      // touches the grid's rim
	of             int32     // a hole's mark
	overlap        []overlap
	kept           int
}

// overlap is how many samples of a part fell to a part of what was made.
type overlap struct {
	with int32
	n    int
}

func (p *part) add(with int32, n int) {
	for k := range p.overlap {
		if p.overlap[k].with == with {
			p.overlap[k].n += n
			return
		}
	}
	p.overlap = append(p.overlap, overlap{with, n})
}

func (s *survey) gather(l labels, d *field.Field, kept func(k int) (with int32, ok bool)) []part {
	list := make([]part, l.n+1)
	for k := range list {
		list[k].i0, list[k].j0, list[k].at = l.w, l.h, -1
	}
	for j := range l.h {
		for i, a := range l.of[j*l.w : (j+1)*l.w] {
			if a == 0 {
				continue
			}
			k, p := j*l.w+i, &list[a]
			p.area++
			p.i0, p.i1, p.j0, p.j1 = min(p.i0, i), max(p.i1, i), min(p.j0, j), j
			if s.drawn.Z[k] > p.depth {
				p.depth, p.peak = s.drawn.Z[k], k
			}
			if i == 0 || j == 0 || i == l.w-1 || j == l.h-1 {
				p.rim = true
			}
			if d.Z[k] > p.widest {
				p.widest, p.at = d.Z[k], k
			}
			if with, ok := kept(k); ok {
				p.kept++
				if n := len(p.overlap); n > 0 && p.overlap[n-1].with == with {
					p.overlap[n-1].n++
				} else if with != 0 {
					p.add(with, 1)
				}
			}
		}
	}
	medial(d, func(k int, w float32) {
		if a := l.of[k]; a != 0 {
			p := &list[a]
			p.widths = append(p.widths, w)
			if !edged(s.drawn, d, k, w) {
				return
			}
			p.edged = append(p.edged, w)
			if !tapers(d, k) {
				p.even = append(p.even, w)
			}
		}
	})
	return list
}

// marks judges a part that joins another mark at the height foot, and its holes.
func (s *survey) marks(a int, foot float64) []Mark {
	m := s.mark(&s.marked[a], s.side)
	m.GapMM, m.freeMM = s.gaps[a], m.DepthMM-foot
	s.judge(&m, &s.marked[a])
	out := []Mark{m}
	for b := 1; b < len(s.holes); b++ {
		if h := &s.holes[b]; h.of == int32(a) {
			k := s.mark(h, "hole")
			k.Of, k.DepthMM, k.freeMM = 0, m.DepthMM, m.freeMM
			s.judge(&k, h)
			out = append(out, k)
		}
	}
	return out
}

// within finds whose hole each enclosed part of the ground is: the mark before its
// first sample in its row.
func (s *survey) within(holes []part) {
	seen := make([]bool, len(holes))
	for k, b := range s.ground.of {
		if b == 0 || seen[b] {
			continue
		}
		seen[b] = true
		if !holes[b].rim {
			holes[b].of = s.parts.of[k-1]
		}
	}
}

// gapsOf is for each part the narrowest gap to another: at a middle place of the ground
// the two sides are looked up along the steepest fall of the distance.
func (s *survey) gapsOf(n int) []float64 {
	gap := make([]float64, n)
	w := s.parts.w
	medial(s.outside, func(k int, width float32) {
		if width > widestGap {
			return
		}
		r := int(math.Ceil(float64(width)/2/s.outside.PitchMM)) + 1
		i, j := k%w, k/w
		var one int32
		for _, d := range [...][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {-1, -1}, {1, -1}, {-1, 1}} {
			m := r
			if d[0] != 0 && d[1] != 0 {
				m = int(math.Ceil(float64(r) / math.Sqrt2))
			}
			x, y := i+m*d[0], j+m*d[1]
			if x < 0 || y < 0 || x >= w || y >= s.parts.h {
				continue
			}
			switch b := s.parts.of[y*w+x]; {
			case b == 0 || b == one:
			case one == 0:
				one = b
			default:
				gap[one], gap[b] = least(gap[one], float64(width)), least(gap[b], float64(width))
			}
		}
	})
	return gap
}

// mark measures a part.
func (s *survey) mark(p *part, kind string) Mark {
	g := s.drawn.Grid
	at := g.XY(p.at%g.W, p.at/g.W)
	// A dot of few samples has no middle line: its widest place stands for it.
	// The tip of a leaf does not speak for it; what is a wedge, as the hole of an A, is as
	// wide as half of its middle line is: half as wide as at its widest, or wider, since
	// corners are no part of it.
	// What has hardly an edge is as wide as its middle line says.
	soft := float64(len(p.edged)) < edgedShare*float64(len(p.widths))
	line := p.edged
	if soft {
		line = p.widths
	}
	narrow := math.Max(percentile(line, wedgePart), float64(p.widest)-g.PitchMM/2)
	if !soft && float64(len(p.even)) >= evenShare*float64(len(line)) {
		narrow = percentile(p.even, narrowPart)
	}
	if len(p.widths) == 0 {
		narrow = 2*float64(p.widest) - g.PitchMM
	}
	corner, widest := g.XY(p.i0, p.j0), 2*float64(p.widest)-g.PitchMM
	return Mark{
		BoxX: corner.X, BoxY: corner.Y, WidestMM: widest, Speck: widest < s.need.prints(),
		Kind: kind, Of: -1, Soft: soft, XMM: at.X, YMM: at.Y, DepthMM: float64(p.depth), NarrowMM: narrow,
		WidthMM: float64(p.i1-p.i0+1) * g.PitchMM, HeightMM: float64(p.j1-p.j0+1) * g.PitchMM, Fate: Survives,
	}
}

// judge gives a mark its fate and the size it needs: first what its copies show, then
// the rules for what breaks.
func (s *survey) judge(m *Mark, p *part) {
	lost, need, by := Breaks, 0.0, ""
	if m.Kind == "raised" {
		need, by = s.need.ridge(m.freeMM, m.Soft)
	} else {
		lost = Fills
		need, by = s.need.groove(m.freeMM, m.Soft)
	}
	m.narrowest = need
	factor := need / m.NarrowMM
	whole, shared := 0, false
	for _, o := range p.overlap {
		if float64(o.n) >= sharedShare*float64(p.area) {
			whole++
			shared = shared || s.tied[o.with] > 1
		}
	}
	switch kept := float64(p.kept) >= keptShare*float64(p.area); {
	case !kept || whole > 1:
		m.Fate, m.Cause = lost, s.lostBy(m)
		// Half as much again where the rules alone would let it pass.
		factor = math.Max(factor, 1.5)
	case shared:
		m.Fate, m.Cause = Merges, "printer"
		factor = math.Max(factor, 1.5)
		if m.GapMM > 0 {
			gap, _ := s.need.groove(0, false)
			factor = math.Max(factor, gap/m.GapMM)
		}
	case factor > 1:
		m.Fate, m.Cause = lost, by
	}
	m.NeededMM = m.HeightMM * factor
}

// lostBy says what lost a mark in the copies.
func (s *survey) lostBy(m *Mark) string {
	if m.Kind == "raised" && s.need.entry*m.freeMM > s.need.prints() {
		return "chocolate"
	}
	return "printer"
}
