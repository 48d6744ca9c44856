package forecast

import (
	"fmt"
	"math"
	"strconv"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/piece"
)

// findings words what the person should look at: one finding for each fate, for walls,
// for steps, and for places to brush.
func (f *Forecast) findings(p *piece.Piece, m Means, c Choices) []finding.Finding {
	w := words{p: p, design: m.Design, font: m.HasFont, top: topBox(p, m.Design), pixelMM: m.Printer.PixelMM, entry: entryPerMM(p.BodyMM, m, c)}
	if w.font == nil {
		w.font = func(string) bool { return false }
	}
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
		list = append(list, f.steps(w, c))
	}
	if g, ok := brush(w, f.RubberPockets, "rubber", c); ok {
		list = append(list, g)
	}
	if g, ok := brush(w, f.ChocolatePockets, "chocolate", c); ok && c.Fill != "brush" {
		g.Remedy = finding.Set("forecast.fill", "brush")
		list = append(list, g)
	}
	return list
}

const (
	wallShare    = 0.005 // of all wall area (our choice: as leanShare for a piece's smallest draft)
	steppedShare = 0.02  // of the surface (our choice: less is a rounded edge)
)

// words is what findings about a piece have in common.
type words struct {
	p       *piece.Piece
	design  piece.Choices
	font    func(name string) bool // is built in
	top     geom.Rect              // where art may stand
	pixelMM float64
	entry   float64 // width that chocolate needs for each mm of depth
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

func round(v, to float64) float64 { return math.Round(v/to) / (1 / to) }

// value is a number as the job file has it.
func value(v float64) string { return strconv.FormatFloat(round(v, 0.001), 'g', 6, 64) }

// fate is the finding about all marks of one fate, whose place is the worst of them.
// Specks are none: nobody drew them on purpose.
func (f *Forecast) fate(w words, fate string, c Choices) (finding.Finding, bool) {
	var hit []int
	worst := -1
	for i, k := range f.Marks {
		if k.Fate != fate || k.Speck {
			continue
		}
		hit = append(hit, i)
		if worst < 0 || k.NeededMM*f.Marks[worst].HeightMM > f.Marks[worst].NeededMM*k.HeightMM {
			worst = i
		}
	}
	if worst < 0 {
		return finding.Finding{}, false
	}
	k := f.Marks[worst]
	// Its strokes are measured within a sample, and will be when they are larger.
	factor := k.NeededMM / k.HeightMM * (1 + 2*w.p.Relief.PitchMM/math.Max(k.narrowest, 0.1))
	what := map[string]string{
		Breaks: "%d of %d marks will break or not come out",
		Merges: "%d of %d marks run together with a neighbour",
		Fills:  "%d of %d marks close",
	}[fate]
	g := finding.Finding{Severity: finding.Care, Where: w.where(w.key("art")), At: w.at(k.XMM, k.YMM)}
	g.What = fmt.Sprintf(what, len(hit), len(f.Marks)) + fmt.Sprintf(": '%s'; the worst, %.1f mm high, has strokes of %.2f mm and needs %.2f mm (%s)",
		f.named(hit, worst), k.HeightMM, k.NarrowMM, math.Max(k.narrowest, k.NarrowMM), w.because(k, c))
	if k.Kind == "hole" {
		g.What = fmt.Sprintf(what, len(hit), len(f.Marks)) + fmt.Sprintf(": '%s'; the worst, %.1f mm high and %.2f mm wide, needs %.2f mm (%s)",
			f.named(hit, worst), k.HeightMM, k.NarrowMM, math.Max(k.narrowest, k.NarrowMM), w.because(k, c))
	}
	if k.Art < 0 || k.Art >= len(w.design.Art) {
		g.Do = fmt.Sprintf("make the art %.2f times as large, or its strokes bolder", ceil(factor, 0.05))
		return g, true
	}
	f.mend(&g, w, k, factor, c)
	return g, true
}

// named lists marks by their names, the worst first, up to three.
func (f *Forecast) named(hit []int, worst int) string {
	const most = 3
	s, n := f.Marks[worst].Name, 1
	for _, i := range hit {
		if i != worst && n < most {
			s += ", " + f.Marks[i].Name
			n++
		}
	}
	if more := len(hit) - n; more > 0 {
		s += fmt.Sprintf(" and %d more", more)
	}
	return s
}

// boldFactor is by how much a bold cut's thinnest strokes are wider at least (derived from
// the built-in serif's, which measure 0.28 mm, and 0.32 mm in bold).
const boldFactor = 1.15

// mend finds the change of the mark's art with which it would survive: less depth
// where only the depth is too much for its width, else the font's bold cut, else a
// larger size, if it still fits on the top.
func (f *Forecast) mend(g *finding.Finding, w words, k Mark, factor float64, c Choices) {
	a := w.design.Art[k.Art]
	key := func(name string) string { return w.key("art[%d].%s", k.Art+1, name) }
	g.Where = w.where(key("width_mm"))
	larger := fmt.Sprintf("make the art %.2f times as large, or its strokes bolder", ceil(factor, 0.05))
	if fits := f.mostFactor(w, k.Art); factor > fits {
		larger = fmt.Sprintf("make its strokes bolder or leave them out, or choose a larger piece: art %.2f times as large does not fit on this top", ceil(factor, 0.05))
		if a.Text != "" {
			larger = fmt.Sprintf("choose a bolder font, a shorter text or a larger piece: letters %.2f times as large do not fit on this top", ceil(factor, 0.05))
		}
	} else {
		switch {
		case a.WidthMM > 0 && a.HeightMM > 0: // the smaller scale wins: one number is no remedy
		case a.WidthMM > 0:
			g.Remedy = finding.Remedy{Key: key("width_mm"), Value: value(ceil(a.WidthMM*factor, 0.1))}
		case a.HeightMM > 0:
			g.Where = w.where(key("height_mm"))
			g.Remedy = finding.Remedy{Key: key("height_mm"), Value: value(ceil(a.HeightMM*factor, 0.1))}
		}
	}
	g.Do = larger
	if k.Fate == Merges {
		if a.Text != "" {
			g.Do = "set the letters further apart (tracking), or " + larger
		}
		return
	}
	if bold := bolder(a, w.font); bold != "" && k.Kind == "raised" {
		g.Do = "set it in " + bold + ", or " + larger
		if g.Remedy.Key == "" || k.NeededMM <= boldFactor*k.HeightMM {
			g.Remedy = finding.Remedy{Key: key("font"), Value: strconv.Quote(bold)}
		}
	}
	if k.Kind == "raised" && c.Fill != "brush" && w.entry*k.freeMM > k.NarrowMM {
		g.Remedy = finding.Set("forecast.fill", "brush")
		g.Do = "brush a first coat of chocolate into the art (forecast.fill), or " + g.Do
		return
	}
	ratio := c.ChocolateRatio
	if k.Kind != "raised" {
		ratio = c.RubberRatio
	}
	if shallow := math.Floor(k.NarrowMM*ratio*20) / 20; k.narrowest > k.NarrowMM && k.freeMM == k.DepthMM && k.DepthMM > ratio*k.NarrowMM &&
		k.NarrowMM >= w.flatNeed(k, c) && shallow >= 0.1 {
		g.Remedy = finding.Remedy{Key: key("depth_mm"), Value: value(shallow / w.p.Scale)}
		g.Where = w.where(key("depth_mm"))
		g.Do = fmt.Sprintf("set depth_mm to %s, or %s", g.Remedy.Value, larger)
	}
}

// mostFactor is how many times as large an art may become before it leaves the top,
// the box of what stands no lower than its rim, or words their circle.
func (f *Forecast) mostFactor(w words, art int) float64 {
	own := geom.EmptyRect()
	var marks []geom.Vec
	for _, m := range f.Marks {
		if m.Art == art && m.Of < 0 {
			own.Add(geom.Vec{X: m.BoxX, Y: m.BoxY})
			own.Add(geom.Vec{X: m.BoxX + m.WidthMM, Y: m.BoxY + m.HeightMM})
			marks = append(marks, geom.Vec{X: m.BoxX + m.WidthMM/2, Y: m.BoxY + m.HeightMM/2})
		}
	}
	top := w.top
	if own.Empty() || top.Empty() {
		return math.Inf(1)
	}
	if a := w.design.Art[art]; a.Text != "" && a.ArcRadiusMM != 0 {
		return mostOnCircle(a, w.p.Scale, marks, top)
	}
	c := own.Center()
	most := math.Inf(1)
	for _, s := range [][2]float64{{own.W() / 2, top.Max.X - c.X}, {own.W() / 2, c.X - top.Min.X}, {own.H() / 2, top.Max.Y - c.Y}, {own.H() / 2, c.Y - top.Min.Y}} {
		if s[0] > 0 {
			most = math.Min(most, s[1]/s[0])
		}
	}
	return most
}

// mostOnCircle is how many times as large bent words may become: they grow along their
// circle until it is full, and away from it until they leave the top or, on their feet
// under the bottom, are half-way to the middle. marks are the middles of their letters.
func mostOnCircle(a artwork.Choices, scale float64, marks []geom.Vec, top geom.Rect) float64 {
	middle := geom.Vec{X: a.XMM, Y: a.YMM}.Times(scale)
	r := math.Abs(a.ArcRadiusMM) * scale
	ahead := geom.Vec{Y: math.Copysign(1, a.ArcRadiusMM)} // where the words' own middle stands
	sin, cos := math.Sincos(a.TurnDeg * math.Pi / 180)
	ahead = geom.Vec{X: -sin * ahead.Y, Y: cos * ahead.Y}
	widest, rise := 0.0, 0.0
	for _, m := range marks {
		d := m.Sub(middle)
		widest = math.Max(widest, math.Abs(math.Atan2(ahead.X*d.Y-ahead.Y*d.X, ahead.Dot(d))))
		rise = math.Max(rise, 2*math.Abs(d.Len()-r)) // a letter's middle is half as far as its edge
	}
	room := r / 2
	if a.ArcRadiusMM > 0 {
		room = min(top.Max.X-middle.X, middle.X-top.Min.X, top.Max.Y-middle.Y, middle.Y-top.Min.Y) - r
	}
	most := math.Inf(1)
	if widest > 0 {
		most = math.Pi / widest
	}
	if rise > 0 {
		most = math.Min(most, room/rise)
	}
	return most
}

// topBox is the box of the body above its rim and edge, where art may stand.
func topBox(p *piece.Piece, c piece.Choices) geom.Rect {
	low := p.BodyMM - 0.05
	if c.Top != "flat" {
		low -= c.RiseMM * p.Scale
	}
	box := geom.EmptyRect()
	for j := range p.Body.H {
		row := p.Body.Row(j)
		i0, i1 := 0, len(row)-1
		for i0 < len(row) && float64(row[i0]) < low {
			i0++
		}
		if i0 == len(row) {
			continue
		}
		for float64(row[i1]) < low {
			i1--
		}
		box.Add(p.Body.XY(i0, j))
		box.Add(p.Body.XY(i1, j))
	}
	return box
}

// flatNeed is the width that a mark needs whatever its depth.
func (w words) flatNeed(k Mark, c Choices) float64 {
	if k.Kind == "raised" {
		return math.Max(c.ChocolateMM, c.ResinMM)
	}
	return c.RubberMM
}

func ceil(v, to float64) float64 { return math.Ceil(v/to-1e-9) / (1 / to) }

// because names the rule behind a fate, with its number, its source and its key.
func (w words) because(k Mark, c Choices) string {
	switch {
	case k.Cause == "printer":
		return fmt.Sprintf("the print draws nothing finer: pixels of printer.pixel_mm, %g mm, and light that spreads by %s", w.pixelMM, c.rule("light_spread_mm"))
	case k.Cause == "rubber" && k.freeMM/c.RubberRatio > c.RubberMM:
		return "rule of thumb " + c.rule("rubber_depth_ratio")
	case k.Cause == "rubber":
		return "rule of thumb " + c.rule("least_rubber_mm")
	case k.Cause == "resin" && k.freeMM/c.ResinRatio > c.ResinMM:
		return "rule of thumb " + c.rule("resin_depth_ratio")
	case k.Cause == "resin":
		return "rule of thumb " + c.rule("least_resin_mm")
	case w.entry*k.freeMM >= math.Max(k.narrowest, k.NarrowMM): // more than any rule asks for
		by := map[string]string{"brush": "brushed with " + c.rule("brush_pa"), "tap": "tapping leaves of its yield value " + c.rule("tap_yield_share")}[c.Fill]
		if by == "" {
			by = "poured by its weight alone"
		}
		return fmt.Sprintf("chocolate does not enter finer grooves, forecast.fill = %q: %s", c.Fill, by)
	case k.freeMM/c.ChocolateRatio > c.ChocolateMM:
		return "rule of thumb " + c.rule("chocolate_depth_ratio")
	}
	return "rule of thumb " + c.rule("least_chocolate_mm")
}

// walls is the finding about draft.
func (f *Forecast) walls(w words, c Choices) finding.Finding {
	g := finding.Finding{Severity: finding.Care, Where: w.where(w.key("draft_deg")), At: w.at(f.SteepAt.X, f.SteepAt.Y),
		What: fmt.Sprintf("%.0f %% of the wall area leans less than %g degrees (rule of thumb %s), the least %.1f degrees", 100*f.BelowDraftShare, c.DraftDeg, c.rule("least_draft_deg"), w.p.MinDraftDeg),
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
func (f *Forecast) steps(w words, c Choices) finding.Finding {
	g := finding.Finding{Severity: finding.Note, Where: w.design.Name + ": printer.layer_mm", At: w.at(f.StepsAt.X, f.StepsAt.Y),
		What: fmt.Sprintf("layer steps of %.0f µm will show on %.0f %% of the surface (terraces wider than rule of thumb %s)", 1000*f.Finish.CuspMM, 100*f.Finish.SteppedShare, c.rule("visible_step_mm")),
		Do:   fmt.Sprintf("seal the print with a coat of %.3f mm", f.Finish.HideCoatMM)}
	if f.Finish.HideLayerMM >= 0.01 { // thinner layers no printer makes
		g.Do += fmt.Sprintf(", print layers of %.3f mm", math.Floor(f.Finish.HideLayerMM*1000)/1000)
	}
	from := w.design.Slopes()
	if len(from) > 0 {
		g.Do += ", or change what slopes gently: " + piece.InWords(from)
	}
	// Strokes that are all of it are better drawn flat than filled up by a coat.
	if len(from) == 1 && from[0].Key != "" {
		g.Remedy = finding.Remedy{Key: w.key("%s", from[0].Key), Value: from[0].Level}
		return g
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
		What: fmt.Sprintf("%s narrower than %g mm (rule of thumb %s) may shut air in under the poured %s; the largest is %.2f mm deep", unit.Count(n, "hollow", "hollows"), c.PocketMM, c.rule("pocket_mm"), liquid, p.DepthMM),
		Do:   "brush " + liquid + " in first"}, true
}
