package sheet

import (
	"image/color"
	"math"
	"sort"

	"mouldwright/internal/base/geom"
)

// hatch is how a cut surface is filled, so that one tells materials apart without
// colour: direction, distance on the page, broken or whole, one way or both.
type hatch struct {
	name   string
	deg    float64
	gapMM  float64 // on the page
	both   bool
	dashMM float64 // 0 for whole lines
	colour color.RGBA
	tint   color.RGBA
}

// The materials, as every drawing has them.
var (
	hatchShell   = hatch{"shell", 45, 1.1, false, 0, ink, color.RGBA{0xee, 0xe0, 0xd2, 255}}
	hatchFilling = hatch{"filling", 0, 1.3, false, 1.1, color.RGBA{0x8a, 0x6a, 0x20, 255}, color.RGBA{0xfb, 0xf3, 0xdd, 255}}
	hatchCap     = hatch{"cap", 135, 0.75, false, 0, ink, color.RGBA{0xee, 0xe0, 0xd2, 255}}
	hatchRubber  = hatch{"rubber", 30, 2.2, false, 2.4, color.RGBA{0x52, 0x6a, 0x78, 255}, color.RGBA{0xee, 0xf3, 0xf5, 255}}
	hatchResin   = hatch{"resin", 45, 1.0, true, 0, color.RGBA{0x80, 0x80, 0x80, 255}, color.RGBA{0xf2, 0xf2, 0xf2, 255}}
)

// maxHatchLines bounds one hatching.
const maxHatchLines = 20_000

// hatched fills an outline, by the even-odd rule.
func (d drawing) hatched(o geom.Outline, h hatch, line float64) {
	if len(o) == 0 {
		return
	}
	d.outline(o, h.tint, color.RGBA{}, 0)
	d.lines(hatchLines(o, h, d.scale), h.colour, hair)
	d.outline(o, color.RGBA{}, ink, line)
}

// hatchLines are the lines of a hatching, in mm of the thing.
func hatchLines(o geom.Outline, h hatch, scale float64) []Line {
	out := sweep(o, h.deg, h.gapMM/scale, h.dashMM/scale)
	if h.both {
		out = append(out, sweep(o, h.deg+90, h.gapMM/scale, h.dashMM/scale)...)
	}
	return out
}

// sweep clips parallel lines to the outline: in a frame turned by the angle, each
// line is level and its crossings with the edges pair up.
func sweep(o geom.Outline, deg, gap, dash float64) []Line {
	t := o.Transform(geom.Turn(-deg))
	back := geom.Turn(deg)
	b := t.Bounds()
	if b.Empty() || !(gap > 0) || b.H()/gap > maxHatchLines {
		return nil
	}
	var out []Line
	row := 0
	// Lines lie on multiples of the gap, so that neighbouring regions match.
	for k := math.Ceil(b.Min.Y/gap + 0.01); k*gap < b.Max.Y; k++ {
		y := k * gap
		var xs []float64
		for _, r := range t {
			for i, p := range r {
				q := r[(i+1)%len(r)]
				if (p.Y <= y) != (q.Y <= y) {
					xs = append(xs, p.X+(y-p.Y)/(q.Y-p.Y)*(q.X-p.X))
				}
			}
		}
		sort.Float64s(xs)
		for i := 0; i+1 < len(xs); i += 2 {
			if dash == 0 {
				out = append(out, Line{back.Apply(geom.Vec{X: xs[i], Y: y}), back.Apply(geom.Vec{X: xs[i+1], Y: y})})
				continue
			}
			// Dashes of neighbouring lines are set off by half a period.
			period := 1.7 * dash
			start := math.Floor(xs[i]/period)*period + float64(row%2)*period/2 - period
			for x := start; x < xs[i+1]; x += period {
				a, e := math.Max(x, xs[i]), math.Min(x+dash, xs[i+1])
				if e-a > 0.15*dash {
					out = append(out, Line{back.Apply(geom.Vec{X: a, Y: y}), back.Apply(geom.Vec{X: e, Y: y})})
				}
				if len(out) > maxHatchLines {
					return out
				}
			}
		}
		row++
	}
	return out
}

// swatch draws a hatching with its name, as a key to the drawing, and gives its width.
func (p *page) swatch(x, y float64, h hatch) float64 {
	d := drawing{p: p, ox: x, oy: y, scale: 1}
	d.hatched(geom.Outline{{{X: 0, Y: 0}, {X: 7, Y: 0}, {X: 7, Y: 3.6}, {X: 0, Y: 3.6}}}, h, narrow)
	return 9 + p.text(x+8.6, y-0.6, h.name, p.f.label(), atLeft)
}
