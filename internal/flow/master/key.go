package master

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// A key is a tab in the plane of the base: a trapezoid, narrower at its tip so that
// tiles slide together and centre themselves. The tile on the left or in front has
// the tab, its neighbour the notch, wider by the clearance all round.
const (
	tabMM      = 3.0                       // how far a tab stands out, at most
	tabRootMM  = 6.0                       // its width at the cut
	tabLeanDeg = 15.0                      // lean of its flanks
	tabApartMM = 12.0                      // between the middles of two tabs of one joint
	cornerMM   = 8.0                       // from the middle of a tab to the end of its joint
	longMM     = 2*cornerMM + 2*tabApartMM // a joint so long should have two tabs
	stepMM     = 0.5                       // places tried for a tab
	differMM   = 1.0                       // two joints differ by this in the place of some tab
)

// tabDepths, in mm, are what is tried where tabMM has no room (our choice: a lower tab centres no
// tile).
var tabDepths = [...]float64{tabMM, 2.5, 2, 1.5}

// joint is a stretch of a cut between two tiles.
type joint struct {
	a, b     int  // tiles: a on the left or in front carries the tabs
	upright  bool // the cut runs from front to back, at x = at
	at       float64
	from, to float64 // along the cut
	depth    float64
	tabs     []float64 // middles, along the cut, growing
}

// trapezoid gives the four points of a tab (grow 0) or a notch (grow = clearance),
// along the cut with the tip on the right: (along, across) pairs around s.
func (j joint) trapezoid(s, grow float64) [4]geom.Vec {
	lean := math.Tan(tabLeanDeg * math.Pi / 180)
	root := tabRootMM/2 + grow/math.Cos(tabLeanDeg*math.Pi/180)
	tip := root - (j.depth+grow)*lean
	return [4]geom.Vec{{X: s - root}, {X: s - tip, Y: j.depth + grow}, {X: s + tip, Y: j.depth + grow}, {X: s + root}}
}

// place maps (along, across) to the tray.
func (j joint) place(v geom.Vec) geom.Vec {
	if j.upright {
		return geom.Vec{X: j.at + v.Y, Y: v.X}
	}
	return geom.Vec{X: v.X, Y: j.at + v.Y}
}

// outline is the trapezoid on the tray, counter-clockwise.
func (j joint) outline(s, grow float64) geom.Outline {
	var r geom.Ring
	for _, v := range j.trapezoid(s, grow) {
		r = append(r, j.place(v))
	}
	if r.Area() < 0 {
		slices.Reverse(r)
	}
	return geom.Outline{r}
}

// joints finds where tiles meet and gives each joint its tabs. A long joint without
// room for two of them gives a Care finding.
func joints(tiles []geom.Rect, pieces []geom.Outline, c Choices, tray int) ([]joint, []finding.Finding) {
	var all []joint
	for a, p := range tiles {
		for b, q := range tiles {
			if from, to := math.Max(p.Min.Y, q.Min.Y), math.Min(p.Max.Y, q.Max.Y); p.Max.X == q.Min.X && from < to {
				all = append(all, joint{a: a, b: b, upright: true, at: p.Max.X, from: from, to: to})
			}
			if from, to := math.Max(p.Min.X, q.Min.X), math.Min(p.Max.X, q.Max.X); p.Max.Y == q.Min.Y && from < to {
				all = append(all, joint{a: a, b: b, at: p.Max.Y, from: from, to: to})
			}
		}
	}
	var found []finding.Finding
	for k := range all {
		all[k].setTabs(k, all[:k], pieces, c.ClearMM)
		if n := len(all[k].tabs); n < 2 && all[k].to-all[k].from >= longMM {
			found = append(found, finding.Finding{Severity: finding.Care, Where: fmt.Sprintf("tray %d, joint of tile %d and tile %d", tray, all[k].a+1, all[k].b+1),
				What: fmt.Sprintf("room for %d keys, 2 are wanted", n), Do: "a larger master.gap_mm, or glue that joint on a flat board"})
		}
	}
	return all, found
}

// setTabs places the tabs: spread evenly, then moved by an amount of its own for each
// joint, so that tiles fit in one order only, and moved on to where no piece is near.
func (j *joint) setTabs(k int, before []joint, pieces []geom.Outline, clear float64) {
	for _, depth := range tabDepths {
		j.depth = depth
		free := j.free(pieces, clear)
		want := 2
		if n := int((j.to - j.from) / 70); n > want {
			want = min(n, 5)
		}
		for ; want >= 2; want-- {
			for try := range 40 {
				tabs := j.choose(free, want, k+try)
				if tabs == nil {
					continue
				}
				j.tabs = tabs
				if !slices.ContainsFunc(before, func(o joint) bool { return o.like(*j) }) {
					return
				}
			}
			if want == 2 && j.anyPair(free, before) || j.tabs != nil {
				return
			}
		}
	}
	for _, depth := range tabDepths {
		j.depth = depth
		if free := j.free(pieces, clear); len(free) > 0 {
			j.tabs = []float64{nearest(free, (j.from+j.to)/2)}
			return
		}
	}
}

// anyPair takes the first pair of places that no other joint has.
func (j *joint) anyPair(free []float64, before []joint) bool {
	kept := j.tabs
	for _, a := range free {
		for _, b := range free {
			if b-a < tabApartMM {
				continue
			}
			j.tabs = []float64{a, b}
			if !slices.ContainsFunc(before, func(o joint) bool { return o.like(*j) }) {
				return true
			}
		}
	}
	j.tabs = kept
	return false
}

// free gives the places where a tab and its notch keep away from every piece.
func (j *joint) free(pieces []geom.Outline, clear float64) []float64 {
	boxes := make([]geom.Rect, len(pieces))
	for i, p := range pieces {
		boxes[i] = p.Bounds()
	}
	var free []float64
next:
	for s := j.from + cornerMM; s <= j.to-cornerMM; s += stepMM {
		notch := j.outline(s, clear)
		box := notch.Bounds()
		for i, p := range pieces {
			if near(boxes[i], box, keepMM) && geom.Distance(p, notch) < keepMM {
				continue next
			}
		}
		free = append(free, s)
	}
	return free
}

// choose takes n of the free places near their share of the joint, or nil.
func (j *joint) choose(free []float64, n, variant int) []float64 {
	if len(free) == 0 {
		return nil
	}
	var tabs []float64
	length := j.to - j.from
	for i := range n {
		shift := math.Mod(float64(variant*(2*i+1))*1.37, 15.7) - 7.85
		s := nearest(free, j.from+length*(float64(i)+0.5)/float64(n)+shift)
		if i > 0 && s-tabs[i-1] < tabApartMM {
			s = math.Inf(1)
			for _, f := range free {
				if f-tabs[i-1] >= tabApartMM {
					s = f
					break
				}
			}
			if math.IsInf(s, 1) {
				return nil
			}
		}
		tabs = append(tabs, s)
	}
	return tabs
}

func nearest(free []float64, s float64) float64 {
	return slices.MinFunc(free, func(a, b float64) int { return cmp.Compare(math.Abs(a-s), math.Abs(b-s)) })
}

// like tells whether a tile would fit at the other joint too.
func (j joint) like(o joint) bool {
	if j.upright != o.upright || len(j.tabs) != len(o.tabs) || j.depth != o.depth {
		return false
	}
	for i := range j.tabs {
		if math.Abs((j.tabs[i]-j.from)-(o.tabs[i]-o.from)) >= differMM {
			return false
		}
	}
	return true
}

// tileOutline is a tile's rectangle with its tabs and notches.
func tileOutline(tiles []geom.Rect, k int, all []joint, clear float64) geom.Outline {
	t := tiles[k]
	corners := [4]geom.Vec{t.Min, {X: t.Max.X, Y: t.Min.Y}, t.Max, {X: t.Min.X, Y: t.Max.Y}}
	var r geom.Ring
	for side, from := range corners {
		r = append(r, from)
		// Sides in order: front, right, back, left. Points are gathered along the
		// growing axis and turned round for the back and the left side.
		type feature struct {
			s    float64
			ring []geom.Vec
		}
		var on []feature
		for _, j := range all {
			grow := 0.0
			switch {
			case side == 1 && j.upright && j.a == k, side == 2 && !j.upright && j.a == k:
			case side == 0 && !j.upright && j.b == k, side == 3 && j.upright && j.b == k:
				grow = clear
			default:
				continue
			}
			for _, s := range j.tabs {
				var pts []geom.Vec
				for _, v := range j.trapezoid(s, grow) {
					pts = append(pts, j.place(v))
				}
				on = append(on, feature{s, pts})
			}
		}
		slices.SortFunc(on, func(a, b feature) int { return cmp.Compare(a.s, b.s) })
		var pts []geom.Vec
		for _, f := range on {
			pts = append(pts, f.ring...)
		}
		if side >= 2 {
			slices.Reverse(pts)
		}
		r = append(r, pts...)
	}
	return geom.Outline{r}
}
