package sheet

import (
	"fmt"
	"strings"

	"mouldwright/internal/base/unit"
)

// Contact sheets: five pictures in a row.
const (
	contactCols = 5
	contactCell = 33.5 // height of a cell, mm
)

// perContact is how many names fit on a page of the lower paper, US Letter.
const perContact = contactCols * 6

// contacts parts a named design's pieces into pages.
func (d designed) contacts() [][]int {
	if len(d.pieces) < 2 {
		return nil
	}
	var out [][]int
	for from := 0; from < len(d.pieces); from += perContact {
		out = append(out, d.pieces[from:min(from+perContact, len(d.pieces))])
	}
	return out
}

// contact shows every name as it stands on its piece, with its number and weight.
func (b *book) contact(p *page, d designed, pieces []int) error {
	first, last := b.ordinal(d, pieces[0]), b.ordinal(d, pieces[len(pieces)-1])
	s := fmt.Sprintf("%s: every name", sentence(d.name))
	if first > 1 {
		s = fmt.Sprintf("%s: names %s to %s", sentence(d.name), unit.Whole(first), unit.Whole(last))
	}
	y := p.heading(s) - 2
	w := p.measure() / contactCols
	for n, k := range pieces {
		col, row := n%contactCols, n/contactCols
		x, cy := p.left()+float64(col)*w, y+float64(row)*contactCell
		const ph = 22.5
		if b.s != nil && b.s.small[k] != nil {
			p.picture(x, cy, w-3, ph, b.s.small[k])
		} else {
			p.box(x+1, cy+2, w-5, ph-4, none, rule, hair)
		}
		pc := &b.r.Plan.Pieces[k]
		name := strings.TrimPrefix(pc.Name, d.name+": ")
		p.within(x+(w-3)/2, cy+ph+4.2, w-4, name, p.f.text(), atMiddle)
		small := fmt.Sprintf("%s · %s", unit.Whole(b.ordinal(d, k)), unit.Mass(pc.MassG.Likely))
		if pc.Count > 1 {
			small += fmt.Sprintf(" · %s×", unit.Whole(pc.Count))
		}
		p.within(x+(w-3)/2, cy+ph+7.8, w-4, small, p.f.label(), atMiddle)
	}
	return nil
}

// ordinal is a piece's number within its design, from 1.
func (b *book) ordinal(d designed, piece int) int { return piece - d.pieces[0] + 1 }
