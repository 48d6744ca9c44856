package workshop

import (
	"fmt"
	"math"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow"
)

// pages are the stages that have a page, in the order of the work, each with how it words
// where it stands; words is empty while that is not known. The page of the record comes
// after them, from elsewhere.
var pages = []struct {
	stage string
	words func(in *flow.Input, p *flow.Plan) string
}{
	{"pieces", pieceWords}, {"master", masterWords}, {"plates", plateWords}, {"pour", pourWords}, {"kitchen", kitchenWords},
	{"box", boxWords}, {"calendar", calendarWords}, {"shopping", shoppingWords},
}

// pageOf is the page on which a stage's findings stand: the cured mould's that of its pour.
func pageOf(stage string) string {
	if stage == "mould" {
		return "pour"
	}
	return stage
}

// stages words where each stage stands. in is the job, r its last sketch; nil while
// there is none.
func stages(in *flow.Input, r *flow.Result) []Stage {
	var out []Stage
	for _, pg := range pages {
		s := Stage{Stage: pg.stage}
		if r != nil && in != nil {
			var own []finding.Finding
			for k, f := range r.Plan.Findings {
				if pageOf(r.Stages[k]) == pg.stage {
					own = append(own, f)
				}
			}
			s.Worst, s.Words = finding.Worst(own), pg.words(in, &r.Plan)
		}
		out = append(out, s)
	}
	return out
}

// counted is a number of things in figures, since the line of stages is narrow.
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func pieceWords(in *flow.Input, p *flow.Plan) string {
	if len(p.Pieces) == 0 {
		return ""
	}
	return counted(len(in.Choices.Pieces), "design", "designs") + ", " + counted(len(p.Pieces), "piece", "pieces")
}

func masterWords(_ *flow.Input, p *flow.Plan) string {
	if len(p.Masters) == 0 {
		return ""
	}
	tiles := 0
	for _, m := range p.Masters {
		tiles += m.Tiles
	}
	return counted(len(p.Masters), "tray", "trays") + ", " + counted(tiles, "tile", "tiles")
}

func plateWords(_ *flow.Input, p *flow.Plan) string {
	if len(p.Plates) == 0 {
		return ""
	}
	min := 0.0
	for _, pl := range p.Plates {
		min += pl.PrintTimeMin.Likely
	}
	return fmt.Sprintf("%s, %.0f h", counted(len(p.Plates), "plate", "plates"), math.Ceil(min/60))
}

func pourWords(_ *flow.Input, p *flow.Plan) string {
	if !(p.Silicone.VolumeMM3 > 0) {
		return ""
	}
	return fmt.Sprintf("%.0f g of rubber", p.Silicone.MassG.Likely)
}

func kitchenWords(_ *flow.Input, p *flow.Plan) string {
	temper := 0.0
	for _, c := range p.Kitchen.Chocolate {
		temper += c.BuyG.Likely
	}
	if !(temper > 0) {
		return ""
	}
	return fmt.Sprintf("%.0f g to temper", temper)
}

func boxWords(_ *flow.Input, p *flow.Plan) string {
	if len(p.Boxes) == 0 {
		return "no box yet"
	}
	return counted(len(p.Boxes), "box", "boxes")
}

func calendarWords(_ *flow.Input, p *flow.Plan) string {
	c := &p.Calendar
	t, err := time.Parse("2006-01-02T15:04", c.StartBy)
	switch {
	case err != nil:
		return ""
	case c.LateH > 0:
		return "too late"
	case c.FromNow:
		done := 0
		for _, t := range c.Tasks {
			if t.State == "done" {
				done++
			}
		}
		return fmt.Sprintf("%d of %d done", done, len(c.Tasks))
	}
	return "start by " + t.Format("2 Jan")
}

func shoppingWords(_ *flow.Input, p *flow.Plan) string {
	n := 0
	for _, l := range p.Shopping.Lines {
		if l.Buy > 0 {
			n++
		}
	}
	return counted(n, "thing", "things") + " to buy"
}
