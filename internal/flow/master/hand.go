package master

import (
	"fmt"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// byHand takes the units that the job file places itself, checks them against the
// tray and against each other, and returns the rest.
func (l *layout) byHand(units []unit) ([]unit, error) {
	if len(l.c.Place) > MaxCavities {
		return nil, &finding.Error{Key: "master.place", Found: fmt.Sprintf("%d placements", len(l.c.Place)), Allowed: fmt.Sprintf("at most %d", MaxCavities), Do: "put fewer by hand: the others are laid out"}
	}
	taken := map[unit]int{}
	var outlines [][]geom.Outline
	var keys [][]int // of each placed piece, its index in Place
	for k, p := range l.c.Place {
		where := fmt.Sprintf("master.place[%d]", k+1)
		item := -1
		for i := range l.items {
			if l.items[i].Name == p.Piece {
				item = i
				break
			}
		}
		if item < 0 {
			l.stop(where, fmt.Sprintf("no piece is called %q", p.Piece), "write the name as the piece has it; a named piece is written \"design: name\"")
			continue
		}
		if p.Number < 1 || p.Number > l.items[item].Cavities {
			l.stop(where, fmt.Sprintf("number %d of %q, which has %d cavities", p.Number, p.Piece, l.items[item].Cavities), "a smaller number, or more cavities for the piece")
			continue
		}
		u := unit{item, p.Number}
		if first, ok := taken[u]; ok {
			l.stop(where, fmt.Sprintf("number %d of %q is already placed by master.place[%d]", p.Number, p.Piece, first+1), "another number")
			continue
		}
		if p.Tray < 1 || p.Tray > MaxTrays {
			l.stop(where, fmt.Sprintf("tray %d, allowed 1 to %d", p.Tray, MaxTrays), "another tray number")
			continue
		}
		taken[u] = k
		for len(l.hand) < p.Tray {
			l.hand, outlines, keys = append(l.hand, nil), append(outlines, nil), append(keys, nil)
		}
		t := p.Tray - 1
		pl := Placed{Item: item, Number: p.Number, XMM: p.XMM, YMM: p.YMM, TurnDeg: p.TurnDeg}
		o := pl.At(l.items)
		l.checkMargin(where, o.Bounds())
		for j, other := range outlines[t] {
			if near(o.Bounds(), other.Bounds(), l.c.GapMM) {
				if d := geom.Distance(o, other); d < l.c.GapMM-fitMM {
					l.stop(where, fmt.Sprintf("%.2f mm from master.place[%d], allowed %g mm", d, keys[t][j]+1, l.c.GapMM), "move one of them, or a smaller master.gap_mm")
				}
			}
		}
		l.hand[t] = append(l.hand[t], pl)
		outlines[t] = append(outlines[t], o)
		keys[t] = append(keys[t], k)
	}
	rest := units[:0:0]
	for _, u := range units {
		if _, ok := taken[u]; !ok {
			rest = append(rest, u)
		}
	}
	return rest, nil
}

func (l *layout) checkMargin(where string, b geom.Rect) {
	m := l.c.MarginMM
	for _, side := range [...]struct {
		name string
		d    float64
	}{{"left", b.Min.X}, {"front", b.Min.Y}, {"right", l.c.WidthMM - b.Max.X}, {"back", l.c.DepthMM - b.Max.Y}} {
		if side.d < m-fitMM {
			l.stop(where, fmt.Sprintf("%.2f mm from the %s side of the tray, allowed %g mm", side.d, side.name, m), "move the piece inwards, a larger tray, or a smaller master.margin_mm")
		}
	}
}

// near tells whether two boxes come nearer than d to each other.
func near(a, b geom.Rect, d float64) bool {
	return a.Min.X < b.Max.X+d && b.Min.X < a.Max.X+d && a.Min.Y < b.Max.Y+d && b.Min.Y < a.Max.Y+d
}
