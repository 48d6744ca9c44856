package master

import (
	"context"
	"math"
	"testing"

	"mouldwright/internal/base/geom"
)

// A tab slides straight into its notch, keeps the clearance on flanks and tip, and is
// narrower at its tip.
func TestKeyFits(t *testing.T) {
	for _, depth := range tabDepths {
		const clear = 0.12
		j := joint{upright: true, at: 50, from: 0, to: 60, depth: depth}
		tab, notch := j.outline(30, 0), j.outline(30, clear)
		over, err := geom.Subtract(tab, notch)
		if err != nil || over.Area() > 1e-9 {
			t.Errorf("%g mm deep: %g mm2 of the tab outside its notch, %v", depth, over.Area(), err)
		}
		pts := j.trapezoid(30, 0)
		if root, tip := pts[3].X-pts[0].X, pts[2].X-pts[1].X; math.Abs(root-tabRootMM) > 1e-9 || math.Abs(root-tip-2*depth*math.Tan(tabLeanDeg*math.Pi/180)) > 1e-9 {
			t.Errorf("%g mm deep: %g mm at the root, %g mm at the tip", depth, root, tip)
		}
		// The middle of each flank and of the tip lies the clearance away from the notch.
		for i := range 3 {
			p := j.place(pts[i].Lerp(pts[i+1], 0.5))
			if _, d := notch.Nearest(p); math.Abs(d-clear) > 1e-9 {
				t.Errorf("%g mm deep: side %d has %g mm of clearance, want %g mm", depth, i, d, clear)
			}
		}
		// Trapezoids with parallel flanks: area = depth (root + tip)/2.
		area := func(g float64) float64 {
			q := j.trapezoid(30, g)
			return (depth + g) * (q[3].X - q[0].X + q[2].X - q[1].X) / 2
		}
		if got, want := notch.Area()-tab.Area(), area(clear)-area(0); math.Abs(got-want) > 1e-9 {
			t.Errorf("%g mm deep: %g mm2 open, want %g mm2", depth, got, want)
		}
	}
}

// In a large grid every joint has at least two keys, each key keeps keepMM from every
// piece, and no tile fits where another belongs.
func TestJoints(t *testing.T) {
	c := choices()
	c.WidthMM, c.DepthMM = 400, 300
	items := []Item{flat("bee", geom.Circle(13), 70)}
	trays, l, err := layOut(context.Background(), items, c, smallPlate)
	if err != nil {
		t.Fatal(err)
	}
	rects, err := l.cut(context.Background(), trays[0])
	if err != nil || len(rects) < 12 {
		t.Fatalf("%d tiles, %v", len(rects), err)
	}
	var pieces []geom.Outline
	for _, p := range trays[0].Placed {
		pieces = append(pieces, p.At(items))
	}
	all, found := joints(rects, pieces, c, 1)
	t.Log(found)
	t.Logf("%d tiles, %d joints", len(rects), len(all))
	short := 0
	for i, j := range all {
		if len(j.tabs) < 2 {
			short++
			if free := j.free(pieces, c.ClearMM); len(free) > 0 && free[len(free)-1]-free[0] >= tabApartMM {
				t.Errorf("joint %d has %d keys, but room from %g to %g mm", i, len(j.tabs), free[0], free[len(free)-1])
			}
		}
		for _, s := range j.tabs {
			notch := j.outline(s, c.ClearMM)
			if s < j.from+cornerMM || s > j.to-cornerMM {
				t.Errorf("joint %d: a key %g mm from its end", i, math.Min(s-j.from, j.to-s))
			}
			for k, p := range pieces {
				if d := geom.Distance(p, notch); d < keepMM-1e-9 {
					t.Errorf("joint %d: a key is %g mm from piece %d", i, d, k+1)
				}
			}
		}
		for k, o := range all[:i] {
			if len(j.tabs) > 1 && o.like(j) {
				t.Errorf("joints %d and %d have the same keys: %v and %v", k, i, o.tabs, j.tabs)
			}
		}
	}
	t.Logf("%d joints too short for two keys", short)
}
