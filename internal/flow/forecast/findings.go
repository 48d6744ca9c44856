package forecast

import (
	"fmt"
	"math"
	"strconv"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow/piece"
)

// findings words what the person should look at: one finding for each fate, for walls,
// for steps, and for places to brush.
func (f *Forecast) findings(p *piece.Piece, m Means, c Choices) []finding.Finding {
	w := words{p, m.Design}
	var list []finding.Finding
	for _, fate := range []string{Breaks, Merges, Fills} {
		if g, ok := f.fate(w, fate, c); ok {
			list = append(list, g)
		}
	}
	if p.Row > 0 { // walls, steps and hollows are alike in all rows: the first tells
		return list
	}
	if f.BelowDraftShare >= wallShare {
		list = append(list, f.walls(w, c))
	}
	if f.Finish.SteppedShare >= steppedShare {
		list = append(list, f.steps(w, m.Printer.LayerMM, c))
	}
	if g, ok := brush(w, f.RubberPockets, "rubber", c); ok {
		list = append(list, g)
	}
	return list
}

const (
	wallShare    = 0.005 // of all wall area; see piece's smallest draft
	steppedShare = 0.02  // of the surface: less is a rounded edge
)

// words is what findings about a piece have in common.
type words struct {
	p      *piece.Piece
	design piece.Choices
}

func (w words) key(format string, args ...any) string {
	return fmt.Sprintf("piece[%d].", w.p.Design+1) + fmt.Sprintf(format, args...)
}

// where names the key and, for a row of the name list, the piece.
func (w words) where(key string) string {
	if w.p.Row >= 0 {
		return key + " (" + w.p.Name + ")"
	}
	return key
}

func (w words) at(x, y float64) finding.Place {
	return finding.Place{Piece: w.p.Name, XMM: round(x, 0.01), YMM: round(y, 0.01)}
}

func round(v, to float64) float64 { return math.Round(v/to) * to }

// value is a number as the job file has it.
func value(v float64) string { return strconv.FormatFloat(round(v, 0.001), 'g', 6, 64) }

// artOf is the index of the art whose box holds a place: the one art, or the nearest
// of the asked side; -1 without art.
func (w words) artOf(k Mark) int {
	side, best, index := k.Kind, math.Inf(1), -1
	if side == "hole" {
		side = ""
	}
	for i, a := range w.design.Art {
		if side != "" && a.Side != side {
			continue
		}
		if d := math.Hypot(a.XMM*w.p.Scale-k.XMM, a.YMM*w.p.Scale-k.YMM); d < best {
			best, index = d, i
		}
	}
	return index
}

// fate is the finding about all marks of one fate; its place is the worst of them.
func (f *Forecast) fate(w words, fate string, c Choices) (finding.Finding, bool) {
	n, worst := 0, -1
	for i, k := range f.Marks {
		if k.Fate != fate {
			continue
		}
		n++
		if worst < 0 || k.NeededMM*f.Marks[worst].HeightMM > f.Marks[worst].NeededMM*k.HeightMM {
			worst = i
		}
	}
	if n == 0 {
		return finding.Finding{}, false
	}
	k := f.Marks[worst]
	factor := k.NeededMM / k.HeightMM
	what := map[string]string{
		Breaks: "%d of %d marks will break or not come out",
		Merges: "%d of %d marks run together with a neighbour",
		Fills:  "%d of %d marks close: holes in letters, or sunk strokes",
	}[fate]
	g := finding.Finding{Severity: finding.Care, Where: w.where(w.key("art")), At: w.at(k.XMM, k.YMM)}
	g.What = fmt.Sprintf(what, n, len(f.Marks)) + fmt.Sprintf("; the worst, a %s mark %.1f mm high, has strokes of %.2f mm and needs %.2f mm (%s)",
		k.Kind, k.HeightMM, k.NarrowMM, math.Max(k.narrowest, k.NarrowMM), w.because(k, c))
	if k.Kind == "hole" {
		g.What = fmt.Sprintf(what, n, len(f.Marks)) + fmt.Sprintf("; the worst, a hole %.1f mm high and %.2f mm wide, needs %.2f mm (%s)",
			k.HeightMM, k.NarrowMM, math.Max(k.narrowest, k.NarrowMM), w.because(k, c))
	}
	g.Do = fmt.Sprintf("make the art %.2f times as large, or its strokes bolder", ceil(factor, 0.05))
	i := w.artOf(k)
	if i < 0 {
		return g, true
	}
	a := w.design.Art[i]
	g.Where = w.where(w.key("art[%d].width_mm", i+1))
	ratio := c.ChocolateRatio
	if k.Kind != "raised" {
		ratio = c.RubberRatio
	}
	// Where only the depth is too much for the width, less depth is the remedy.
	if shallow := math.Floor(k.NarrowMM*ratio*20) / 20; fate != Merges && k.narrowest > k.NarrowMM && k.DepthMM > ratio*k.NarrowMM &&
		k.NarrowMM >= w.flatNeed(k, c) && shallow >= 0.1 {
		g.Remedy = finding.Remedy{Key: w.key("art[%d].depth_mm", i+1), Value: value(shallow / w.p.Scale)}
		g.Do += fmt.Sprintf(", or set depth_mm to %s", g.Remedy.Value)
		return g, true
	}
	switch {
	case a.WidthMM > 0:
		g.Remedy = finding.Remedy{Key: w.key("art[%d].width_mm", i+1), Value: value(ceil(a.WidthMM*factor, 0.1))}
	case a.HeightMM > 0:
		g.Where = w.where(w.key("art[%d].height_mm", i+1))
		g.Remedy = finding.Remedy{Key: w.key("art[%d].height_mm", i+1), Value: value(ceil(a.HeightMM*factor, 0.1))}
	}
	if a.WidthMM > 0 && a.HeightMM > 0 { // the smaller scale wins: one number is no remedy
		g.Remedy = finding.Remedy{}
	}
	return g, true
}

// flatNeed is the width that a mark needs whatever its depth.
func (w words) flatNeed(k Mark, c Choices) float64 {
	if k.Kind == "raised" {
		return math.Max(c.ChocolateMM, c.ResinMM)
	}
	return c.RubberMM
}

func ceil(v, to float64) float64 { return math.Ceil(v/to-1e-9) * to }

// because names the rule behind a fate, with its key.
func (w words) because(k Mark, c Choices) string {
	deep := k.DepthMM > w.flatNeed(k, c)
	switch {
	case k.Cause == "printer":
		return "the print's light spread, forecast.light_spread_mm"
	case k.Cause == "rubber" && k.DepthMM/c.RubberRatio > c.RubberMM:
		return "rule of thumb forecast.rubber_depth_ratio"
	case k.Cause == "rubber":
		return "rule of thumb forecast.least_rubber_mm"
	case k.Cause == "resin":
		return "rules of thumb forecast.least_resin_mm and resin_depth_ratio"
	case deep && k.DepthMM/c.ChocolateRatio > c.ChocolateMM:
		return "rule of thumb forecast.chocolate_depth_ratio"
	}
	return "rule of thumb forecast.least_chocolate_mm, or chocolate does not enter"
}

// walls is the finding about draft.
func (f *Forecast) walls(w words, c Choices) finding.Finding {
	g := finding.Finding{Severity: finding.Care, Where: w.where(w.key("draft_deg")),
		What: fmt.Sprintf("%.0f %% of the wall area leans less than %g degrees (rule of thumb forecast.least_draft_deg), the least %.1f degrees", 100*f.BelowDraftShare, c.DraftDeg, w.p.MinDraftDeg),
		Do:   fmt.Sprintf("give walls %g degrees or more", c.DraftDeg)}
	if w.design.DraftDeg < c.DraftDeg && w.design.Outline != "mesh" {
		g.Remedy = finding.Remedy{Key: w.key("draft_deg"), Value: value(c.DraftDeg)}
		return g
	}
	for i, a := range w.design.Art {
		if a.DraftDeg < c.DraftDeg && a.Profile != "vee" {
			key := w.key("art[%d].draft_deg", i+1)
			g.Where, g.Remedy = w.where(key), finding.Remedy{Key: key, Value: value(c.DraftDeg)}
			return g
		}
	}
	return g
}

// steps is the finding about layer lines that will show.
func (f *Forecast) steps(w words, layerMM float64, c Choices) finding.Finding {
	g := finding.Finding{Severity: finding.Note, Where: w.where("printer.layer_mm"),
		What: fmt.Sprintf("layer steps of %.0f µm will show on %.0f %% of the surface (terraces wider than forecast.visible_step_mm, %g mm)", 1000*f.Finish.CuspMM, 100*f.Finish.SteppedShare, c.EyeMM),
		Do:   fmt.Sprintf("seal the print with a coat of %.3f mm", f.Finish.HideCoatMM)}
	if f.Finish.HideLayerMM >= 0.01 { // thinner layers no printer makes
		g.Do += fmt.Sprintf(", print layers of %.3f mm", math.Floor(f.Finish.HideLayerMM*1000)/1000)
	}
	if w.design.Top != "flat" {
		g.Do += ", or choose a flat top"
	}
	if coat := ceil(f.Finish.HideCoatMM, 0.005); coat <= 0.5 {
		g.Remedy = finding.Remedy{Key: "forecast.coat_mm", Value: value(coat)}
	}
	return g
}

// brush is the finding about pockets that are narrow enough to shut air in.
func brush(w words, list []Pocket, liquid string, c Choices) (finding.Finding, bool) {
	n, first := 0, -1
	for i, p := range list {
		if p.Brush {
			n++
			if first < 0 {
				first = i
			}
		}
	}
	if n == 0 {
		return finding.Finding{}, false
	}
	p := list[first]
	return finding.Finding{Severity: finding.Note, Where: w.where(w.key("art")), At: w.at(p.XMM, p.YMM),
		What: fmt.Sprintf("%d hollows narrower than %g mm (forecast.pocket_mm) may shut air in under the poured %s; the largest is %.2f mm deep", n, c.PocketMM, liquid, p.DepthMM),
		Do:   "brush " + liquid + " into them first"}, true
}
