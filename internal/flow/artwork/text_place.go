package artwork

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// layout places shaped lines.
type layout struct {
	fonts    *Fonts
	lines    []textLine
	align    string
	leading  float64
	radiusMM float64
	letters  []Letter // as they were set
}

// fit sets the lines as large as the spec allows; fitted is false when an arc's
// length bound them before the box did.
func (l *layout) fit(c TextSpec) (o geom.Outline, fitted bool, err error) {
	size, err := l.straightSize(c)
	if err != nil {
		return nil, false, err
	}
	if l.radiusMM != 0 {
		return l.fitArc(c, size)
	}
	placed, err := l.shapes(size, step(size))
	if err != nil {
		return nil, false, err
	}
	l.keep(placed)
	o, err = settle(placed)
	if err != nil || len(o) == 0 || c.WidthMM == 0 && c.HeightMM == 0 {
		return o, true, orNoInk(o, err)
	}
	// The probe was flattened in another class: what it was off is put right.
	f := sizeLimit(TextSpec{WidthMM: c.WidthMM, HeightMM: c.HeightMM}, o.Bounds())
	for i := range l.letters {
		l.letters[i].Outline = l.letters[i].Outline.Transform(geom.Scale(f, f))
	}
	return o.Transform(geom.Scale(f, f)), true, nil
}

// straightSize is the largest size in mm to the em at which the text, laid straight,
// stays in its box.
func (l *layout) straightSize(c TextSpec) (float64, error) {
	straight := *l
	straight.radiusMM = 0
	ems, err := straight.shapes(1, probeStep)
	if err != nil {
		return 0, err
	}
	box := bounds(ems)
	if box.Empty() || !(box.W() > 0 && box.H() > 0) {
		return 0, noInk()
	}
	size := sizeLimit(c, box)
	if size > maxEmMM {
		return 0, tooLarge(size)
	}
	return size, nil
}

// fitArc bends text of the given size, or of the largest that its circle allows where a
// box, not a size, was asked for.
func (l *layout) fitArc(c TextSpec, size float64) (o geom.Outline, fitted bool, err error) {
	fitted = true
	if err := l.checkArc(size); err != nil {
		if c.WidthMM == 0 && c.HeightMM == 0 {
			return nil, false, err
		}
		fitted = false
		for lo, hi := 0.0, size; ; { // halving, to a millionth of what was asked for
			if mid := (lo + hi) / 2; l.checkArc(mid) == nil {
				lo = mid
			} else {
				hi = mid
			}
			if hi-lo <= 1e-6*size {
				size = lo
				break
			}
		}
		if size == 0 {
			return nil, false, err
		}
	}
	// Bending stretches what lies outside the circle, by an em over the radius at
	// most where letters are an em high; they are flattened as much finer.
	inner := min(l.lineRadius(0, size), l.lineRadius(len(l.lines)-1, size))
	placed, err := l.shapes(size, step(size*(1+size/inner)))
	if err != nil {
		return nil, false, err
	}
	l.keep(placed)
	o, err = settle(placed)
	return o, fitted, orNoInk(o, err)
}

// lineRadius is the radius in mm of a line's circle.
func (l *layout) lineRadius(i int, size float64) float64 {
	return math.Abs(l.radiusMM) - math.Copysign(float64(i)*l.leading*size, l.radiusMM)
}

// checkArc refuses lines longer than their circle, and letters that reach more
// than half-way to its centre, where they would meet or shrink beyond recognition.
func (l *layout) checkArc(size float64) error {
	for i, line := range l.lines {
		r := l.lineRadius(i, size)
		reach := 0.0 // how far ink reaches towards the centre, in ems
		for _, u := range line.units {
			for _, g := range u.glyphs {
				s, err := l.fonts.glyph(g.font, g.glyph, probeStep)
				if err != nil {
					return err
				}
				if s.Box.Empty() {
					continue
				}
				if l.radiusMM > 0 {
					reach = math.Max(reach, -(g.y + s.Box.Min.Y))
				} else {
					reach = math.Max(reach, g.y+s.Box.Max.Y)
				}
			}
		}
		if !(r > 0 && r >= 2*reach*size) {
			return &finding.Error{Key: "arc_radius_mm", Found: fmt.Sprintf("line %d reaches more than half-way to the centre of its circle of %.3g mm", i+1, math.Max(r, 0)),
				Allowed: fmt.Sprintf("a circle of at least %.3g mm for letters of this size", 2*reach*size), Do: "a larger radius, smaller letters, or fewer lines"}
		}
		if long, round := line.advance*size, 2*math.Pi*r; long > round {
			return &finding.Error{Key: "arc_radius_mm", Found: fmt.Sprintf("line %d is %.4g mm long, its circle only %.4g mm", i+1, long, round),
				Allowed: "a line no longer than its circle", Do: fmt.Sprintf("a radius of at least %.4g mm, or smaller letters", long/2/math.Pi)}
		}
	}
	return nil
}

// keep remembers the letters that the text's outline is made of.
func (l *layout) keep(placed []placedGlyph) {
	l.letters = nil
	for i, g := range placed {
		if i > 0 && placed[i-1].line == g.line && placed[i-1].letter.first == g.letter.first { // a letter of several glyphs
			last := &l.letters[len(l.letters)-1]
			last.Outline = append(last.Outline[:len(last.Outline):len(last.Outline)], g.outline...)
			continue
		}
		l.letters = append(l.letters, Letter{g.letter.text, g.letter.word, g.outline})
	}
}

// placedGlyph is one glyph in mm at its place.
type placedGlyph struct {
	outline geom.Outline
	box     geom.Rect
	letter  unitGlyph
	line    int
}

// shapes puts every glyph to its place at a size in mm to the em.
func (l *layout) shapes(size float64, step int) ([]placedGlyph, error) {
	widest := 0.0
	for _, line := range l.lines {
		widest = math.Max(widest, line.advance)
	}
	var out []placedGlyph
	for i, line := range l.lines {
		start := 0.0 // ems from the block's middle to the line's start
		switch l.align {
		case "left":
			start = -widest / 2
		case "right":
			start = widest/2 - line.advance
		default:
			start = -line.advance / 2
		}
		for _, u := range line.units {
			for _, g := range u.glyphs {
				s, err := l.fonts.glyph(g.font, g.glyph, step)
				if err != nil {
					return nil, err
				}
				if len(s.Outline) == 0 {
					continue
				}
				o := l.place(s.Outline, u, g, start, i, size)
				out = append(out, placedGlyph{o, o.Bounds(), g, i})
			}
		}
	}
	return out, nil
}

// place maps one glyph from ems to mm.
func (l *layout) place(o geom.Outline, u textUnit, g unitGlyph, start float64, i int, size float64) geom.Outline {
	if l.radiusMM == 0 {
		return o.Transform(geom.Scale(size, size).Then(geom.Move((start+g.x)*size, (g.y-float64(i)*l.leading)*size)))
	}
	r := l.lineRadius(i, size)
	up := math.Copysign(1, l.radiusMM) // letters stand outwards over the top, inwards under the bottom
	if u.bend {
		return bend(o.Transform(geom.Scale(size, size).Then(geom.Move((start+g.x)*size, g.y*size))), r, up)
	}
	middle := u.x + u.w/2
	turn := -up * (start + middle) * size / r
	m := geom.Scale(size, size).Then(geom.Move((g.x-middle)*size, g.y*size+up*r)).Then(geom.Turn(turn * 180 / math.Pi))
	return o.Transform(m)
}

// bend winds the x axis around a circle of radius r mm: over its top with y
// outwards (up = 1), or under its bottom with y inwards (up = -1). Edges are split
// so that they leave the curve by no more than half of FlattenMM.
func bend(o geom.Outline, r, up float64) geom.Outline {
	out := make(geom.Outline, len(o))
	for i, ring := range o {
		q := make(geom.Ring, 0, len(ring)*2)
		for j, a := range ring {
			b := ring[(j+1)%len(ring)]
			far := r + up*a.Y
			if rb := r + up*b.Y; rb > far {
				far = rb
			}
			n := 1
			if far > geom.FlattenMM {
				most := 2 * math.Acos(1-geom.FlattenMM/2/far)
				n = max(1, int(math.Ceil(math.Abs(b.X-a.X)/r/most)))
			}
			for k := range n {
				p := a.Lerp(b, float64(k)/float64(n))
				sin, cos := math.Sincos(p.X / r)
				rho := r + up*p.Y
				q = append(q, geom.Vec{X: rho * sin, Y: up * rho * cos})
			}
		}
		out[i] = q
	}
	return out
}

func bounds(glyphs []placedGlyph) geom.Rect {
	b := geom.EmptyRect()
	for _, g := range glyphs {
		b.Add(g.box.Min)
		b.Add(g.box.Max)
	}
	return b
}

// settle joins glyphs that overlap. Each is settled already, so only those whose
// boxes meet are settled together.
func settle(glyphs []placedGlyph) (geom.Outline, error) {
	slices.SortStableFunc(glyphs, func(a, b placedGlyph) int { return cmp.Compare(a.box.Min.X, b.box.Min.X) })
	group := make([]int, len(glyphs))
	for i := range group {
		group[i] = i
	}
	root := func(i int) int {
		for group[i] != i {
			group[i] = group[group[i]]
			i = group[i]
		}
		return i
	}
	for i, a := range glyphs {
		for j := i + 1; j < len(glyphs) && glyphs[j].box.Min.X <= a.box.Max.X; j++ {
			if b := glyphs[j]; b.box.Min.Y <= a.box.Max.Y && a.box.Min.Y <= b.box.Max.Y {
				if ri, rj := root(i), root(j); ri < rj {
					group[rj] = ri
				} else {
					group[ri] = rj
				}
			}
		}
	}
	members := make([]geom.Outline, len(glyphs))
	count := make([]int, len(glyphs))
	for i, g := range glyphs {
		members[root(i)] = append(members[root(i)], g.outline...)
		count[root(i)]++
	}
	var out geom.Outline
	for i, m := range members {
		if count[i] > 1 {
			var err error
			if m, err = geom.Settle(m, geom.NonZero); err != nil {
				return nil, err
			}
		}
		out = append(out, m...)
	}
	return out, out.Check()
}

func noInk() error {
	return &finding.Error{Found: "a text without ink", Allowed: "at least one visible letter", Do: "write other words, or name another font"}
}

func orNoInk(o geom.Outline, err error) error {
	if err == nil && len(o) == 0 {
		return noInk()
	}
	return err
}

func tooLarge(size float64) error {
	return &finding.Error{Key: "width_mm", Found: fmt.Sprintf("letters of %.4g mm to the em", size),
		Allowed: fmt.Sprintf("at most %d mm", maxEmMM), Do: "a smaller width_mm or height_mm"}
}
