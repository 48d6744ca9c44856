package sheet

import (
	"fmt"
	"image/color"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// maxRemarks bounds the printed remarks; plan.json has them all.
const maxRemarks = 400

// remark is a finding set into lines.
type remark struct {
	f        finding.Finding
	what, do []string
	height   float64
}

// remarkPages print the findings, what must stop first.
func (b *book) remarkPages() {
	w := min(b.measureOf()-10, readable)
	var all []remark
	for _, sev := range []finding.Severity{finding.Stop, finding.Care, finding.Note} {
		for _, f := range b.r.Plan.Findings {
			if f.Severity != sev || len(all) >= maxRemarks {
				continue
			}
			r := remark{f: f, what: b.f.lines(f.What, b.f.text(), w)}
			if f.Do != "" {
				r.do = b.f.lines("Try: "+f.Do, b.f.text(), w)
			}
			r.height = 4.6 + float64(len(r.what)+len(r.do))*leadText + 6
			all = append(all, r)
		}
	}
	if len(all) == 0 {
		return
	}
	var blocks []block
	for _, r := range all {
		blocks = append(blocks, block{height: r.height, draw: func(p *page, y float64) { p.remark(y+4.4, r) }})
	}
	b.flowing("remarks", b.remarkTitle(), nil, blocks)
}

func (b *book) remarkTitle() string {
	n := map[finding.Severity]int{}
	for _, f := range b.r.Plan.Findings {
		n[f.Severity]++
	}
	switch {
	case n[finding.Stop] > 0:
		return fmt.Sprintf("%s must be mended before you go on", sentence(unit.Count(n[finding.Stop], "thing", "things")))
	case n[finding.Care] > 0:
		return fmt.Sprintf("%s a look before you go on", sentence(unit.Count(n[finding.Care], "thing needs", "things need")))
	}
	return "Good to know"
}

// remark draws one finding: its sign and word, its place, what was found, what to do.
func (p *page) remark(y float64, r remark) {
	word, c := "note", color.RGBA(ink)
	switch r.f.Severity {
	case finding.Stop:
		word, c = "stop", stop
	case finding.Care:
		word = "take care"
	}
	x := p.left()
	p.sign(x, y-4.4, r.f.Severity, c)
	w := p.text(x+10, y, word, p.f.labelBold().in(c), atLeft)
	p.within(x+10+w+2.5, y, p.measure()-12.5-w, r.f.Where, p.f.label(), atLeft)
	y += 4.6
	for _, l := range r.what {
		p.text(x+10, y, l, p.f.text(), atLeft)
		y += leadText
	}
	for _, l := range r.do {
		p.text(x+10, y, l, p.f.text().in(do), atLeft)
		y += leadText
	}
	p.line(x+10, y-2.2, p.right(), y-2.2, hair, rule)
}
