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
	return s, nil
}

// part is what a pass over the samples gathers of one connected part.
type part struct {
	area           int
	i0, j0, i1, j1 int
	depth          float32
	widest         float32
	at             int
	widths         []float32
	even           []float32 // those where the part does not taper
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
			p.depth = max(p.depth, s.drawn.Z[k])
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
			list[a].widths = append(list[a].widths, w)
			if !tapers(d, k) {
				list[a].even = append(list[a].even, w)
			}
		}
	})
	return list
}

// marks judges the parts that are not old, and their holes.
func (s *survey) marks(old []bool) []Mark {
	parts := s.gather(s.parts, s.inside, func(k int) (int32, bool) { b := s.became.of[k]; return b, b != 0 })
	holes := s.gather(s.ground, s.outside, func(k int) (int32, bool) { return 0, s.became.of[k] == 0 })
	s.within(holes)
	gaps := s.gaps(len(parts))

	// How many drawn parts each made part ties together.
	tied := make([]int, s.became.n+1)
	for a := 1; a < len(parts); a++ {
		for _, o := range parts[a].overlap {
			if float64(o.n) >= sharedShare*float64(parts[a].area) {
				tied[o.with]++
			}
		}
	}
	var out []Mark
	for a := 1; a < len(parts); a++ {
		if old[a] {
			continue
		}
		m := s.mark(&parts[a], s.side)
		m.GapMM = gaps[a]
		s.judge(&m, &parts[a], tied)
		at := len(out)
		out = append(out, m)
		for b := 1; b < len(holes); b++ {
			if h := &holes[b]; h.of == int32(a) {
				k := s.mark(h, "hole")
				k.Of, k.DepthMM = at, m.DepthMM
				s.judge(&k, h, tied)
				out = append(out, k)
			}
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

// gaps is for each part the narrowest gap to another: at a middle place of the ground
// the two sides are looked up along the steepest fall of the distance.
func (s *survey) gaps(n int) []float64 {
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
	// wide as half of its middle line is.
	narrow := percentile(p.widths, wedgePart)
	if float64(len(p.even)) >= evenShare*float64(len(p.widths)) {
		narrow = percentile(p.even, narrowPart)
	}
	if narrow == 0 {
		narrow = 2*float64(p.widest) - g.PitchMM
	}
	corner, widest := g.XY(p.i0, p.j0), 2*float64(p.widest)-g.PitchMM
	return Mark{
		BoxX: corner.X, BoxY: corner.Y, WidestMM: widest, Speck: widest < s.need.prints(),
		Kind: kind, Of: -1, XMM: at.X, YMM: at.Y, DepthMM: float64(p.depth), NarrowMM: narrow,
		WidthMM: float64(p.i1-p.i0+1) * g.PitchMM, HeightMM: float64(p.j1-p.j0+1) * g.PitchMM, Fate: Survives,
	}
}

// judge gives a mark its fate and the size it needs: first what its copies show, then
// the rules for what breaks.
func (s *survey) judge(m *Mark, p *part, tied []int) {
	lost, need, by := Breaks, 0.0, ""
	if m.Kind == "raised" {
		need, by = s.need.ridge(m.DepthMM)
	} else {
		lost = Fills
		need, by = s.need.groove(m.DepthMM)
	}
	m.narrowest = need
	factor := need / m.NarrowMM
	whole, shared := 0, false
	for _, o := range p.overlap {
		if float64(o.n) >= sharedShare*float64(p.area) {
			whole++
			shared = shared || tied[o.with] > 1
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
			gap, _ := s.need.groove(0)
			factor = math.Max(factor, gap/m.GapMM)
		}
	case factor > 1:
		m.Fate, m.Cause = lost, by
	}
	m.NeededMM = m.HeightMM * factor
}

// lostBy says what lost a mark in the copies.
func (s *survey) lostBy(m *Mark) string {
	if m.Kind == "raised" && s.need.entry*m.DepthMM > s.need.prints() {
		return "chocolate"
	}
	return "printer"
}
