package sheet

import (
	"context"
	"fmt"
	"image"
	"math"
	"strings"

	cimage "github.com/tdewolff/canvas/image"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/forecast"
	"mouldwright/internal/flow/piece"
	"mouldwright/internal/sheet/picture"
)

// Changes is what will be otherwise than drawn of a design's first piece.
type Changes struct {
	Off    *cimage.Image // how far it will lie off the drawing
	MostUM float64       // where its scale ends, on both sides
	LowUM  float64       // most that is missing, 0 or less
	HighUM float64       // most that is too much
	Finish *cimage.Image
	Seen   geom.Rect // what both show, mm
}

// changesPx is the width of the maps: 0.1 mm of the page for a pixel.
const changesPx = 1000

// hatchPx is the distance of hatch lines on the maps.
const hatchPx = 8

// changesOf follows a piece through its copies and draws the difference.
func (s *Sketchbook) changesOf(ctx context.Context, p *piece.Piece) (*Changes, error) {
	m, rules := s.choices.Means(p.Design), s.choices.Forecast
	smooth, err := forecast.Smooth(ctx, p, m, rules)
	if err != nil {
		return nil, err
	}
	c := &Changes{}
	off := forecast.Difference(p.Relief, smooth)
	c.LowUM, c.HighUM = forecast.Reach(off)
	c.MostUM = roundUp(math.Max(-c.LowUM, c.HighUM))
	drawn, seen, err := picture.Map(ctx, off, p.Footprint, picture.Off(c.MostUM, hatchPx), changesPx)
	if err != nil {
		return nil, err
	}
	c.Seen = seen
	if c.Off, err = pressed(drawn, 92); err != nil {
		return nil, err
	}
	finish, err := forecast.FinishMap(ctx, smooth, m.Printer.LayerMM, math.Max(seen.W(), seen.H())/changesPx, rules)
	if err != nil {
		return nil, err
	}
	if drawn, _, err = picture.Map(ctx, finish, p.Footprint, picture.Looks, changesPx); err != nil {
		return nil, err
	}
	c.Finish, err = pressed(drawn, 92)
	return c, err
}

// roundUp is the end of a scale that holds a number: 1, 2 or 5 and zeros.
func roundUp(v float64) float64 {
	if !(v > 1) {
		return 1
	}
	ten := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range [...]float64{1, 2, 5} {
		if k*ten >= v*0.999 {
			return k * ten
		}
	}
	return 10 * ten
}

// changesPage draws both maps of a design, with their legends and bars of scale.
func (b *book) changesPage(d designed) {
	var k *Sketch
	if b.s != nil {
		k = b.s.sketch[d.index]
	}
	pc := &b.r.Plan.Pieces[d.pieces[0]]
	if k == nil || k.Changes == nil || pc.Finish == (flow.PlanFinish{}) {
		return
	}
	b.add("pieces", func(p *page) error {
		c := k.Changes
		p.heading(offTitle(d.name, c))
		y := p.underHeading()
		what := "Pixels and the spread of light, the coat and the filling of the art move its walls; the layers' steps come on top."
		if len(d.pieces) > 1 {
			what = fmt.Sprintf("Here %s, as one of %d names.", strings.TrimPrefix(pc.Name, d.name+": "), len(d.pieces))
		}
		p.within(p.left(), y, p.measure(), what, p.f.aside(), atLeft)
		y += 4
		const legend = 22.0
		room := (p.bottom() - y - 2*legend - 4) / 2
		y = p.seen(c.Off, k, y, room)
		p.offLegend(y, c)
		y = p.seen(c.Finish, k, y+legend, room)
		p.finishLegend(y, pc, b.r.Choices, d.index)
		return nil
	})
}

func offTitle(name string, c *Changes) string {
	switch {
	case c.LowUM == 0 && c.HighUM == 0:
		return sentence(name) + ": it will come out as drawn, but for its layers"
	case c.LowUM == 0:
		return fmt.Sprintf("%s: up to %s\u00a0µm too much along its art", sentence(name), microns(c.HighUM))
	case c.HighUM == 0:
		return fmt.Sprintf("%s: up to %s\u00a0µm missing along its art", sentence(name), microns(-c.LowUM))
	}
	return fmt.Sprintf("%s: up to %s\u00a0µm missing and %s\u00a0µm too much along its art", sentence(name), microns(-c.LowUM), microns(c.HighUM))
}

// microns is a number of µm with as many digits as it is worth.
func microns(v float64) string {
	if v < 1 {
		return fmt.Sprintf("%.1g", v)
	}
	return fmt.Sprintf("%.0f", v)
}

// seen sets a map as large as it goes into its room, with the piece's edges on it and a
// bar of scale below, and gives where what is below it begins.
func (p *page) seen(m *cimage.Image, k *Sketch, y, room float64) float64 {
	seen := k.Changes.Seen
	s := math.Min(p.measure()/seen.W(), (room-4)/seen.H())
	w, h := s*seen.W(), s*seen.H()
	x := p.left() + (p.measure()-w)/2
	y += (room - 4 - h) / 2
	p.picture(x, y, w, h, m)
	drawing{p: p, ox: x - seen.Min.X*s, oy: y + seen.Max.Y*s, scale: s}.lines(k.Edges, soft, hair)
	bar := 10.0 // mm of the piece
	if bar*s > p.measure()/3 {
		bar = 5
	}
	at := y + h + 2
	p.line(p.right()-bar*s, at, p.right(), at, 0.5, ink)
	for _, x := range []float64{p.right() - bar*s, p.right()} {
		p.line(x, at-1, x, at+1, 0.3, ink)
	}
	p.text(p.right()-bar*s-2, at+1, unit.Length(bar), p.f.label(), atRight)
	return y + h + 4 + (room-4-h)/2
}

// Colours of legends are drawn as the maps are: a strip of pixels of the same tones.
const (
	stripPx = 400
	stripMM = 80.0
)

func strip(w, h int, tone picture.Tone, value func(share float64) float64) *image.NRGBA {
	m := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.SetNRGBA(x, y, tone(value((float64(x)+0.5)/float64(w)), x, y))
		}
	}
	return m
}

// offLegend is the scale of the first map, below it.
func (p *page) offLegend(y float64, c *Changes) {
	x, w, h := p.left(), stripMM, 4.0
	p.text(x, y+3, "missing, hatched", p.f.label(), atLeft)
	p.text(x+w, y+3, "too much", p.f.label(), atRight)
	m := strip(stripPx, int(stripPx*h/w), picture.Off(c.MostUM, hatchPx), func(t float64) float64 { return (2*t - 1) * c.MostUM })
	p.picture(x, y+4.5, w, h, m)
	p.box(x, y+4.5, w, h, none, ink, narrow)
	for i := range 5 {
		v := (float64(i)/2 - 1) * c.MostUM
		at := x + w*float64(i)/4
		p.line(at, y+4.5+h, at, y+4.5+h+1, narrow, ink)
		word := "0"
		if v < 0 {
			word = "−" + microns(-v)
		} else if v > 0 {
			word = "+" + microns(v)
		}
		side := atMiddle
		if i == 0 {
			side = atLeft
		}
		if i == 4 {
			word += "\u00a0µm"
		}
		p.text(at, y+4.5+h+4, word, p.f.label(), side)
	}
}

// finishLegend names the looks of the second map with their shares, and what would hide
// the steps.
func (p *page) finishLegend(y float64, pc *flow.PlanPiece, c *flow.Choices, design int) {
	f := pc.Finish
	x := p.left()
	for _, k := range []struct {
		word  string
		share float64
		tone  func(share float64) float64
	}{
		{"glossy", f.GlossyShare, func(float64) float64 { return 0 }},
		{"satin", f.SatinShare, func(float64) float64 { return 1 }},
		{"layer steps show", f.SteppedShare, func(t float64) float64 { return 2 + float64(int(t*8)%2) }},
	} {
		p.picture(x, y+1.5, 10, 4, strip(80, 32, picture.Looks, k.tone))
		p.box(x, y+1.5, 10, 4, none, ink, narrow)
		x += 12 + p.text(x+12, y+4.7, fmt.Sprintf("%s %.1f %%", k.word, 100*k.share), p.f.label(), atLeft) + 8
	}
	words := "No layer step will show."
	if f.SteppedShare > 0 {
		words = fmt.Sprintf("Steps of up to %.0f\u00a0µm, square to the surface; the rubber copies them.", 1000*f.StepMM)
		if c != nil {
			words = fmt.Sprintf("Layers of %s make steps of up to %.0f\u00a0µm, square to the surface; the rubber copies them.", unit.Length(c.Printer.LayerMM), 1000*f.StepMM)
		}
		words += fmt.Sprintf(" A sealer of %s would level them", unit.Length(f.HideCoatMM))
		if f.HideLayerMM >= 0.01 {
			words += fmt.Sprintf(", layers of %s would hide nearly all.", unit.Length(f.HideLayerMM))
		} else {
			words += "; no layer that a printer makes would hide them all."
		}
		if c != nil && design < len(c.Pieces) {
			if from := c.Pieces[design].Slopes(); len(from) > 0 {
				words += " Steps show on gentle slopes: " + piece.InWords(from) + "."
			}
		}
	}
	for i, l := range p.f.lines(words, p.f.text(), p.measure()) {
		p.text(p.left(), y+11+float64(i)*leadText, l, p.f.text(), atLeft)
	}
}
