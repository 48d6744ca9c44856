package svg

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// shape draws a path or one of the basic shapes (SVG 1.1, 8 and 9).
func (w *walker) shape(n *node, st state) {
	props, ok := w.enter(n, &st)
	if !ok || st.style.hidden {
		return
	}
	p := w.pathOf(n, st.sc)
	if len(p) == 0 || w.err != nil {
		return
	}
	if !w.clipTo(n, &st, props, func() geom.Rect { return boxOf(p) }) {
		return
	}
	if st.style.markers && (n.name == "path" || n.name == "line" || n.name == "polyline" || n.name == "polygon") && !st.inClip {
		w.warn(finding.Care, n, "markers (arrow heads) are not drawn", "turn them into paths in the drawing")
	}
	if n.name == "line" {
		st.style.fill = colour{}
	}
	w.shapes = append(w.shapes, shape{node: n, path: p, toPage: st.toPage, style: st.style,
		fixedPen: props["vector-effect"] == "non-scaling-stroke", clips: st.clips})
}

// boxOf is the bounding box of a path in user units, as clipPathUnits means it:
// of the geometry, without stroke.
func boxOf(p path) geom.Rect {
	rough := geom.EmptyRect()
	for _, s := range p {
		if s.Op != 'Z' {
			rough.Add(s.To)
		}
		if s.Op == 'A' {
			rough = geom.Rect{Min: geom.Vec{X: math.Min(rough.Min.X, s.To.X-2*math.Abs(s.Rx)), Y: math.Min(rough.Min.Y, s.To.Y-2*math.Abs(s.Ry))},
				Max: geom.Vec{X: math.Max(rough.Max.X, s.To.X+2*math.Abs(s.Rx)), Y: math.Max(rough.Max.Y, s.To.Y+2*math.Abs(s.Ry))}}
		}
	}
	size := math.Max(rough.W(), rough.H())
	if !(size > 0) {
		return rough
	}
	k := workMM / size
	lines, err := p.flatten(geom.Move(-rough.Min.X, -rough.Min.Y).Then(geom.Scale(k, k))).Polylines()
	if err != nil {
		return geom.EmptyRect()
	}
	exact := geom.EmptyRect()
	for _, l := range lines {
		for _, v := range l.P {
			exact.Add(geom.Vec{X: v.X/k + rough.Min.X, Y: v.Y/k + rough.Min.Y})
		}
	}
	return exact
}

// pathOf reads the geometry of an element in user units.
func (w *walker) pathOf(n *node, sc scale) (p path) {
	num := func(name string, a axis) float64 { return w.length(n, name, n.attr[name], 0, sc, a) }
	switch n.name {
	case "path":
		p, fault, huge := pathData(n.attr["d"])
		switch {
		case huge:
			w.tooBig(n, "d", n.attr["d"][max(0, fault-1):])
		case fault > 0:
			w.warn(finding.Care, n, fmt.Sprintf("its path data has a fault at character %d (\"%s\"); only what stands before is drawn", fault, clip(tail(n.attr["d"], fault))), "save the drawing again")
		}
		return p
	case "rect":
		x, y, wd, ht := num("x", alongX), num("y", alongY), num("width", alongX), num("height", alongY)
		if !(wd > 0 && ht > 0) {
			return nil
		}
		rx, ry := num("rx", alongX), num("ry", alongY)
		_, hasX := n.attr["rx"]
		_, hasY := n.attr["ry"]
		if !hasX || n.attr["rx"] == "auto" {
			rx = ry
		} else if !hasY || n.attr["ry"] == "auto" {
			ry = rx
		}
		p.rect(x, y, wd, ht, math.Min(rx, wd/2), math.Min(ry, ht/2))
	case "circle":
		if r := num("r", diagonal); r > 0 {
			p.oval(geom.Vec{X: num("cx", alongX), Y: num("cy", alongY)}, r, r)
		}
	case "ellipse":
		rx, ry := num("rx", alongX), num("ry", alongY)
		if v := n.attr["rx"]; v == "" || v == "auto" {
			rx = ry
		} else if v := n.attr["ry"]; v == "" || v == "auto" {
			ry = rx
		}
		if rx > 0 && ry > 0 {
			p.oval(geom.Vec{X: num("cx", alongX), Y: num("cy", alongY)}, rx, ry)
		}
	case "line":
		p.move(geom.Vec{X: num("x1", alongX), Y: num("y1", alongY)})
		p.line(geom.Vec{X: num("x2", alongX), Y: num("y2", alongY)})
	case "polyline", "polygon":
		v, ok, huge := numbers(n.attr["points"], MaxBytes)
		if huge {
			w.tooBig(n, "points", n.attr["points"])
		} else if !ok || len(v)%2 == 1 {
			w.warn(finding.Care, n, "its list of points has a fault; only the points before it are drawn", "save the drawing again")
		}
		for i := 0; i+1 < len(v); i += 2 {
			if pt := (geom.Vec{X: v[i], Y: v[i+1]}); i == 0 {
				p.move(pt)
			} else {
				p.line(pt)
			}
		}
		if n.name == "polygon" && len(p) > 0 {
			p.close()
		}
	}
	return p
}

// tail is what stands at character i (from 1) of s.
func tail(s string, i int) string {
	if i > len(s) {
		return "end"
	}
	return s[i-1:]
}
