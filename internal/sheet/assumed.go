package sheet

import (
	"fmt"
	"regexp"
	"strings"

	"mouldwright/internal/flow"
)

// maxAssumed bounds the printed values; plan.json has them all.
const maxAssumed = 2000

// assumedPages list every value that was not entered. What came from a kind of
// material stands first, one to a line, with room for one's own; the program's plain
// defaults follow in two columns, the same value in many places once.
func (b *book) assumedPages() {
	if len(b.r.Plan.Assumed) == 0 && len(b.r.Plan.Measured) == 0 {
		return
	}
	cols := []column{
		{"in the job file", 54, atLeft, (*faces).labelStyle, false},
		{"taken", 36, atLeft, (*faces).textStyle, false},
		{"from", 54, atLeft, (*faces).labelStyle, false},
		{"your own", 28, atLeft, (*faces).textStyle, true},
	}
	var cells [][]string
	var plain []flow.Assumed
	for _, a := range b.r.Plan.Assumed {
		if len(cells)+len(plain) >= maxAssumed {
			break
		}
		if a.Source == "default" {
			plain = append(plain, a)
			continue
		}
		cells = append(cells, []string{a.Key, a.Value, a.Source, ""})
	}
	blocks := []block{b.textBlock("These values are not yours: they came with the kind of material you named, or with the program. Put your own into the job file as you find them out.", b.f.text())}
	if len(cells) > 0 {
		blocks = append(blocks, b.tableBlocks(cols, cells)...)
	}
	if len(plain) > 0 {
		blocks = append(blocks, b.titleBlock("The program’s own"))
		blocks = append(blocks, b.defaultBlocks(plain)...)
	}
	heading := "Taken for granted"
	if m := b.measuredBlocks(); m != nil {
		heading, blocks = "Measured, and taken for granted", append(m, blocks...)
	}
	b.flowing("assumed", heading, nil, blocks)
}

var index = regexp.MustCompile(`\[\d+\]`)

// defaultBlocks are lines of key and value in two columns.
func (b *book) defaultBlocks(plain []flow.Assumed) []block {
	type line struct {
		key, value string
		n          int
	}
	var all []line
	at := map[string]int{}
	for _, a := range plain {
		key := index.ReplaceAllString(a.Key, "")
		id := key + "\x00" + a.Value
		k, ok := at[id]
		if !ok {
			k = len(all)
			at[id] = k
			all = append(all, line{key: key, value: a.Value})
		}
		all[k].n++
	}
	const gap = 8.0
	w := (b.measureOf() - gap) / 2
	draw := func(p *page, x, y float64, l line) {
		value := strings.TrimSpace(l.value)
		if value == "" {
			value = "empty"
		}
		if l.n > 1 {
			value = fmt.Sprintf("%s in %d places", value, l.n)
		}
		p.within(x, y+3.3, w*0.58, l.key, p.f.label(), atLeft)
		p.within(x+w, y+3.3, w*0.40, value, p.f.figure(), atRight)
		p.line(x, y+4.7, x+w, y+4.7, hair, rule)
	}
	rows := (len(all) + 1) / 2
	var out []block
	for r := range rows {
		out = append(out, block{height: 4.9, draw: func(p *page, y float64) {
			draw(p, p.left(), y, all[r])
			if r+rows < len(all) {
				draw(p, p.left()+w+gap, y, all[r+rows])
			}
		}})
	}
	return out
}

// measuredBlocks are what coupons gave, before what is assumed.
func (b *book) measuredBlocks() []block {
	var cells [][]string
	for _, m := range b.r.Plan.Measured {
		if m.Key == "" {
			continue
		}
		value := fmt.Sprintf("%g", m.Value.Likely)
		if m.StdErr > 0 {
			value = fmt.Sprintf("%g (%g to %g)", m.Value.Likely, m.Value.Low, m.Value.High)
		}
		why := "used"
		if !m.Used {
			why = "not used: " + m.Why
		}
		cells = append(cells, []string{m.Key, value, m.Coupon + " coupon, " + m.Date, why})
	}
	if len(cells) == 0 {
		return nil
	}
	cols := []column{
		{"in the job file", 48, atLeft, (*faces).labelStyle, false},
		{"measured", 44, atLeft, (*faces).textStyle, false},
		{"on", 40, atLeft, (*faces).labelStyle, false},
		{"", 40, atLeft, (*faces).labelStyle, false},
	}
	return append(b.tableBlocks(cols, cells), b.titleBlock("Still assumed"))
}
