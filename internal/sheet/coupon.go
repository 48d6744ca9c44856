package sheet

import (
	"context"
	"fmt"
	"io"
	"math"
	"path"
	"strings"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/coupon"
)

// WriteCoupons writes the sheet that goes with printed coupons: what to print, what to
// measure where, and room to write it down.
func WriteCoupons(ctx context.Context, w io.Writer, c *flow.Coupons, paper string) error {
	b, err := couponBook(c, paper)
	if err != nil {
		return err
	}
	return b.write(ctx, w)
}

func couponBook(c *flow.Coupons, paper string) (*book, error) {
	b, err := blank(&flow.Result{Choices: c.Choices, Plan: flow.Plan{Title: c.Title, Revision: c.Revision, Version: c.Version}}, paper)
	if err != nil {
		return nil, err
	}
	b.couponPlates(c)
	byKind := map[string][]*coupon.Coupon{}
	for _, k := range c.List {
		byKind[k.Kind] = append(byKind[k.Kind], k)
	}
	for _, p := range couponPages {
		b.couponPage(p, byKind[p.kind])
	}
	b.padPages(byKind[coupon.Pad])
	return b, nil
}

func (b *book) couponPlates(c *flow.Coupons) {
	cols := []column{
		{"file", 38, atLeft, (*faces).textStyle, false},
		{"coupons", 52, atLeft, (*faces).labelStyle, false},
		{"resin in the vat", 34, atLeft, (*faces).labelStyle, false},
		{"print time", 28, atRight, (*faces).labelStyle, false},
		{"resin", 17, atRight, (*faces).textStyle, false},
		{"printed on", 20, atLeft, (*faces).textStyle, true},
	}
	var cells [][]string
	var time unit.Range
	for _, p := range c.Plates {
		var parts []string
		for _, it := range p.Items {
			name := it.Coupon.Name
			if it.Coupon.Code != "" {
				name = it.Coupon.Code
			}
			parts = append(parts, name)
		}
		time = time.Plus(p.PrintTimeMin)
		cells = append(cells, []string{path.Base(p.File), partsText(parts), p.Resin, unit.DurationRange(p.PrintTimeMin), unit.Volume(p.ResinML * 1000), ""})
	}
	blocks := []block{
		b.textBlock("All but the chocolate one are printed as drawn: nothing is made up for in them, so that they show what your printer and resin do. Print them flat on the plate with the exposure that the masters will have, and anew when resin or exposure changes.", b.f.text()),
		b.cautionBlock(cautionResin), b.cautionBlock(cautionPrint),
	}
	blocks = append(blocks, b.tableBlocks(cols, cells)...)
	blocks = append(blocks, b.titleBlock("Before you measure"))
	blocks = append(blocks, b.stepBlocks([]string{
		"Wash, dry and cure as the masters will be: a part goes on shrinking until it is cured.",
		"Let it cool to the room. Close the caliper and set it to zero.",
		"Measure each place twice, the part turned end for end between, and write both down.",
		"Give the readings to the program: mouldwright coupon read, or the page Plates of the workshop.",
	})...)
	b.flowing("plates", fmt.Sprintf("Print %s of coupons: about %s", unit.Count(len(c.Plates), "plate", "plates"), unit.Duration(time.Likely)), nil, blocks)
}

// couponText is what a page of one kind says.
type couponText struct {
	kind, heading string
	words         []string
	steps         []string
}

var couponPages = []couponText{
	{coupon.Foot, "How far do the first layers bulge?", []string{
		"Each pair of teeth begins a little higher than the one before; the number on it is that height in µm. A caliper over a pair finds its widest layer, which is its lowest. H0 stands on the plate.",
		"Expect the readings to fall from H0 on and then to stay. If a higher pair is wider than a lower one, measure both again.",
	}, []string{"Take the part off the plate without scraping its edges.", "Lay the jaws flat over both teeth of a pair and close them gently."}},
	{coupon.Size, "How much does it shrink, and does light bleed?", []string{
		"Each band has a step to measure over and a window to measure in; on the band stands over/in, in mm. Resin that shrinks makes both smaller. Light that bleeds past the mask makes steps wider and windows narrower. The program tells the two apart.",
	}, []string{"Keep the jaws off the lowest millimetre, which is drawn in.", "Measure windows with the small jaws in the middle of their height."}},
	{coupon.Detail, "What is the finest that prints?", []string{
		"Labels beside lines and gaps are hundredths of a mm. Figures in the front row are their own height in mm. Write the finest of each that came out whole.",
	}, []string{"Look through a lens, with light from the side.", "Wash gently: a brush takes fine lines away that the rubber would have copied."}},
	{coupon.Chocolate, "What is the finest that comes through in chocolate?", []string{
		"Piece, base and cup are one print. Pour what is left of your first mix of rubber into the cup, cure it, peel it out and cast one chocolate in it as you will cast the others. Labels are tenths of a mm; figures in the front row are their own height in mm.",
	}, []string{"Only over a resin whose cure test came out clean.", "Brush, tap or only pour: as you will for the gifts.", "Chill it, turn it out, and write down what left the mould whole."}},
}

func (b *book) couponPage(t couponText, list []*coupon.Coupon) {
	if len(list) == 0 {
		return
	}
	var blocks []block
	for _, s := range t.words {
		blocks = append(blocks, b.textBlock(s, b.f.text()))
	}
	if t.kind == coupon.Chocolate {
		c := list[0]
		s := b.r.Choices.Silicone
		blocks = append(blocks, b.cautionBlock(cautionFood), b.textBlock(fmt.Sprintf("The cup takes about %s of rubber (%s) up to two millimetres under its rim; the piece about %s of chocolate.",
			unit.Volume(c.RubberMM3), unit.Mass(c.RubberMM3/1000*s.DensityGML.Likely), unit.Mass(c.PieceMM3/1000*1.3)), b.f.text()))
	}
	room := b.measureOf()
	wide, deep := -6.0, 0.0
	for _, c := range list {
		wide += c.WidthMM + 6
		deep = math.Max(deep, c.DepthMM)
	}
	turned := t.kind == coupon.Foot // long and narrow: it lies along the page
	if turned {
		wide, deep = deep, wide
	}
	scale := math.Min(2, room/wide)
	if scale >= 1 {
		scale = scaleFor(wide, deep, room, 82)
	}
	blocks = append(blocks, block{height: deep*scale + 9, draw: func(p *page, y float64) {
		x := p.left()
		for _, c := range list {
			d := drawing{p: p, ox: x, oy: y + deep*scale + 2, scale: scale}
			for i, o := range c.Drawing {
				if turned {
					o = o.Transform(geom.Affine{B: 1, C: -1, E: c.DepthMM})
				}
				fill := none
				if i == 0 {
					fill = tint
				}
				d.outline(o, fill, ink, map[bool]float64{true: 0.3, false: hair}[i == 0])
			}
			w := c.WidthMM
			x += (w + 6) * scale
		}
		p.text(p.left(), y+deep*scale+6.5, "scale "+scaleText(scale), p.f.label(), atLeft)
	}})
	blocks = append(blocks, b.stepBlocks(t.steps)...)
	blocks = append(blocks, space(2))
	blocks = append(blocks, b.spotBlocks(t.kind, list)...)
	b.flowing("plates", t.heading, nil, blocks)
}

// spotBlocks are the table to write into.
func (b *book) spotBlocks(kind string, list []*coupon.Coupon) []block {
	cols := []column{
		{"place", 16, atLeft, (*faces).textStyle, false},
		{"drawn", 18, atRight, (*faces).textStyle, false},
		{"measure", 50, atLeft, (*faces).labelStyle, false},
		{"1st, mm", 24, atLeft, (*faces).textStyle, true},
		{"2nd, mm", 24, atLeft, (*faces).textStyle, true},
		{"3rd, mm", 24, atLeft, (*faces).textStyle, true},
	}
	if kind == coupon.Detail || kind == coupon.Chocolate {
		cols = []column{
			{"place", 20, atLeft, (*faces).textStyle, false},
			{"look at", 90, atLeft, (*faces).labelStyle, false},
			{"finest, mm", 30, atLeft, (*faces).textStyle, true},
			{"2nd print", 30, atLeft, (*faces).textStyle, true},
		}
	}
	var cells [][]string
	if kind == coupon.Size && len(list) == 2 { // both axes side by side
		cols = []column{
			{"x", 14, atLeft, (*faces).textStyle, false},
			{"1st, mm", 20, atLeft, (*faces).textStyle, true},
			{"2nd, mm", 20, atLeft, (*faces).textStyle, true},
			{"measure", 42, atLeft, (*faces).labelStyle, false},
			{"y", 14, atLeft, (*faces).textStyle, false},
			{"1st, mm", 20, atLeft, (*faces).textStyle, true},
			{"2nd, mm", 20, atLeft, (*faces).textStyle, true},
		}
		for i, x := range list[0].Places {
			cells = append(cells, []string{x.Name, "", "", x.What, list[1].Places[i].Name, "", ""})
		}
		return b.tableBlocks(cols, cells)
	}
	for _, c := range list {
		for _, s := range c.Places {
			if len(cols) == 4 {
				cells = append(cells, []string{s.Name, s.What, "", ""})
				continue
			}
			cells = append(cells, []string{s.Name, unit.Length(s.DrawnMM), s.What, "", "", ""})
		}
	}
	return b.tableBlocks(cols, cells)
}

// padPages list the cure test's pads by their codes.
func (b *book) padPages(pads []*coupon.Coupon) {
	if len(pads) == 0 {
		return
	}
	cols := []column{
		{"code", 16, atLeft, (*faces).textStyle, false},
		{"resin", 28, atLeft, (*faces).labelStyle, false},
		{"treatment", 40, atLeft, (*faces).labelStyle, false},
		{"coating", 24, atLeft, (*faces).labelStyle, false},
		{"poured at", 18, atLeft, (*faces).textStyle, true},
		{"body", 18, atLeft, (*faces).textStyle, true},
		{"skin", 18, atLeft, (*faces).textStyle, true},
		{"looked at", 18, atLeft, (*faces).textStyle, true},
	}
	var cells [][]string
	for _, c := range pads {
		cells = append(cells, []string{c.Code, c.Test.Resin, c.Test.Treatment, c.Test.Coating, "", "", "", ""})
	}
	words := fmt.Sprintf("Each pad carries the code of its combination in relief. Treat and coat it as its line says, then fill it to the rim with the mixed rubber: about %s each. Look at it when the rubber's full cure time is over: lift a corner and feel the body, then the side that lay on the print.", unit.Volume(pads[0].RubberMM3))
	blocks := []block{b.textBlock(words, b.f.text()), b.textBlock("Write liquid, gummy, tacky skin or clean. Only clean, in body and skin, lets you pour; and only for exactly this combination.", b.f.text()), b.cautionBlock(cautionCure)}
	c := pads[0]
	blocks = append(blocks, block{height: c.DepthMM + 8, draw: func(p *page, y float64) {
		for k, c := range pads[:min(len(pads), 6)] {
			d := drawing{p: p, ox: p.left() + float64(k)*(c.WidthMM+5), oy: y + c.DepthMM + 2, scale: 1}
			if d.ox+c.WidthMM > p.right() {
				break
			}
			for i, o := range c.Drawing {
				fill := none
				if i == 0 {
					fill = tint
				}
				d.outline(o, fill, ink, map[bool]float64{true: 0.3, false: hair}[i == 0])
			}
		}
		p.text(p.left(), y+c.DepthMM+6.5, "scale "+scaleText(1), p.f.label(), atLeft)
	}})
	blocks = append(blocks, b.tableBlocks(cols, cells)...)
	b.flowing("plates", title(unit.Count(len(pads), "pad", "pads"))+" for the cure test", nil, blocks)
}

// title begins with a capital.
func title(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
