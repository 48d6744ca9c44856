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

// tableHead sets the titles and gives the base line of the first row.
func (p *page) tableHead(x, y float64, cols []column) float64 {
	at, w := x, 0.0
	for _, c := range cols {
		p.cell(at, y, c, c.title, p.f.label())
		at += c.width
		w += c.width
	}
	p.line(x, y+1.8, x+w, y+1.8, 0.35, ink)
	return y + 1.8 + leadText + 1
}

// cell sets one line into a column, cut short where it is too long.
func (p *page) cell(x, y float64, c column, s string, st style) {
	const pad = 1.2
	switch c.align {
	case atRight:
		p.within(x+c.width-pad, y, c.width-2*pad, s, st, atRight)
	case atMiddle:
		p.within(x+c.width/2, y, c.width-2*pad, s, st, atMiddle)
	default:
		p.within(x, y, c.width-pad, s, st, atLeft)
	}
}

// row sets one row whose cells may take several lines, with a hairline below, and
// gives the base line of the next.
func (p *page) row(x, y float64, cols []column, cells []string) float64 {
	lines, lead := p.f.rowLines(cols, cells)
	most := 1
	at, w := x, 0.0
	for i, c := range cols {
		st := c.style(p.f)
		for k, l := range lines[i] {
			p.cell(at, y+float64(k)*lead, c, l, st)
		}
		most = max(most, len(lines[i]))
		at += c.width
		w += c.width
	}
	bottom := y + float64(most-1)*lead + 2.1
	at = x
	for _, c := range cols {
		if c.write {
			p.line(at+1, bottom, at+c.width-1, bottom, 0.3, ink)
		}
		at += c.width
	}
	p.line(x, bottom, x+w, bottom, hair, rule)
	return bottom + lead + 0.9
}

// rowHeight is how far a row moves the base line.
func (f *faces) rowHeight(cols []column, cells []string) float64 {
	lines, lead := f.rowLines(cols, cells)
	most := 1
	for _, l := range lines {
		most = max(most, len(l))
	}
	return float64(most-1)*lead + 2.1 + lead + 0.9
}

// maxRowLines bounds the lines of one cell; what is longer is cut short.
const maxRowLines = 6

func (f *faces) rowLines(cols []column, cells []string) ([][]string, float64) {
	out := make([][]string, len(cols))
	lead := leadLabel
	for i, c := range cols {
		st := c.style(f)
		if st.sizePt > sizeLabel {
			lead = leadText
		}
		out[i] = f.lines(cells[i], st, c.width-2.4)
		if len(out[i]) > maxRowLines {
			out[i] = out[i][:maxRowLines]
			out[i][maxRowLines-1] += " …"
		}
	}
	return out, lead
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
