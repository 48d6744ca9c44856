package workshop

import (
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/master"
)

func (s *Server) getTray(w http.ResponseWriter, r *http.Request) error {
	u, res, err := s.sketch(r)
	if err != nil {
		return err
	}
	return answer(w, trayOf(u.version, u.in, res))
}

func (s *Server) getItem(w http.ResponseWriter, r *http.Request) error {
	_, res, err := s.sketch(r)
	if err != nil {
		return err
	}
	k, err := strconv.Atoi(r.PathValue("item"))
	if err != nil || k < 0 || k >= len(res.Items) {
		return refusal{http.StatusNotFound, Mistake{Found: "no item " + printable(r.PathValue("item"))}}
	}
	it := res.Items[k]
	head := &ItemHead{Name: it.Name, Shape: shapeOf(it.Sheet)}
	if s.unchanged(w, r, head.Shape) {
		return nil
	}
	var o octets
	o.addSheet(it.Sheet)
	w.Header().Set("Content-Type", "application/octet-stream")
	return o.write(w, func(b []Block) any { head.Blocks = b; return head })
}

// shapeOf tells a surface apart by its content.
func shapeOf(s *mesh.Sheet) string {
	h := sha256.New()
	binary.Write(h, binary.LittleEndian, s.V)
	binary.Write(h, binary.LittleEndian, s.T)
	return fmt.Sprintf("%x", h.Sum(nil)[:8])
}

// trayOf is a sketch as the page shows it.
func trayOf(version string, in *flow.Input, r *flow.Result) *Tray {
	t := &Tray{Version: version, Plan: r.Plan, Items: []Item{}, Trays: []OneTray{}, Plates: platesOf(in, r)}
	c := in.Choices.Master
	rows := map[int]int{}
	for _, it := range r.Items {
		item := Item{Name: it.Name, Design: it.Design + 1, HeightMM: it.HeightMM, Rings: rings(it.Outline), Shape: shapeOf(it.Sheet)}
		if in.Choices.Pieces[it.Design].Names {
			rows[it.Design]++
			item.Row = rows[it.Design]
		}
		t.Items = append(t.Items, item)
	}
	if r.Master == nil {
		return t
	}
	cavities := cavitiesOf(c.Place, r)
	for i, tray := range r.Master.Trays {
		one := OneTray{
			Number: tray.Number, WidthMM: tray.WidthMM, DepthMM: tray.DepthMM, BaseMM: c.BaseMM, HighMM: tray.HighestMM,
			RubberMM: tray.RubberMM, FrameMM: tray.FrameMM, PanelMM: c.PanelMM, Printed: c.Frame == "printed",
			Placed: cavities[i], Tiles: []Tile{}, Measures: measures(tray, r.Items, c),
		}
		for _, tile := range tray.Tiles {
			one.Tiles = append(one.Tiles, Tile{Number: tile.Number, Ring: rings(tile.Outline)[0], Placed: append([]int{}, tile.Placed...)})
		}
		t.Trays = append(t.Trays, one)
	}
	return t
}

// tenthMicron is the step to which places are rounded for the page.
func tenthMicron(v float64) float64 { return math.Round(v*1e4) / 1e4 }

func rings(o geom.Outline) [][][2]float64 {
	out := make([][][2]float64, len(o))
	for i, r := range o {
		out[i] = make([][2]float64, len(r))
		for k, v := range r {
			out[i][k] = [2]float64{tenthMicron(v.X), tenthMicron(v.Y)}
		}
	}
	return out
}

// cavitiesOf gives every placed piece the number of its cavity: those put by hand the
// one that the job file says, the others what is left, as one reads.
func cavitiesOf(hand []master.Placement, r *flow.Result) [][]Placed {
	taken := map[string]map[int]bool{}
	out := make([][]Placed, len(r.Master.Trays))
	for i, tray := range r.Master.Trays {
		out[i] = make([]Placed, len(tray.Placed))
		for k, p := range tray.Placed {
			out[i][k] = Placed{Item: p.Item, Number: p.Number, XMM: tenthMicron(p.XMM), YMM: tenthMicron(p.YMM), TurnDeg: p.TurnDeg}
			name := r.Items[p.Item].Name
			for _, h := range hand {
				same := func(a, b float64) bool { return math.Abs(a-b) < 1e-6 }
				if h.Piece == name && h.Tray == tray.Number && same(h.XMM, p.XMM) && same(h.YMM, p.YMM) && !taken[name][h.Number] {
					out[i][k].Cavity, out[i][k].ByHand = h.Number, true
					if taken[name] == nil {
						taken[name] = map[int]bool{}
					}
					taken[name][h.Number] = true
					break
				}
			}
		}
	}
	next := map[int]int{}
	for i := range out {
		for k := range out[i] {
			p := &out[i][k]
			for !p.ByHand && p.Cavity == 0 {
				next[p.Item]++
				if n := next[p.Item]; !taken[r.Items[p.Item].Name][n] {
					p.Cavity = n
				}
			}
		}
	}
	return out
}

// measures finds the narrowest gap between two pieces and that to the frame.
func measures(t master.Tray, items []master.Item, c master.Choices) []Measure {
	type at struct {
		o   geom.Outline
		box geom.Rect
	}
	all := make([]at, len(t.Placed))
	for i, p := range t.Placed {
		o := p.At(items)
		all[i] = at{o, o.Bounds()}
	}
	slices.SortFunc(all, func(a, b at) int { return cmp.Compare(a.box.Min.X, b.box.Min.X) })
	out := []Measure{}
	best, a, b := math.Inf(1), -1, -1
	for i := range all {
		for k := i + 1; k < len(all) && all[k].box.Min.X-all[i].box.Max.X < best; k++ {
			if apart(all[i].box, all[k].box) >= best {
				continue
			}
			if d := geom.Distance(all[i].o, all[k].o); d < best-1e-6 {
				best, a, b = d, i, k
			}
		}
	}
	if a >= 0 {
		from, to := closest(all[a].o, all[b].o)
		out = append(out, Measure{What: "between pieces", From: point(from), To: point(to), MM: tenthMicron(best), WantMM: c.GapMM})
	}
	edge := Measure{What: "to the frame", MM: math.Inf(1), WantMM: c.MarginMM}
	for _, p := range all {
		for _, v := range p.o[0] {
			for _, f := range [...]geom.Vec{{X: 0, Y: v.Y}, {X: t.WidthMM, Y: v.Y}, {X: v.X, Y: 0}, {X: v.X, Y: t.DepthMM}} {
				if d := f.Sub(v).Len(); d < edge.MM-1e-6 {
					edge.From, edge.To, edge.MM = point(v), point(f), d
				}
			}
		}
	}
	if len(all) > 0 {
		edge.MM = tenthMicron(edge.MM)
		out = append(out, edge)
	}
	return out
}

func point(v geom.Vec) [2]float64 { return [2]float64{tenthMicron(v.X), tenthMicron(v.Y)} }

// apart is the distance of two boxes; 0 when they touch.
func apart(a, b geom.Rect) float64 {
	x := math.Max(0, math.Max(a.Min.X-b.Max.X, b.Min.X-a.Max.X))
	y := math.Max(0, math.Max(a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y))
	return math.Hypot(x, y)
}

// closest gives the two points at which outlines that lie apart are closest: one of
// them is a corner.
func closest(a, b geom.Outline) (from, to geom.Vec) {
	best := math.Inf(1)
	look := func(o geom.Outline, f *geom.Finder, swap bool) {
		for _, r := range o {
			for _, v := range r {
				if n, d := f.Nearest(v); d < best {
					best, from, to = d, v, n
					if swap {
						from, to = n, v
					}
				}
			}
		}
	}
	look(a, geom.NewFinder(b), false)
	look(b, geom.NewFinder(a), true)
	return from, to
}
