package sheet

// block is a part of a page that must not be torn: its height in mm, and what draws
// it from its upper edge on.
type block struct {
	height float64
	draw   func(p *page, y float64)
	again  *block // stands over it when it is the first on a page: a table's titles
	keep   bool   // never the last of a page: a heading stays with what follows
}

// flowing sets blocks below each other over as many pages as they take, under one
// heading. above, when there is one, draws the top of the first page, from the
// heading on, and says how far it reached.
func (b *book) flowing(stage, heading string, above func(*page) float64, blocks []block) {
	top := marginTop + 11 + float64(len(b.f.headLines(heading, b.measureOf()))-1)*leadHead + 8
	bottom := b.size[1] - marginBottom
	start := top
	if above != nil {
		blind := b.blind()
		blind.under = top
		start = above(blind)
	}
	for first := true; first || len(blocks) > 0; first = false {
		y, n := start, 0
		var again *block
		for n < len(blocks) {
			h := blocks[n].height
			if n == 0 && !first && blocks[0].again != nil {
				again = blocks[0].again
				y += again.height
			}
			if y+h > bottom && (n > 0 || (first && above != nil)) {
				break
			}
			y += h
			n++
		}
		for n > 1 && n < len(blocks) && blocks[n-1].keep {
			n--
		}
		part, isFirst := blocks[:n], first
		blocks = blocks[n:]
		title := heading
		if !first {
			title += ", continued"
		}
		b.add(stage, func(p *page) error {
			y := p.heading(title) - 2
			if isFirst && above != nil {
				y = above(p)
			}
			if again != nil {
				again.draw(p, y)
				y += again.height
			}
			for _, k := range part {
				k.draw(p, y)
				y += k.height
			}
			return nil
		})
		start = marginTop + 11 + float64(len(b.f.headLines(heading+", continued", b.measureOf()))-1)*leadHead + 6
		if len(b.sheets) > MaxPages {
			return // write refuses the book
		}
	}
}

// measureOf is the width between the margins.
func (b *book) measureOf() float64 { return b.size[0] - marginLeft - marginRight }

// tableBlocks are a table's titles and rows.
func (b *book) tableBlocks(cols []column, cells [][]string) []block {
	cols = spread(cols, b.measureOf())
	head := block{height: 5.6, keep: true, draw: func(p *page, y float64) { p.tableHead(p.left(), y+3, cols) }}
	out := []block{head}
	for _, c := range cells {
		h := b.f.rowHeight(cols, c)
		out = append(out, block{height: h, again: &head, draw: func(p *page, y float64) { p.row(p.left(), y, cols, c, h) }})
	}
	return out
}

// textBlock is a paragraph no wider than 118 mm, about 65 letters.
func (b *book) textBlock(s string, st style) block { return b.wideBlock(s, st, readable) }

// wideBlock is text of a width of its own.
func (b *book) wideBlock(s string, st style, width float64) block {
	lines := b.f.lines(s, st, width)
	return block{height: float64(len(lines))*leadText + 2.5, draw: func(p *page, y float64) {
		for i, l := range lines {
			p.text(p.left(), y+3.4+float64(i)*leadText, l, st, atLeft)
		}
	}}
}

// readable is the width of reading text in mm.
const readable = 118.0

// titleBlock is a title inside a page.
func (b *book) titleBlock(s string) block {
	return block{height: 14, keep: true, draw: func(p *page, y float64) {
		p.within(p.left(), y+9.5, p.measure(), s, p.f.big(), atLeft)
	}}
}

// cautionBlock is a boxed warning.
func (b *book) cautionBlock(c caution) block {
	w := min(b.measureOf(), readable+17)
	lines := b.f.lines(c.text, b.f.text(), w-17)
	h := 8 + 3.4 + float64(len(lines))*leadText
	return block{height: h + 4, draw: func(p *page, y float64) { p.cautionBox(p.left(), y, w, h, c, lines) }}
}

// stepBlocks are numbered lines of work, each with a box to tick.
func (b *book) stepBlocks(steps []string) []block {
	var out []block
	for i, s := range steps {
		lines := b.f.lines(s, b.f.text(), readable)
		out = append(out, block{height: float64(len(lines))*leadText + 2.2, keep: i == 0, draw: func(p *page, y float64) {
			p.step(p.left(), y+3.6, i+1, lines)
		}})
	}
	return out
}
