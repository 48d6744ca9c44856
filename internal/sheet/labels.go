package sheet

import (
	"context"
	"fmt"
	"io"
	"strings"

	"mouldwright/internal/flow"
	"mouldwright/internal/flow/box"
)

// labelPad is blank at the edges of a label, since no printer hits it exactly.
const labelPad = 2.5

// WriteLabels writes the labels on the sheet that the plan names. A label that does not
// hold its text in the smallest letters allowed goes on on the next one.
func WriteLabels(ctx context.Context, w io.Writer, r *flow.Result, s *Sketchbook) error {
	g := r.Plan.Box.Sheet
	b, err := blank(r, g.Paper)
	if err != nil {
		return err
	}
	b.s, b.plain = s, true
	per := g.Rows * g.Columns
	var all []labelPart
	for i := range r.Plan.Boxes {
		if err := ctx.Err(); err != nil {
			return err
		}
		all = append(all, b.label(&r.Plan.Boxes[i])...)
	}
	if len(all) > MaxPages*per {
		return fmt.Errorf("sheet: %d labels, allowed %d", len(all), MaxPages*per)
	}
	at := g.Used
	for len(all) > 0 {
		n := min(per-at, len(all))
		part, first := all[:n], at
		all, at = all[n:], 0
		b.add("labels", func(p *page) error {
			for i, l := range part {
				k := first + i
				x := g.LeftMM + float64(k%g.Columns)*(g.WidthMM+g.GapXMM)
				y := g.TopMM + float64(k/g.Columns)*(g.HeightMM+g.GapYMM)
				p.label(x, y, &l)
			}
			return nil
		})
	}
	return b.write(ctx, w)
}

// labelPart is one label: lines of runs, and the code on the first of a box.
type labelPart struct {
	name  string
	lines [][]said
	size  float64 // pt
	code  string
	codeW float64
	of    string // "2 of 3"
}

// label sets a box's text into as many labels as it takes: one, if letters may be small
// enough.
func (b *book) label(x *flow.PlanBox) []labelPart {
	g := &b.r.Plan.Box
	w, h := g.Sheet.WidthMM-2*labelPad, g.Sheet.HeightMM-2*labelPad
	least := b.leastPt()
	codes := []float64{min(0.36*w, 0.8*h, 26), leastCode}
	if codes[0] < leastCode {
		codes = []float64{0}
	}
	fits := func(pt, codeW float64) bool {
		return float64(len(b.labelLines(x, pt, w, codeW)))*pt*labelLead <= h-labelHead(pt)
	}
	codeW, pt := codes[0], least
	for _, c := range codes { // a smaller code before a second label
		if !fits(least, c) {
			continue
		}
		const biggest = 9.5
		codeW = c
		for pt = max(biggest, least); pt > least && !fits(pt, c); pt -= 0.25 {
		}
		pt = max(pt, least)
		break
	}
	lines := b.labelLines(x, pt, w, codeW)
	room := max(1, int((h-labelHead(pt))/(pt*labelLead)))
	var out []labelPart
	for len(lines) > 0 {
		n := min(room, len(lines))
		l := labelPart{name: x.Name, lines: lines[:n], size: pt}
		if len(out) == 0 {
			l.code, l.codeW = x.Facts, codeW
		}
		out = append(out, l)
		lines = lines[n:]
	}
	if len(out) > 1 {
		for i := range out {
			out[i].of = fmt.Sprintf("%d of %d", i+1, len(out))
		}
	}
	return out
}

// leastCode is the side in mm below which a code is too small for a camera (common
// practice, no source).
const leastCode = 16.0

// labelLead is the distance of lines in mm for each point of size; labelHead the room of
// the name above them.
const labelLead = 1.16 * mmPerPt

func labelHead(pt float64) float64 { return 1.25 * pt * 1.3 * mmPerPt }

// leastPt is the smallest size allowed, by the height of the small x.
func (b *book) leastPt() float64 {
	g := &b.r.Plan.Box
	w := box.WordingOf(g.Rules)
	x := w.LeastXMM
	if max(g.WidthMM*g.DepthMM, g.WidthMM*g.HeightMM) < w.SmallMM2 {
		x = w.LeastXSmallMM
	}
	m := b.f.sans.Face(100, ink).Metrics()
	return 100 * x / m.XHeight
}

// labelLines breaks the label's text; lines beside the code are shorter.
func (b *book) labelLines(x *flow.PlanBox, pt, w, codeW float64) [][]said {
	g := &b.r.Plan.Box
	plain, bold := style{b.f.sans, pt, ink}, style{b.f.sansBold, pt, ink}
	var out [][]said
	width := func() float64 {
		if codeW > 0 && labelHead(pt)+float64(len(out))*pt*labelLead < codeW {
			return w - codeW - 1
		}
		return w
	}
	add := func(parts ...said) { out = b.wrap(out, parts, width) }
	add(said{sentence(g.Food) + ". ", bold}, said{x.NetWords, bold})
	parts := []said{{"Ingredients: ", plain}}
	for _, r := range x.Ingredients {
		st := plain
		if r.Bold {
			st = bold
		}
		parts = append(parts, said{r.Text, st})
	}
	add(parts...)
	if len(x.Missing) > 0 {
		add(said{"Not complete: the ingredients of " + strings.Join(x.Missing, ", ") + " are not known.", bold})
	}
	if len(x.Contains) > 0 {
		add(said{"Contains: " + strings.Join(x.Contains, ", ") + ".", bold})
	}
	if len(x.MayContainWords) > 0 {
		add(said{"May contain: " + strings.Join(x.MayContainWords, ", ") + ".", plain})
	}
	before := g.BestBeforeWords + ": "
	if x.BestBefore != nil {
		add(said{before, plain}, said{x.BestBefore.Long() + ". ", bold}, said{x.Storage, plain})
	} else {
		add(said{before + "_______________ " + x.Storage, plain})
	}
	maker := g.Maker
	if maker == "" {
		maker = "Made by: ____________________"
	}
	add(said{"Lot " + x.Lot + ". ", plain}, said{maker, plain})
	return out
}

// wrap breaks stretches of text in several styles into lines, at their spaces.
func (b *book) wrap(out [][]said, parts []said, width func() float64) [][]said {
	var words []said // each with the space behind it
	for _, p := range parts {
		for _, w := range strings.SplitAfter(spaces.Replace(p.text), " ") {
			if w != "" {
				words = append(words, said{w, p.style})
			}
		}
	}
	var line []said
	used := 0.0
	for i := 0; i < len(words); {
		to := i // words that hang together: no space between them
		for to < len(words)-1 && !strings.HasSuffix(words[to].text, " ") {
			to++
		}
		need, full := 0.0, 0.0
		for k := i; k <= to; k++ {
			need += b.f.width(strings.TrimRight(words[k].text, " "), words[k].style)
			full += b.f.width(words[k].text, words[k].style)
		}
		if used+need > width() && len(line) > 0 {
			out, line, used = append(out, line), nil, 0
		}
		for k := i; k <= to; k++ {
			if n := len(line); n > 0 && line[n-1].style == words[k].style {
				line[n-1].text += words[k].text
			} else {
				line = append(line, words[k])
			}
		}
		used += full
		i = to + 1
	}
	if len(line) > 0 {
		out = append(out, line)
	}
	return out
}

// label draws one label with its upper left corner at (x, y).
func (p *page) label(x, y float64, l *labelPart) {
	g := &p.book.r.Plan.Box.Sheet
	right := x + g.WidthMM - labelPad
	x, y = x+labelPad, y+labelPad
	if l.codeW > 0 {
		if err := p.code(right-l.codeW+l.codeW*0.06, y, l.codeW, l.code); err != nil {
			l.codeW = 0 // more text than a code holds: the label says it all
		}
	}
	name := style{p.f.bold, l.size * 1.3, ink}
	room := right - x - l.codeW - 1
	if l.of != "" {
		p.text(right-l.codeW-1, y+l.size*1.1*mmPerPt, l.of, style{p.f.sans, l.size, soft}, atRight)
		room -= 14
	}
	p.within(x, y+l.size*1.1*mmPerPt, room, l.name, name, atLeft)
	base := y + labelHead(l.size) + l.size*0.8*mmPerPt
	for i, line := range l.lines {
		at := x
		for _, s := range line {
			at += p.text(at, base+float64(i)*l.size*labelLead, s.text, s.style, atLeft)
		}
	}
}
