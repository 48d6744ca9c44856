package forecast

import (
	"context"
	"math"
	"slices"

	"mouldwright/internal/base/field"
	"mouldwright/internal/flow/piece"
)

// Fates of a mark.
const (
	Survives = "survives" // comes out whole and by itself
	Merges   = "merges"   // runs together with another mark
	Fills    = "fills"    // a hole or a sunk mark closes
	Breaks   = "breaks"   // a raised mark is not made, or not let go of in one piece
)

// Mark is a connected piece of art at half its height: a letter, a stroke, an island;
// or a hole inside one. The height counts from where it joins another mark, such as
// a leaf from its branch in a shaded relief, or else from the body.
type Mark struct {
	Kind      string  // raised, sunk or hole
	Name      string  // "second l of Ottilie", "hole of the e of Ottilie", "stroke 3 of crest.svg"
	Label     string  // the same in a letter or a number, for a picture
	Art       int     // index of the art that it belongs to; -1 when that is not known
	Of        int     // index of the mark that a hole is in; -1
	XMM, YMM  float64 // its widest place on the piece
	BoxX      float64 // left edge of its box, mm
	BoxY      float64 // front edge of its box, mm
	WidthMM   float64 // of its box
	HeightMM  float64 // of its box: for a letter without descender the letter's height
	DepthMM   float64 // how far it stands above or under the body
	NarrowMM  float64 // its narrow strokes: a tenth of its middle line is narrower, tips that taper left out
	WidestMM  float64 // at its widest place
	Speck     bool    // nowhere as wide as the finest dot that the exposure draws: nobody drew it on purpose
	GapMM     float64 // narrowest gap to another mark nearby; 0 without
	Fate      string
	Cause     string  // of a fate that is not to survive: printer, chocolate, rubber, resin
	NeededMM  float64 // least height of its box with which it would survive at this depth
	Soft      bool    // its flanks lean more than 45 degrees from vertical: nothing that could break off or close
	freeMM    float64 // how far it stands above the place where it joins another mark, or the body
	narrowest float64 // width that its strokes need
	letter    bool    // of a text
}

// Bounds of what is told apart. Our choice: rules of thumb for what a person would call one
// mark, lost, or another.
const (
	maxMarks    = 400   // of a piece; the largest stay
	leastDepth  = 0.03  // mm: what stands lower is texture
	keptShare   = 0.5   // of a mark's area that must remain for it to survive
	sharedShare = 0.1   // of a mark's area that ties it to another part
	narrowPart  = 0.1   // share of a mark's even middle line that may be narrower than its width
	wedgePart   = 0.5   // the share of a wedge, which narrows to nothing
	evenShare   = 0.2   // of a mark's middle line that must not taper; less is a wedge
	edgedShare  = 0.2   // of a mark's middle line that must lie between edges; less is a hill or a dale
	sidePitchMM = 0.036 // pitch that is enough for widths at other depths than the half
)

// widthDepths is at which parts of the art's depth widths are told (our choice: foot,
// half and top of a stroke, and a step between).
var widthDepths = [...]float64{0.1, 0.25, 0.5, 0.75, 0.9}

// judgeArt finds marks and widths in drawn art, and what became of them in made.
func (f *Forecast) judgeArt(ctx context.Context, art, made *field.Field, p *piece.Piece, m Means, c Choices) error {
	need := needs{pixelMM: m.Printer.PixelMM, entry: entryPerMM(p.BodyMM, m, c), c: c}
	for _, side := range []string{"raised", "sunk"} {
		drawn, got := art, made
		if side == "sunk" {
			drawn, got = negated(art), negated(made)
		}
		top := highest(drawn)
		if top < leastDepth {
			continue
		}
		half, err := f.findMarks(ctx, side, drawn, got, top, need)
		if err != nil {
			return err
		}
		coarse := thinned(drawn, max(1, int(sidePitchMM/drawn.PitchMM+1e-9)))
		for _, part := range widthDepths {
			on, off := robust(half.inside, half.drawn, need.prints()), robust(half.outside, half.drawn, need.prints())
			if part != 0.5 {
				if on, off, err = narrowest(ctx, coarse, float32(part*top), need.prints()); err != nil {
					return err
				}
			}
			w := Width{DepthMM: part * top, RidgeMM: on, GrooveMM: off}
			if side == "sunk" {
				w = Width{DepthMM: -part * top, RidgeMM: off, GrooveMM: on}
			}
			w.judge(top, c)
			f.Widths = append(f.Widths, w)
			if part == 0.5 {
				f.NarrowestRidgeMM = least(f.NarrowestRidgeMM, w.RidgeMM)
				f.NarrowestGrooveMM = least(f.NarrowestGrooveMM, w.GrooveMM)
			}
		}
	}
	f.sortMarks()
	f.nameMarks(p, m.Design)
	f.SmallestTextMM = f.smallest(len(p.Letters) > 0, need.c.LetterMM)
	return nil
}

// smallest is the height that the tallest mark needs for all of them to survive when
// they are scaled together; of letters alone where there are some, and then no less than
// the rule.
func (f *Forecast) smallest(letters bool, leastMM float64) float64 {
	tallest, factor := 0.0, 0.0
	for _, k := range f.Marks {
		if k.Speck || letters && !k.letter {
			continue
		}
		tallest, factor = math.Max(tallest, k.HeightMM), math.Max(factor, k.NeededMM/k.HeightMM)
	}
	if letters {
		return math.Max(tallest*factor, leastMM)
	}
	return tallest * factor
}

// least is the smaller of two widths of which 0 means none.
func least(a, b float64) float64 {
	if a == 0 || b > 0 && b < a {
		return b
	}
	return a
}

func negated(f *field.Field) *field.Field {
	n := field.New(f.Grid)
	for i, z := range f.Z {
		n.Z[i] = -z
	}
	return n
}

func highest(f *field.Field) float64 {
	top := float32(0)
	for _, z := range f.Z {
		top = max(top, z)
	}
	return float64(top)
}

// findMarks looks at half the greatest depth, then at half of that and so on for
// marks that are shallower. It gives the survey at half the greatest depth.
func (f *Forecast) findMarks(ctx context.Context, side string, drawn, made *field.Field, top float64, need needs) (half *survey, err error) {
	taken := make([]bool, len(drawn.Z)) // samples of marks that are found
	var peaks []int                     // of all marks found
	for t := top / 2; t >= leastDepth/2; t /= 2 {
		set := drawn.Above(float32(t))
		all := label(set.On, set.W, set.H, true)
		old := make([]bool, all.n+1)
		fresh := all.n
		for i, l := range all.of {
			if l != 0 && taken[i] && !old[l] {
				old[l] = true
				fresh--
			}
		}
		if fresh == 0 {
			continue
		}
		s, err := newSurvey(ctx, side, drawn, made, float32(t), set, all, need)
		if err != nil {
			return nil, err
		}
		if half == nil {
			half = s
		}
		first, low := len(peaks), false
		for l := 1; l <= all.n; l++ {
			if !old[l] {
				peaks = append(peaks, s.marked[l].peak)
				low = low || s.isLow(l, 0)
			}
		}
		feet := make([]float64, len(peaks))
		if low {
			if feet, err = feetOf(ctx, drawn, peaks, t); err != nil {
				return nil, err
			}
		}
		n := first
		for l := 1; l <= all.n; l++ {
			if old[l] {
				continue
			}
			list := s.marks(l, feet[n])
			if s.isLow(l, feet[n]) {
				if list, err = s.below(ctx, l, feet[n], peaks, n, list); err != nil {
					return nil, err
				}
			}
			f.take(list)
			n++
		}
		for i, l := range all.of {
			taken[i] = taken[i] || l != 0
		}
	}
	return half, nil
}

// take adds marks, each followed by its holes, whose Of counts from the first of them.
func (f *Forecast) take(list []Mark) {
	n := len(f.Marks)
	for _, k := range list {
		if k.Of >= 0 {
			k.Of += n
		}
		f.Marks = append(f.Marks, k)
	}
}

// sortMarks puts marks in reading order with their holes behind them: lines from the
// top, a line being what overlaps in height with its first mark. Beyond maxMarks the
// smallest go.
func (f *Forecast) sortMarks() {
	var heads []int
	holes := map[int][]int{}
	for i, k := range f.Marks {
		if k.Of >= 0 {
			holes[k.Of] = append(holes[k.Of], i)
		} else {
			heads = append(heads, i)
		}
	}
	m := f.Marks
	if len(m) > maxMarks {
		slices.SortStableFunc(heads, func(a, b int) int { return compare(m[b].WidthMM*m[b].HeightMM, m[a].WidthMM*m[a].HeightMM) })
		n, end := 0, 0
		for end < len(heads) && n+1+len(holes[heads[end]]) <= maxMarks {
			n += 1 + len(holes[heads[end]])
			end++
		}
		heads = heads[:end]
	}
	slices.SortStableFunc(heads, func(a, b int) int { return compare(m[b].YMM, m[a].YMM) })
	for i := 0; i < len(heads); {
		n := i + 1
		for n < len(heads) && m[heads[i]].YMM-m[heads[n]].YMM < m[heads[i]].HeightMM/2 {
			n++
		}
		slices.SortStableFunc(heads[i:n], func(a, b int) int { return compare(m[a].XMM, m[b].XMM) })
		i = n
	}
	var out []Mark
	for _, h := range heads {
		at := len(out)
		out = append(out, m[h])
		for _, k := range holes[h] {
			hole := m[k]
			hole.Of = at
			out = append(out, hole)
		}
	}
	f.More = len(m) - len(out)
	f.Marks = out
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// needs is what strokes of a given depth need of width.
type needs struct {
	pixelMM float64
	entry   float64
	c       Choices
}

// ridge is the width that a stroke standing up from the chocolate needs, and by whom:
// as a groove in rubber the chocolate must enter it, as a wall of resin it must print,
// as chocolate it must not break. What has no edge is no wall, and must only print and
// be entered.
func (n needs) ridge(depthMM float64, soft bool) (float64, string) {
	if soft {
		return most(need{n.prints(), "printer"}, need{n.entry * depthMM, "chocolate"})
	}
	return most(
		need{n.prints(), "printer"},
		need{n.c.ResinMM, "resin"}, need{depthMM / n.c.ResinRatio, "resin"},
		need{n.entry * depthMM, "chocolate"},
		need{n.c.ChocolateMM, "chocolate"}, need{depthMM / n.c.ChocolateRatio, "chocolate"})
}

// groove is the width that a groove of the chocolate needs: it is a groove in resin,
// where light and coat fill it, and a fin of rubber if it has an edge.
func (n needs) groove(depthMM float64, soft bool) (float64, string) {
	if soft {
		return n.prints() + 2*n.c.CoatMM, "printer"
	}
	return most(
		need{n.prints() + 2*n.c.CoatMM, "printer"},
		need{n.c.RubberMM, "rubber"}, need{depthMM / n.c.RubberRatio, "rubber"})
}

// prints is the width of the finest bar or dot that the exposure draws: a pixel and a
// disc that the blur leaves half its light (1 - exp(-r²/2 sigma²) = 1/2).
func (n needs) prints() float64 { return n.pixelMM + 2*math.Sqrt(2*math.Ln2)*n.c.LightMM }

type need struct {
	mm float64
	by string
}

func most(list ...need) (float64, string) {
	m := list[0]
	for _, n := range list[1:] {
		if n.mm > m.mm {
			m = n
		}
	}
	return m.mm, m.by
}
