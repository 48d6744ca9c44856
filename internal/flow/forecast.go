package flow

import (
	"context"
	"math"
	"slices"

	"mouldwright/internal/base/format/font"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/forecast"
)

// PlanMark is one connected piece of a chocolate's art, or a hole inside one.
type PlanMark struct {
	Mark     string  `json:"mark" doc:"its letter and word, or what it is and its number in its drawing: second l of Ottilie, hole of the e of Ottilie, stroke 3 of crest.svg"`
	Label    string  `json:"label" doc:"the same in a letter or a number, for a picture"`
	Kind     string  `json:"kind" doc:"raised, sunk or hole"`
	Art      int     `json:"art" doc:"which art of the piece it belongs to, from 1; 0 when that is not known"`
	Fate     string  `json:"fate" doc:"survives, merges, fills or breaks"`
	Cause    string  `json:"cause,omitempty" doc:"what it is that does so: printer, resin, rubber or chocolate"`
	NeededMM float64 `json:"size_needed_mm" doc:"least height with which it would survive, at the same depth"`
	HeightMM float64 `json:"height_mm" doc:"its height as drawn"`
	WidthMM  float64 `json:"width_mm" doc:"its width as drawn"`
	DepthMM  float64 `json:"depth_mm" doc:"how far it stands above or under the body"`
	NarrowMM float64 `json:"narrow_mm" doc:"width of its narrow strokes: a tenth of its middle line is narrower, tips that taper left out"`
	GapMM    float64 `json:"gap_mm,omitempty" doc:"narrowest gap to a neighbour"`
	Speck    bool    `json:"speck,omitempty" doc:"nowhere as wide as the finest dot that the printer draws: a sliver that nobody will miss"`
	Soft     bool    `json:"soft,omitempty" doc:"its flanks lean more than 45 degrees from vertical: nothing that could break off or close; it need only print and be entered"`
	XMM      float64 `json:"x_mm" doc:"its widest place, from the middle of the piece"`
	YMM      float64 `json:"y_mm" doc:"its widest place, from the middle of the piece"`
}

// PlanPocket is a hollow where a poured liquid may shut air in.
type PlanPocket struct {
	Liquid    string  `json:"liquid" doc:"rubber: on the master; chocolate: in the mould"`
	XMM       float64 `json:"x_mm" doc:"its widest place, from the middle of the piece as seen from above"`
	YMM       float64 `json:"y_mm" doc:"its widest place"`
	DepthMM   float64 `json:"depth_mm" doc:"under the lowest place of its rim"`
	WidthMM   float64 `json:"width_mm" doc:"of the largest disc that fits at half its depth"`
	VolumeMM3 float64 `json:"volume_mm3" doc:"air in it, if none left"`
	Brush     bool    `json:"brush_first" doc:"narrow: brush this first"`
}

// PlanWidth is what is narrowest at one depth of the art.
type PlanWidth struct {
	DepthMM  float64 `json:"depth_mm" doc:"above the body; negative under it, in sunk art"`
	RidgeMM  float64 `json:"ridge_mm" doc:"narrowest stroke of chocolate there; 0 without"`
	GrooveMM float64 `json:"groove_mm" doc:"narrowest gap, hole or sunk stroke, a fin of the rubber; 0 without"`

	RidgeRatio  float64 `json:"ridge_ratio" doc:"height of the art to that width; 0 without"`
	GrooveRatio float64 `json:"groove_ratio" doc:"depth of the art to that width; 0 without"`
	Chocolate   string  `json:"chocolate" doc:"the stroke as chocolate: holds, too fine or too deep by the rules of [forecast]; empty without"`
	Resin       string  `json:"resin" doc:"the stroke as a wall of printed resin"`
	Rubber      string  `json:"rubber" doc:"the gap as a fin of rubber"`
}

// PlanFinish is how a piece's surface will look, as shares of its area.
type PlanFinish struct {
	GlossyShare  float64 `json:"glossy_share" doc:"level, or steps under the coat"`
	SatinShare   float64 `json:"satin_share" doc:"layer steps too close to be told apart"`
	SteppedShare float64 `json:"stepped_share" doc:"layer steps that show"`
	StepMM       float64 `json:"step_mm" doc:"highest step that shows, square to the surface"`
	HideLayerMM  float64 `json:"hide_layer_mm" doc:"layer with which hardly any would show; 0 when none does"`
	HideCoatMM   float64 `json:"hide_coat_mm" doc:"coat that would level them; 0 when none shows"`
}

// PlanForecast is what will become of a piece's art and walls. A coarse computation
// leaves it empty but for the hollows under poured rubber.
type PlanForecast struct {
	Marks             []PlanMark   `json:"marks" doc:"each connected piece of the art and the holes in it"`
	MarksMore         int          `json:"marks_more" doc:"smaller marks that are not listed"`
	NarrowestRidgeMM  float64      `json:"narrowest_ridge_mm" doc:"narrowest raised stroke at half the art's depth; 0 without art"`
	NarrowestGrooveMM float64      `json:"narrowest_groove_mm" doc:"narrowest gap, hole or sunk stroke there; 0 without"`
	Widths            []PlanWidth  `json:"widths" doc:"narrowest strokes and gaps at five depths of the art: a tenth, a quarter, half, three quarters and nine tenths"`
	SmallestTextMM    float64      `json:"smallest_text_mm" doc:"height of the tallest letter with which all letters and their holes would survive; of all marks where the art is no text; 0 without art"`
	AirPockets        []PlanPocket `json:"air_pockets" doc:"hollows where poured rubber or chocolate may shut air in, largest first"`
	BelowDraftShare   float64      `json:"below_draft_share" doc:"share of the wall area that leans less than forecast.least_draft_deg"`
	Finish            PlanFinish   `json:"finish" doc:"what the surface will look like"`
	SizeShare         unit.Range   `json:"size_share" doc:"size of the chocolate against the drawn one, from the spread of both shrinkages"`
}

// foresee judges a piece that is measured.
func (b *build) foresee(ctx context.Context, s *shape) error {
	f, list, err := forecast.Make(ctx, s.piece, b.c.Means(s.made.design), b.c.Forecast)
	if err != nil {
		return inDesign(s.made.design, err)
	}
	s.made.found = append(s.made.found, list...)
	s.made.found = append(s.made.found, b.undercuts(s)...)
	s.made.plan.PlanForecast = planForecast(f)
	return nil
}

// Means is what a design is made with.
func (c *Choices) Means(design int) forecast.Means {
	p := c.Pieces[design]
	return forecast.Means{
		Printer: c.Printer, Resin: c.Resin, Silicone: c.Silicone, Chocolate: c.Chocolate[p.Chocolate], Design: p,
		HasFont: func(name string) bool { return slices.Contains(font.Names(), name) },
	}
}

func planForecast(f *forecast.Forecast) PlanForecast {
	p := PlanForecast{
		Marks: []PlanMark{}, MarksMore: f.More, AirPockets: []PlanPocket{}, Widths: []PlanWidth{},
		NarrowestRidgeMM: micron(f.NarrowestRidgeMM), NarrowestGrooveMM: micron(f.NarrowestGrooveMM), SmallestTextMM: micron(f.SmallestTextMM),
		BelowDraftShare: f.BelowDraftShare, SizeShare: f.SizeShare,
		Finish: PlanFinish{f.Finish.GlossyShare, f.Finish.SatinShare, f.Finish.SteppedShare, f.Finish.CuspMM, f.Finish.HideLayerMM, f.Finish.HideCoatMM},
	}
	for _, w := range f.Widths {
		p.Widths = append(p.Widths, PlanWidth{micron(w.DepthMM), micron(w.RidgeMM), micron(w.GrooveMM), micron(w.RidgeRatio), micron(w.GrooveRatio), w.Chocolate, w.Resin, w.Rubber})
	}
	for _, m := range f.Marks {
		p.Marks = append(p.Marks, PlanMark{
			Mark: m.Name, Label: m.Label, Kind: m.Kind, Art: m.Art + 1, Speck: m.Speck, Soft: m.Soft, Fate: m.Fate, Cause: m.Cause, NeededMM: micron(m.NeededMM), HeightMM: micron(m.HeightMM), WidthMM: micron(m.WidthMM),
			DepthMM: micron(m.DepthMM), NarrowMM: micron(m.NarrowMM), GapMM: micron(m.GapMM), XMM: micron(m.XMM), YMM: micron(m.YMM),
		})
	}
	p.AirPockets = append(planPockets("rubber", f.RubberPockets), planPockets("chocolate", f.ChocolatePockets)...)
	return p
}

func planPockets(liquid string, list []forecast.Pocket) []PlanPocket {
	out := []PlanPocket{}
	for _, k := range list {
		out = append(out, PlanPocket{liquid, micron(k.XMM), micron(k.YMM), micron(k.DepthMM), micron(k.WidthMM), micron(k.VolumeMM3), k.Brush})
	}
	return out
}

// micron rounds mm to µm: what a sample of 17 µm and more can tell.
func micron(mm float64) float64 { return math.Round(mm*1000) / 1000 }
