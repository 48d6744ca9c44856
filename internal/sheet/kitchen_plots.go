package sheet

import (
	"fmt"
	"image/color"
	"math"
	"slices"

	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/kitchen/chill"
)

// Tints of the kitchen's plots, as light as a hatching.
var (
	bandTint  = color.RGBA{0xd9, 0xe6, 0xdd, 255} // where one shall be
	chocTint  = color.RGBA{0xe6, 0xdb, 0xd0, 255} // from the coolest to the warmest place
	wetTint   = color.RGBA{0xf6, 0xe0, 0xd8, 255} // where what makes ill can grow
	goldLine  = color.RGBA{0x8a, 0x6a, 0x20, 255}
	steelLine = color.RGBA{0x52, 0x6a, 0x78, 255}
)

func celsius(c float64) string { return fmt.Sprintf("%g\u00a0°C", math.Round(2*c)/2) }

// temperBlock is tempering by seeding as a curve with its bands. Along it stands the
// order, not the time.
func (b *book) temperBlock(c *flow.PlanBowl, roomC float64) block {
	const h = 52.0
	return block{height: h + 11, draw: func(p *page, y float64) {
		g := plot{p: p, x: p.left() + 8, y: y + 3, w: p.measure() - 38, h: h, x0: 0, x1: 1, y0: math.Min(roomC, 22) - 3, y1: c.MeltC.High + 4}
		zone := func(x0, x1 float64, r unit.Range, fill, line color.RGBA) {
			p.box(g.atX(x0), g.atY(r.High), g.atX(x1)-g.atX(x0), g.atY(r.Low)-g.atY(r.High), fill, line, hair)
		}
		zone(0.1, 0.36, c.MeltC, bandTint, none)
		zone(0.56, 1, c.WorkC, bandTint, none)
		g.rules(8)
		zone(0.44, 0.6, c.SeedC, none, soft)
		for i, name := range []string{"form IV melts", "form V melts"} {
			v := material.CocoaFormC[3+i]
			g.curve([]float64{0, 1}, []float64{v, v}, soft, hair, 30, 5, 2, 5)
			p.text(g.x+g.w+2, g.atY(v)+0.9, name, p.f.label(), atLeft)
		}
		var xs, ys []float64
		for i := 0; i <= 100; i++ {
			x := float64(i) / 100
			v := c.WorkC.Likely
			switch {
			case x < 0.2:
				v = roomC + (c.MeltC.Likely-roomC)*ease(x/0.2)
			case x < 0.32:
				v = c.MeltC.Likely
			case x < 0.6:
				v = c.MeltC.Likely + (c.WorkC.Likely-c.MeltC.Likely)*ease((x-0.32)/0.28)
			}
			xs, ys = append(xs, x), append(ys, v)
		}
		g.curve(xs, ys, ink, 0.6)
		p.text(g.atX(0.11), g.atY(c.MeltC.High)-1.2, "melt, "+unit.Spread(c.MeltC, celsius), p.f.figure(), atLeft)
		p.text(g.atX(0.5), g.atY(c.MeltC.Likely-5), "take off the heat, stir in the seed", p.f.figure(), atLeft)
		p.text(g.atX(0.72), g.atY(c.WorkC.High)-6, "work, "+unit.Spread(c.WorkC, celsius), p.f.figure(), atLeft)
		p.text(g.atX(0.44), g.atY(c.SeedC.Low)+3.6, "without seed: cool to "+unit.Spread(c.SeedC, celsius), p.f.label(), atLeft)
		p.line(g.x, g.y+g.h, g.x+g.w, g.y+g.h, narrow, ink)
		p.text(g.x, g.y+g.h+4, "solid, in the room", p.f.label(), atLeft)
		p.text(g.x+g.w, g.y+g.h+4, "stays in its band for "+unit.DurationRange(c.WorkMin), p.f.label(), atRight)
		p.text(p.left(), y+1, "°C", p.f.label(), atLeft)
	}}
}

func ease(t float64) float64 { return t * t * (3 - 2*t) }

// courseBlock is one chilling: the section through the mould when the last place sets,
// and how warm it was until then. at is nil where there is no section.
func (b *book) courseBlock(c *flow.PlanCourse, set unit.Range, at *chill.Section, last []float64) block {
	const h = 50.0
	return block{height: h + 20, draw: func(p *page, y float64) {
		half := (p.measure() - 10) * 0.46
		if at != nil {
			p.chillSection(p.left(), y+6, half, h-8, at, last, c.SetMin)
		}
		g := plot{p: p, x: p.left() + half + 18, y: y + 4, w: p.measure() - half - 36, h: h}
		g.x1 = math.Max(set.High*1.06, c.Min[len(c.Min)-1])
		g.y0, g.y1 = math.Inf(1), slices.Max(c.WarmestC)+1
		for _, list := range [][]float64{c.CoolestC, c.RubberC, c.FillingC} {
			g.y0, g.y1 = math.Min(g.y0, slices.Min(list)-1), math.Max(g.y1, slices.Max(list)+1)
		}
		p.box(g.atX(set.Low), g.y, g.atX(set.High)-g.atX(set.Low), g.h, bandTint, none, 0)
		g.rules(6)
		g.band(c.Min, c.CoolestC, c.WarmestC, chocTint)
		p.line(g.atX(set.Likely), g.y, g.atX(set.Likely), g.y+g.h, 0.4, do)
		g.curve(c.Min, c.MeanC, ink, 0.55)
		ends := []struct {
			name string
			v    float64
		}{{"chocolate", c.MeanC[len(c.MeanC)-1]}, {"rubber", c.RubberC[len(c.RubberC)-1]}}
		if c.Stage == "cap" {
			g.curve(c.Min, c.FillingC, goldLine, 0.4, 3, 3)
			ends = append(ends, struct {
				name string
				v    float64
			}{"filling", c.FillingC[len(c.FillingC)-1]})
		}
		g.curve(c.Min, c.RubberC, steelLine, 0.4, 9, 5)
		slices.SortStableFunc(ends, func(a, b struct {
			name string
			v    float64
		}) int {
			return int(math.Copysign(1, b.v-a.v))
		})
		ty := 0.0
		for _, e := range ends {
			ty = math.Max(ty+3.4, g.atY(e.v)+1)
			p.text(g.atX(c.Min[len(c.Min)-1])+1.4, ty, e.name, p.f.figure(), atLeft)
		}
		g.axis(ticks(0, g.x1, 6), func(v float64) string { return fmt.Sprintf("%g", v) })
		p.text(g.x, y+1.6, "°C", p.f.label(), atRight)
		p.text(g.x+g.w, g.y+g.h+8.4, "minutes in the fridge", p.f.label(), atRight)
		p.text(g.x, g.y+g.h+8.4, "set within "+unit.DurationRange(set), p.f.label(), atLeft)
	}}
}

// chillSection draws temperatures in the upright cut: the open side up, the art below.
func (p *page) chillSection(x, y, w, h float64, s *chill.Section, last []float64, setMin float64) {
	k := math.Min(w/(float64(s.W)*s.CellMM), (h-12)/(float64(s.H)*s.CellMM))
	x += (w - k*float64(s.W)*s.CellMM) / 2
	low, high := math.Inf(1), math.Inf(-1)
	for n, c := range s.TempC {
		if s.Matter[n] != chill.Air {
			low, high = math.Min(low, float64(c)), math.Max(high, float64(c))
		}
	}
	low, high = math.Floor(low), math.Max(math.Ceil(high), math.Floor(low)+1)
	d := k * s.CellMM
	for row := range s.H {
		for i := 0; i < s.W; {
			n := row*s.W + i
			level := math.Round(2 * float64(s.TempC[n]))
			j := i + 1
			for j < s.W && s.Matter[row*s.W+j] != chill.Air && math.Round(2*float64(s.TempC[row*s.W+j])) == level {
				j++
			}
			if s.Matter[n] != chill.Air {
				// A little larger than it is: readers leave hairs between neighbours.
				p.box(x+float64(i)*d, y+float64(row)*d, float64(j-i)*d+0.03, d+0.03, warm((level/2-low)/(high-low)), none, 0)
			}
			i = j
		}
	}
	// Lines where one matter meets another.
	for row := range s.H {
		for i := range s.W {
			m := s.Matter[row*s.W+i]
			if i+1 < s.W && s.Matter[row*s.W+i+1] != m {
				p.line(x+float64(i+1)*d, y+float64(row)*d, x+float64(i+1)*d, y+float64(row+1)*d, hair, ink)
			}
			if row+1 < s.H && s.Matter[(row+1)*s.W+i] != m {
				p.line(x+float64(i)*d, y+float64(row+1)*d, x+float64(i+1)*d, y+float64(row+1)*d, hair, ink)
			}
		}
	}
	p.text(x, y-1.4, "open side up", p.f.label(), atLeft)
	if len(last) == 3 {
		lx, ly := x+(last[0]-s.X0MM+s.CellMM/2)*k, y+last[2]*k
		p.box(lx-1, ly-1, 2, 2, color.RGBA{255, 255, 255, 255}, ink, 0.3)
		p.line(lx, ly-1, lx, y-0.8, 0.2, ink)
		p.text(lx+1.2, y-1.4, "sets last, after "+unit.Duration(setMin), p.f.figure(), atLeft)
	}
	ly := y + float64(s.H)*d + 3
	long := math.Min(60, k*float64(s.W)*s.CellMM)
	lx := x + (k*float64(s.W)*s.CellMM-long)/2
	for i := range 40 {
		p.box(lx+float64(i)*long/40, ly, long/40+0.03, 2.6, warm((float64(i)+0.5)/40), none, 0)
	}
	for _, v := range ticks(low, high, 5) {
		p.text(lx+(v-low)/(high-low)*long, ly+5.8, fmt.Sprintf("%g", v), p.f.figure(), atMiddle)
	}
	p.text(lx+long+2, ly+2.4, "°C", p.f.label(), atLeft)
}

// waterBlock is a filling's water activity on its scale.
func (b *book) waterBlock(a unit.Range) block {
	return block{height: 22, draw: func(p *page, y float64) {
		g := plot{p: p, x: p.left() + 1, y: y + 5, w: p.measure() - 2, h: 7, x0: math.Min(0.5, math.Floor(a.Low*10)/10), x1: 1}
		bounds := []float64{g.x0, 0.6, 0.7, 0.85, 1}
		p.box(g.atX(0.85), g.y, g.atX(1)-g.atX(0.85), g.h, wetTint, none, 0)
		p.box(g.atX(a.Low), g.y-1.4, math.Max(0.6, g.atX(a.High)-g.atX(a.Low)), g.h+2.8, bandTint, do, 0.25)
		for i, name := range []string{"as long as its fat", "months", "weeks", "days, chilled"} {
			x0, x1 := g.atX(bounds[i]), g.atX(bounds[i+1])
			p.box(x0, g.y, x1-x0, g.h, none, soft, hair)
			if x1-x0 > 14 {
				p.text((x0+x1)/2, g.y+4.6, name, p.f.label(), atMiddle)
			}
			at := atMiddle
			if i == 0 {
				at = atLeft
			}
			p.text(x0, g.y+g.h+4.6, fmt.Sprintf("%.2f", bounds[i]), p.f.figure(), at)
		}
		p.text(g.atX(1), g.y+g.h+4.6, "1.00", p.f.figure(), atRight)
		p.line(g.atX(a.Likely), g.y-2, g.atX(a.Likely), g.y+g.h+2, 0.5, do)
		p.text(math.Min(math.Max(g.atX(a.Likely), p.left()+20), p.right()-20), g.y-2.8, fmt.Sprintf("water activity %.2f-%.2f, likely %.2f", a.Low, a.High, a.Likely), p.f.figure(), atMiddle)
	}}
}

// eveningBlock is the evening as lines of time, one for each bowl and each mould.
func (b *book) eveningBlock() block {
	k := &b.r.Plan.Kitchen
	var lines []string
	for _, c := range k.Chocolate {
		if slices.ContainsFunc(k.Evening, func(s flow.PlanStep) bool { return s.Bowl == c.Name }) {
			lines = append(lines, c.Name)
		}
	}
	lines = append(lines, k.Moulds...)
	const row = 6.2
	return block{height: float64(len(lines))*row + 17, draw: func(p *page, y float64) {
		g := plot{p: p, x: p.left() + 26, y: y + 2, w: p.measure() - 27, h: float64(len(lines)) * row, x1: math.Max(1, k.EveningMin)}
		for i, l := range lines {
			at := g.y + (float64(i)+0.5)*row
			p.within(g.x-2, at+1.2, 24, l, p.f.text(), atRight)
			p.line(g.x, at, g.x+g.w, at, hair, rule)
		}
		for _, s := range k.Evening {
			of := s.Mould + s.Bowl
			i := slices.Index(lines, of)
			if i < 0 {
				continue
			}
			fill, line := ink, none
			switch {
			case s.Bowl != "":
				fill = do
			case !s.Hands:
				fill, line = color.RGBA{255, 255, 255, 255}, ink
			}
			p.box(g.atX(s.StartMin), g.y+float64(i)*row+1, math.Max(0.25, g.atX(s.EndMin)-g.atX(s.StartMin)-0.1), row-2, fill, line, 0.2)
		}
		g.axis(timeTicks(k.EveningMin, 10), clock)
		ky := g.y + g.h + 10
		for _, s := range []struct {
			name       string
			fill, line color.RGBA
		}{{"hands", ink, none}, {"tempering, warming", do, none}, {"in the fridge", color.RGBA{255, 255, 255, 255}, ink}} {
			p.box(g.x, ky-2.4, 6, 3, s.fill, s.line, 0.2)
			g.x += 8 + p.text(g.x+7.4, ky, s.name, p.f.label(), atLeft) + 4
		}
	}}
}
