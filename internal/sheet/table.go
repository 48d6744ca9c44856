package sheet

import "image/color"

// column of a table: its title, its share of the width, and how it is set.
type column struct {
	title string
	width float64 // mm
	align align
	style func(*faces) style
	write bool // empty, to be written into
}

// tableHead sets the titles of a table on the base line y.
func (p *page) tableHead(x, y float64, cols []column) {
	at := x
	for _, c := range cols {
		p.cell(at, y, c, c.title, p.f.label())
		at += c.width
	}
	p.line(x, y+1.8, at, y+1.8, 0.35, ink)
}

// cell sets one line into a column, cut short where it is too long.
func (p *page) cell(x, y float64, c column, s string, st style) {
	const pad = 3.2
	if c.align == atRight {
		p.within(x+c.width-pad, y, c.width-pad, s, st, atRight)
		return
	}
	p.within(x, y, c.width-pad, s, st, atLeft)
}

// row sets one row from its upper edge y on, with a hairline below. A cell to be
// written into has a line of ink.
func (p *page) row(x, y float64, cols []column, cells []string, height float64) {
	lines := p.f.rowLines(cols, cells)
	base := p.f.rowBase(cols)
	at := x
	for i, c := range cols {
		st := c.style(p.f)
		for k, l := range lines[i] {
			p.cell(at, y+base+float64(k)*leadOf(st), c, l, st)
		}
		at += c.width
	}
	p.line(x, y+height, at, y+height, hair, rule)
	at = x
	for _, c := range cols {
		if c.write {
			p.line(at+1, y+height-0.9, at+c.width-1, y+height-0.9, 0.25, ink)
		}
		at += c.width
	}
}

// rowHeight is the height of a row; one to be written into has room for a pencil.
func (f *faces) rowHeight(cols []column, cells []string) float64 {
	h := 7.0
	for i, l := range f.rowLines(cols, cells) {
		if cols[i].write {
			h = max(h, 8.5)
		}
		h = max(h, f.rowBase(cols)+float64(len(l)-1)*leadOf(cols[i].style(f))+2.2)
	}
	return h
}

// rowBase is the first base line of a row below its upper edge.
func (f *faces) rowBase(cols []column) float64 {
	for _, c := range cols {
		if c.style(f).sizePt > sizeText {
			return 6
		}
	}
	return 4.9
}

func leadOf(st style) float64 {
	switch {
	case st.sizePt > sizeText:
		return leadBig
	case st.sizePt > sizeLabel:
		return leadText
	}
	return leadLabel
}

// maxRowLines bounds the lines of one cell; what is longer is cut short.
const maxRowLines = 6

func (f *faces) rowLines(cols []column, cells []string) [][]string {
	out := make([][]string, len(cols))
	for i, c := range cols {
		out[i] = f.lines(cells[i], c.style(f), c.width-3.3)
		if len(out[i]) > maxRowLines {
			out[i] = out[i][:maxRowLines]
			out[i][maxRowLines-1] += " …"
		}
	}
	return out
}

// fact sets a label above a large number with a remark below.
func (p *page) fact(x, y, w float64, label, number, remark string, c color.RGBA) {
	p.within(x, y, w, label, p.f.label(), atLeft)
	p.within(x, y+6.6, w, number, p.f.big().in(c), atLeft)
	if remark != "" {
		p.within(x, y+10.6, w, remark, p.f.label(), atLeft)
	}
}

// pair sets a label at the left and a value at the right of a hairline.
func (p *page) pair(x, y, w float64, label, value string) float64 {
	p.text(x, y, label, p.f.label(), atLeft)
	lw := p.f.width(label, p.f.label())
	p.within(x+w, y, w-lw-3, value, p.f.text(), atRight)
	p.line(x, y+1.5, x+w, y+1.5, hair, rule)
	return y + 5.5
}

func (f *faces) textStyle() style  { return f.text() }
func (f *faces) labelStyle() style { return f.figure() }

// spread scales columns to the measure.
func spread(cols []column, w float64) []column {
	var sum float64
	for _, c := range cols {
		sum += c.width
	}
	out := append([]column{}, cols...)
	for i := range out {
		out[i].width *= w / sum
	}
	return out
}
