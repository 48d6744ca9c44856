package master

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// Limits of one master, so that a slip of the pen in the job file ends in words and
// not in hours of computing.
const (
	MaxCavities = 20000
	MaxTrays    = 200
)

// unit is one cavity to be placed: which item, and which of its cavities.
type unit struct{ item, number int }

// layout is the work of placing all cavities.
type layout struct {
	items []Item
	c     Choices
	print Print
	boxes [][2]geom.Rect // of each item, unturned and turned by 90 degrees
	hand  [][]Placed     // by tray, from the job file
	found []finding.Finding
}

// layOut puts every cavity on a tray. Trays come back without tiles and volumes.
// What cannot be placed as asked gives Stop findings.
func layOut(ctx context.Context, items []Item, c Choices, print Print) ([]Tray, *layout, error) {
	l := &layout{items: items, c: c, print: print}
	var units []unit
	for i, it := range items {
		l.boxes = append(l.boxes, [2]geom.Rect{it.Outline.Bounds(), it.Outline.Transform(quarter).Bounds()})
		if len(units)+it.Cavities > MaxCavities {
			return nil, l, &finding.Error{Key: "piece.cavities", Found: fmt.Sprintf("more than %d cavities", MaxCavities), Do: "give fewer cavities and fill the mould more often"}
		}
		if !l.fitsTray(i) || !l.fitsPlate(i) {
			continue
		}
		for n := range it.Cavities {
			units = append(units, unit{i, n + 1})
		}
	}
	units, err := l.byHand(units)
	if err != nil || finding.Worst(l.found) == finding.Stop {
		return nil, l, err
	}
	var placed [][]Placed
	if c.Layout == "packed" {
		placed, err = l.pack(ctx, units)
	} else {
		placed, err = l.grid(ctx, units)
	}
	if err != nil {
		return nil, l, err
	}
	var trays []Tray
	for i, on := range placed {
		if len(on) > 0 {
			trays = append(trays, l.shrink(on, len(l.handOn(i)) > 0))
			trays[len(trays)-1].Number = len(trays)
		}
	}
	return trays, l, nil
}

// quarter turns by exactly 90 degrees counter-clockwise.
var quarter = geom.Affine{B: 1, C: -1}

// turn is geom.Turn, exact at multiples of 90 degrees.
func turn(deg float64) geom.Affine {
	m := geom.Identity
	for deg = math.Mod(deg+720, 360); deg >= 90; deg -= 90 {
		m = m.Then(quarter)
	}
	if deg == 0 {
		return m
	}
	return m.Then(geom.Turn(deg))
}

// At is the item's outline at its place on the tray.
func (p Placed) At(items []Item) geom.Outline {
	return items[p.Item].Outline.Transform(turn(p.TurnDeg).Then(geom.Move(p.XMM, p.YMM)))
}

func (l *layout) handOn(tray int) []Placed {
	if tray < len(l.hand) {
		return l.hand[tray]
	}
	return nil
}

// box is the room that a piece takes on its tray.
func (l *layout) box(p Placed) geom.Rect {
	switch p.TurnDeg {
	case 0:
		return shift(l.boxes[p.Item][0], p.XMM, p.YMM)
	case 90:
		return shift(l.boxes[p.Item][1], p.XMM, p.YMM)
	}
	return p.At(l.items).Bounds()
}

func shift(r geom.Rect, x, y float64) geom.Rect {
	return geom.Rect{Min: geom.Vec{X: r.Min.X + x, Y: r.Min.Y + y}, Max: geom.Vec{X: r.Max.X + x, Y: r.Max.Y + y}}
}

// put places a unit with the left front corner of its box at (x, y).
func (l *layout) put(u unit, x, y, turnDeg float64) Placed {
	b := l.boxes[u.item][0]
	if turnDeg == 90 {
		b = l.boxes[u.item][1]
	}
	return Placed{Item: u.item, Number: u.number, XMM: x - b.Min.X, YMM: y - b.Min.Y, TurnDeg: turnDeg}
}

// room is the inside of the largest tray, its margins taken off.
func (l *layout) room() (w, d float64) {
	return l.c.WidthMM - 2*l.c.MarginMM, l.c.DepthMM - 2*l.c.MarginMM
}

const fitMM = 1e-6 // rounding of coordinates (our choice: far under a pixel, far over that of a float64)

func fits(b geom.Rect, w, d float64) bool { return b.W() <= w+fitMM && b.H() <= d+fitMM }

func (l *layout) fitsTray(i int) bool {
	w, d := l.room()
	if fits(l.boxes[i][0], w, d) || fits(l.boxes[i][1], w, d) {
		return true
	}
	b := l.boxes[i][0]
	l.stop(l.items[i].Name, fmt.Sprintf("%.1f x %.1f mm with its fillet, allowed %.1f x %.1f mm (tray %g x %g mm with a margin of %g mm)", b.W(), b.H(), w, d, l.c.WidthMM, l.c.DepthMM, l.c.MarginMM),
		"a larger tray (master.width_mm, master.depth_mm), a smaller margin, or a smaller piece")
	return false
}

// fitsPlate asks whether the part that carries a piece can be printed at all: a tile
// around it, or the loose piece itself.
func (l *layout) fitsPlate(i int) bool {
	b, p, rim := l.boxes[i][0], l.print, 0.0
	if l.c.Build != "loose" {
		rim = keepMM
	}
	grow := 1 / (1 - p.ResinShrink)
	w, d := (b.W()+2*rim)*grow, (b.H()+2*rim)*grow
	if !(w <= p.PlateWidthMM+fitMM && d <= p.PlateDepthMM+fitMM) && !(d <= p.PlateWidthMM+fitMM && w <= p.PlateDepthMM+fitMM) {
		l.stop(l.items[i].Name, fmt.Sprintf("%.1f x %.1f mm on the plate, allowed %.1f x %.1f mm", w, d, p.PlateWidthMM, p.PlateDepthMM), "a smaller piece or a larger printer")
		return false
	}
	under := l.c.BaseMM
	if l.c.Build == "loose" {
		under = deepest(l.c)
	}
	if h := (l.items[i].HeightMM + under) * grow; h > p.PlateHeightMM+fitMM {
		l.stop(l.items[i].Name, fmt.Sprintf("%.1f mm high on the plate, allowed %.1f mm", h, p.PlateHeightMM), "a lower piece or a printer that prints higher")
		return false
	}
	return true
}

func (l *layout) stop(where, what, do string) {
	l.found = append(l.found, finding.Finding{Severity: finding.Stop, Where: where, What: what, Do: do})
}

// shrink cuts the tray down to what is used and numbers its pieces as one reads:
// from the back to the front, from left to right. A tray with pieces placed by hand
// keeps its left front corner, from which they were measured.
func (l *layout) shrink(on []Placed, byHand bool) Tray {
	b := geom.EmptyRect()
	for _, p := range on {
		r := l.box(p)
		b.Add(r.Min)
		b.Add(r.Max)
	}
	m := l.c.MarginMM
	dx, dy := m-b.Min.X, m-b.Min.Y
	if byHand {
		dx, dy = 0, 0
	}
	t := Tray{WidthMM: b.Max.X + dx + m, DepthMM: b.Max.Y + dy + m, Placed: on}
	for i := range on {
		on[i].XMM += dx
		on[i].YMM += dy
	}
	number(on)
	return t
}

// number sorts by rows: a row is what lies within 5 mm of its furthest piece.
func number(on []Placed) {
	slices.SortStableFunc(on, func(a, b Placed) int {
		return cmp.Or(cmp.Compare(b.YMM, a.YMM), cmp.Compare(a.XMM, b.XMM))
	})
	for i := 0; i < len(on); {
		j := i + 1
		for j < len(on) && on[j].YMM > on[i].YMM-5 {
			j++
		}
		slices.SortStableFunc(on[i:j], func(a, b Placed) int {
			return cmp.Or(cmp.Compare(a.XMM, b.XMM), cmp.Compare(b.YMM, a.YMM))
		})
		i = j
	}
	for i := range on {
		on[i].Number = i + 1
	}
}
