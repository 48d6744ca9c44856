package sheet

import (
	"fmt"
	"image/color"
	"math"

	"github.com/tdewolff/canvas"

	"mouldwright/internal/base/geom"
)

// Line widths in mm, of the 1 : 2 series of ISO 128-2: outlines wide, the rest narrow.
const (
	wide   = 0.35
	narrow = 0.18
	hair   = 0.13
)

// drawing maps mm of the thing to mm of the page: x right, y up, the origin at
// (ox, oy) on the page.
type drawing struct {
	p      *page
	ox, oy float64
	scale  float64 // page mm for one mm of the thing
}

// scales are the recommended ones of ISO 5455, enlargements first.
var scales = []float64{10, 5, 2, 1, 0.5, 0.2, 0.1, 0.05}

// scaleFor is the largest recommended scale at which w x h fits the room.
func scaleFor(w, h, roomW, roomH float64) float64 {
	for _, s := range scales {
		if w*s <= roomW && h*s <= roomH {
			return s
		}
	}
	return math.Min(roomW/math.Max(w, 1e-9), roomH/math.Max(h, 1e-9))
}

// scaleText words a scale: "2 : 1".
func scaleText(s float64) string {
	if s >= 1 {
		return fmt.Sprintf("%g : 1", s)
	}
	return fmt.Sprintf("1 : %.4g", 1/s)
}

// at is a place of the thing on the page.
func (d drawing) at(v geom.Vec) (x, y float64) { return d.ox + v.X*d.scale, d.oy - v.Y*d.scale }

func (d drawing) path(lines []Line, close bool) *canvas.Path {
	p := &canvas.Path{}
	for _, l := range lines {
		for i, v := range l {
			x, y := d.at(v)
			if i == 0 {
				p.MoveTo(x, d.p.height-y)
			} else {
				p.LineTo(x, d.p.height-y)
			}
		}
		if close || (len(l) > 3 && l[0] == l[len(l)-1]) {
			p.Close()
		}
	}
	return p
}

// ringLines is an outline as lines, with points closer than the eye sees left out.
func (d drawing) ringLines(o geom.Outline) []Line {
	var out []Line
	for _, r := range o {
		l := append(append(Line{}, r...), r[0])
		// A twentieth of a narrow line.
		out = append(out, Line(simple(l[:len(l)-1], 0.01/d.scale)))
	}
	return out
}

// outline draws rings as lines, filled when the fill has opacity.
func (d drawing) outline(o geom.Outline, fill, line color.RGBA, width float64) {
	if len(o) == 0 {
		return
	}
	c := d.p.c
	c.SetFill(canvas.Paint{})
	c.SetStroke(canvas.Paint{})
	if fill.A > 0 {
		c.SetFill(canvas.Paint{Color: fill})
	}
	if line.A > 0 {
		c.SetStroke(canvas.Paint{Color: line})
	}
	c.SetStrokeWidth(width)
	c.SetStrokeJoiner(canvas.RoundJoin)
	c.SetDashes(0)
	c.DrawPath(0, 0, d.path(d.ringLines(o), true))
}

// lines draws open or closed lines.
func (d drawing) lines(l []Line, col color.RGBA, width float64) {
	if len(l) == 0 {
		return
	}
	d.p.c.SetFill(canvas.Paint{})
	d.p.c.SetStroke(canvas.Paint{Color: col})
	d.p.c.SetStrokeWidth(width)
	d.p.c.SetStrokeJoiner(canvas.RoundJoin)
	d.p.c.SetDashes(0)
	d.p.c.DrawPath(0, 0, d.path(l, false))
}

// centreLine draws a long-dash-dot line (ISO 128-2, line 04.1), reaching 2.5 mm of
// the page beyond both ends.
func (d drawing) centreLine(a, b geom.Vec) {
	x0, y0 := d.at(a)
	x1, y1 := d.at(b)
	l := math.Hypot(x1-x0, y1-y0)
	if l == 0 {
		return
	}
	ex, ey := 2.5*(x1-x0)/l, 2.5*(y1-y0)/l
	c := d.p.c
	c.SetFill(canvas.Paint{})
	c.SetStroke(canvas.Paint{Color: soft})
	c.SetStrokeWidth(hair)
	c.SetDashes(0, 30, 5, 2, 5) // the PDF writer counts dashes in line widths
	path := &canvas.Path{}
	path.MoveTo(x0-ex, d.p.height-(y0-ey))
	path.LineTo(x1+ex, d.p.height-(y1+ey))
	c.DrawPath(0, 0, path)
	c.SetDashes(0)
}
