package sheet

import (
	"fmt"
	"image/color"
	"math"

	"github.com/tdewolff/canvas"
)

// plot maps two quantities into a box of a page: x to the right, y upwards.
type plot struct {
	p          *page
	x, y, w, h float64 // of the box on the page, mm
	x0, x1     float64 // quantities at its left and right edge
	y0, y1     float64 // at its lower and upper edge
}

func (g plot) atX(v float64) float64 { return g.x + (v-g.x0)/(g.x1-g.x0)*g.w }
func (g plot) atY(v float64) float64 { return g.y + (g.y1-v)/(g.y1-g.y0)*g.h }

// rules draws the axis to the left: hairlines at round values.
func (g plot) rules(most int) {
	for _, v := range ticks(g.y0, g.y1, most) {
		g.p.line(g.x, g.atY(v), g.x+g.w, g.atY(v), hair, rule)
		g.p.text(g.x-1.6, g.atY(v)+0.9, fmt.Sprintf("%g", v), g.p.f.figure(), atRight)
	}
}

// axis draws the axis below, with ticks and their words.
func (g plot) axis(at []float64, word func(float64) string) {
	y := g.y + g.h
	g.p.line(g.x, y, g.x+g.w, y, narrow, ink)
	for _, v := range at {
		g.p.line(g.atX(v), y, g.atX(v), y+1.2, narrow, ink)
		g.p.text(g.atX(v), y+4.4, word(v), g.p.f.figure(), atMiddle)
	}
}

// curve draws a line through points.
func (g plot) curve(xs, ys []float64, c color.RGBA, width float64, dashes ...float64) {
	g.p.c.SetFill(canvas.Paint{})
	g.p.c.SetStroke(canvas.Paint{Color: c})
	g.p.c.SetStrokeWidth(width)
	g.p.c.SetStrokeJoiner(canvas.RoundJoin)
	g.p.c.SetDashes(0, dashes...)
	path := &canvas.Path{}
	for i, v := range xs {
		if i == 0 {
			path.MoveTo(g.atX(v), g.p.height-g.atY(ys[i]))
		} else {
			path.LineTo(g.atX(v), g.p.height-g.atY(ys[i]))
		}
	}
	g.p.c.DrawPath(0, 0, path)
	g.p.c.SetDashes(0)
}

// band fills the room between two lines.
func (g plot) band(xs, low, high []float64, fill color.RGBA) {
	g.p.c.SetFill(canvas.Paint{Color: fill})
	g.p.c.SetStroke(canvas.Paint{})
	path := &canvas.Path{}
	for i, v := range xs {
		if i == 0 {
			path.MoveTo(g.atX(v), g.p.height-g.atY(high[i]))
		} else {
			path.LineTo(g.atX(v), g.p.height-g.atY(high[i]))
		}
	}
	for i := len(xs) - 1; i >= 0; i-- {
		path.LineTo(g.atX(xs[i]), g.p.height-g.atY(low[i]))
	}
	path.Close()
	g.p.c.DrawPath(0, 0, path)
}

// ticks are round numbers from low to high, at most so many steps.
func ticks(low, high float64, most int) (out []float64) {
	if !(high > low) || most < 1 {
		return nil
	}
	rough := (high - low) / float64(most)
	e := math.Pow(10, math.Floor(math.Log10(rough)))
	step := 10 * e
	for _, k := range [...]float64{5, 2, 1} {
		if k*e >= rough*0.999 {
			step = k * e
		}
	}
	for n := math.Ceil(low/step - 1e-9); n*step <= high+1e-9*step; n++ {
		out = append(out, n*step+0) // no -0
	}
	return out
}

// timeTicks are minutes as a clock is read.
func timeTicks(min float64, most int) (out []float64) {
	step := 2880.0
	for _, s := range [...]float64{1440, 480, 240, 120, 60, 30, 15, 10, 5, 2, 1} {
		if min/s <= float64(most) {
			step = s
		}
	}
	for v := 0.0; v <= min+1e-9; v += step {
		out = append(out, v)
	}
	return out
}

// clock words minutes from a beginning: 0:40, 2:05.
func clock(min float64) string {
	m := int(min + 0.5)
	return fmt.Sprintf("%d:%02d", m/60, m%60)
}

// warmth is one scale from cold to warm whose lightness falls evenly; the page has the
// same.
var warmth = [...]color.RGBA{{0xfb, 0xee, 0xda, 255}, {0xe9, 0xcb, 0xa5, 255}, {0xd7, 0xa6, 0x77, 255}, {0xc1, 0x83, 0x53, 255}, {0xa5, 0x63, 0x3d, 255}, {0x82, 0x49, 0x32, 255}, {0x5b, 0x34, 0x2a, 255}}

// warm is the colour of a share from 0, cold, to 1, warm.
func warm(share float64) color.RGBA {
	at := math.Min(math.Max(share, 0), 1) * float64(len(warmth)-1)
	i := min(int(at), len(warmth)-2)
	mix := func(a, b uint8) uint8 { return uint8(float64(a) + (float64(b)-float64(a))*(at-float64(i)) + 0.5) }
	a, b := warmth[i], warmth[i+1]
	return color.RGBA{mix(a.R, b.R), mix(a.G, b.G), mix(a.B, b.B), 255}
}
