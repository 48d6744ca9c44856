package flow

import (
	"fmt"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/box"
)

// placer is box.Placer with the fit of every piece in every cell.
type placer struct {
	box.Placer
	fits  map[[2]int]box.Fit
	found []finding.Finding
}

func (b *build) placer(x *boxing, all map[[2]int]*made) *placer {
	p := &placer{fits: map[[2]int]box.Fit{}}
	key := func(k int) [2]int {
		row := x.kinds[k].Owner
		return [2]int{x.kinds[k].Design, row}
	}
	told := map[int]bool{}
	for k := range x.kinds {
		m := all[key(k)]
		if m == nil || x.dealt.Counts[k] == 0 {
			continue
		}
		least, some := box.Fit{}, false
		for c := range x.cells {
			f := x.cells[c].Fits(m.footprint, m.plan.HeightMM, b.c.Box)
			p.fits[[2]int{k, c}] = f
			if c == 0 || lack(f) < lack(least) {
				least = f
			}
			some = some || f.OK
		}
		if !some && !told[x.kinds[k].Design] {
			told[x.kinds[k].Design] = true
			p.found = append(p.found, b.misfit(m, least))
		}
	}
	p.Cells = x.cells
	p.Fits = func(k, c int) bool { return p.fits[[2]int{k, c}].OK }
	p.Looks = func(k int) int { return x.kinds[k].Design }
	return p
}

// crowded says that pieces which fit some cell do not all find one, and which cells take
// no piece at all: shapes that were meant to stand apart may touch in the drawing.
func (b *build) crowded(x *boxing, p *placer, misfit int) finding.Finding {
	f := finding.Finding{Severity: finding.Stop, Where: "box", Do: "draw more of the larger cells, or make the pieces smaller"}
	f.What = fmt.Sprintf("in %s not every piece finds a cell that it fits", unit.Count(misfit, "box", "boxes"))
	if b.c.Box.File != "" {
		f.Where = "box.file"
		f.What += fmt.Sprintf("; %s has %s", b.c.Box.File, unit.Count(len(x.cells), "cell", "cells"))
		f.Do = "look whether shapes touch that are meant to stand apart; " + f.Do
	}
	for c := range x.cells {
		takes := false
		for k := range x.kinds {
			takes = takes || p.fits[[2]int{k, c}].OK
		}
		if at := x.cells[c].Box; !takes {
			f.What += fmt.Sprintf("; cell %d (%.0f x %.0f mm) takes no piece", c+1, at.W(), at.H())
		}
	}
	return f
}

func lack(f box.Fit) float64 { return f.LackMM[0] + f.LackMM[1] + f.LackMM[2] }

// misfit says what a cell lacks for a piece.
func (b *build) misfit(m *made, f box.Fit) finding.Finding {
	out := finding.Finding{Severity: finding.Stop, Where: "box", What: fmt.Sprintf("%s (%.1f x %.1f x %.1f mm) fits no cell", m.plan.Name, m.plan.WidthMM, m.plan.DepthMM, m.plan.HeightMM), Do: "take larger cells, or make the piece smaller"}
	if b.c.Box.File != "" {
		out.Where = "box.file"
		return out
	}
	for i, d := range []struct {
		key string
		has float64
	}{{"cell_width_mm", b.c.Box.WidthMM}, {"cell_depth_mm", b.c.Box.DepthMM}, {"cell_height_mm", b.c.Box.HeightMM}} {
		if f.LackMM[i] <= 0 {
			continue
		}
		want := fmt.Sprintf("%.1f", d.has+f.LackMM[i]+0.049)
		out.What += fmt.Sprintf("; %s is %g, needed are %s with room for fingers", d.key, d.has, want)
		if out.Remedy.Key == "" {
			out.Where, out.Remedy = "box."+d.key, finding.Remedy{Key: "box." + d.key, Value: want}
			out.Do = "set box." + d.key + " = " + want + ", or make the piece smaller"
		}
	}
	return out
}
