package svg

import (
	"math"
	"strconv"
	"strings"

	"golang.org/x/image/colornames"

	"mouldwright/internal/base/finding"
)

// properties are the CSS properties that this package reads, as presentation
// attributes and in style sheets. transform is an attribute and a property.
var properties = map[string]bool{
	"fill": true, "fill-rule": true, "clip-rule": true, "fill-opacity": true,
	"stroke": true, "stroke-width": true, "stroke-linecap": true, "stroke-linejoin": true,
	"stroke-miterlimit": true, "stroke-dasharray": true, "stroke-dashoffset": true, "stroke-opacity": true,
	"color": true, "font-size": true, "visibility": true, "paint-order": true,
	"display": true, "opacity": true, "clip-path": true, "mask": true, "filter": true, "overflow": true,
	"marker": true, "marker-start": true, "marker-mid": true, "marker-end": true,
	"vector-effect": true, "transform": true, "transform-origin": true, "mix-blend-mode": true,
}

// paint is what a fill or stroke does to the outline.
type paint int

const (
	nothing paint = iota
	ink
	paper
)

// colour is a paint with what remains of it when it is see-through.
type colour struct {
	paint   paint
	partial bool // neither opaque nor fully transparent
}

// style is what an element inherits, with lengths in user units.
type style struct {
	fill, stroke           colour
	current                colour // of "color", for currentColor
	fillAlpha, strokeAlpha float64
	evenOdd, clipEvenOdd   bool
	widthPx                float64
	cap, join              string
	miterLimit             float64
	dashes                 []float64
	dashOffset             float64
	hidden                 bool
	strokeFirst            bool
	fontPx                 float64
	markers                bool
}

// initialStyle is CSS's and SVG's initial values (by definition of SVG 2), lengths in px.
var initialStyle = style{
	fill: colour{paint: ink}, current: colour{paint: ink}, fillAlpha: 1, strokeAlpha: 1,
	widthPx: 1, cap: "butt", join: "miter", miterLimit: 4, fontPx: initialFontPx,
}

// maxDashes bounds the numbers of one dash list (our choice: drawings use a few).
const maxDashes = 1000

// inherit gives the style of n: what its parent had, changed by its declarations.
func (w *walker) inherit(n *node, st style, props map[string]string, sc scale) style {
	get := func(name string) (string, bool) {
		v, ok := props[name]
		return v, ok && v != "inherit" && v != ""
	}
	length := func(name string, a axis) (float64, bool) {
		v, has := get(name)
		if !has {
			return 0, false
		}
		x, ok, huge := sc.length(v, a)
		if huge {
			w.tooBig(n, name, v)
		}
		return x, ok
	}
	if v, ok := length("font-size", alongY); ok && v > 0 {
		st.fontPx = v
		if s := props["font-size"]; strings.HasSuffix(s, "%") { // of the parent's size, not of the page
			if p, err := strconv.ParseFloat(strings.TrimSuffix(s, "%"), 64); err == nil {
				st.fontPx = sc.fontPx * p / 100
			}
		}
		sc.fontPx = st.fontPx
	}
	if v, ok := get("color"); ok {
		if c, good := readColour(v, st.current); good {
			st.current = c
		}
	}
	if v, ok := get("fill"); ok {
		st.fill = w.paintOf(n, v, st.fill, st.current)
	}
	if v, ok := get("stroke"); ok {
		st.stroke = w.paintOf(n, v, st.stroke, st.current)
	}
	if v, ok := get("fill-opacity"); ok {
		st.fillAlpha = alpha(v, st.fillAlpha)
	}
	if v, ok := get("stroke-opacity"); ok {
		st.strokeAlpha = alpha(v, st.strokeAlpha)
	}
	if v, ok := get("fill-rule"); ok {
		st.evenOdd = v == "evenodd"
	}
	if v, ok := get("clip-rule"); ok {
		st.clipEvenOdd = v == "evenodd"
	}
	if v, ok := length("stroke-width", diagonal); ok && v >= 0 {
		st.widthPx = v
	}
	if v, ok := get("stroke-linecap"); ok && (v == "butt" || v == "round" || v == "square") {
		st.cap = v
	}
	if v, ok := get("stroke-linejoin"); ok {
		switch v {
		case "round", "bevel", "miter":
			st.join = v
		case "miter-clip", "arcs":
			st.join = "miter"
			w.warn(finding.Note, n, "stroke-linejoin \""+v+"\" is drawn as miter", "")
		}
	}
	if v, ok := get("stroke-miterlimit"); ok {
		if x, err := strconv.ParseFloat(v, 64); err == nil && x >= 1 && x <= MaxNumber {
			st.miterLimit = x
		}
	}
	if v, ok := get("stroke-dasharray"); ok {
		st.dashes = w.dashList(n, v, sc)
	}
	if v, ok := length("stroke-dashoffset", diagonal); ok {
		st.dashOffset = v
	}
	if v, ok := get("visibility"); ok {
		st.hidden = v == "hidden" || v == "collapse"
	}
	if v, ok := get("paint-order"); ok {
		f := strings.Fields(v)
		st.strokeFirst = len(f) > 0 && f[0] == "stroke"
	}
	for _, name := range [...]string{"marker", "marker-start", "marker-mid", "marker-end"} {
		if v, ok := get(name); ok {
			st.markers = v != "none"
		}
	}
	return st
}

// dashList reads stroke-dasharray; nil means an unbroken line. An odd list is taken twice.
func (w *walker) dashList(n *node, v string, sc scale) []float64 {
	if v == "none" {
		return nil
	}
	var list []float64
	sum := 0.0
	for _, f := range strings.FieldsFunc(v, func(r rune) bool { return r == ',' || r < 0x80 && isSpace(byte(r)) }) {
		x, ok, huge := sc.length(f, diagonal)
		if huge {
			w.tooBig(n, "stroke-dasharray", f)
		}
		if !ok || x < 0 || len(list) >= maxDashes {
			w.warn(finding.Care, n, "the dash list \""+clip(v)+"\" is not understood; the line is drawn unbroken", "write lengths that are not negative")
			return nil
		}
		list = append(list, x)
		sum += x
	}
	if !(sum > 0) {
		return nil
	}
	if len(list)%2 == 1 {
		list = append(list, list...)
	}
	return list
}

// alpha reads an opacity, a number or a percentage, into 0..1.
func alpha(v string, old float64) float64 {
	f := 1.0
	if strings.HasSuffix(v, "%") {
		v, f = strings.TrimSuffix(v, "%"), 0.01
	}
	x, err := strconv.ParseFloat(strings.TrimSpace(v), 64)
	if err != nil || math.IsNaN(x) {
		return old
	}
	return math.Max(0, math.Min(1, x*f))
}

// paintOf reads the value of fill or stroke; what is not understood leaves the old
// paint, as CSS asks.
func (w *walker) paintOf(n *node, v string, old, current colour) colour {
	if strings.HasPrefix(v, "url(") {
		id, rest := reference(v)
		if t := w.byID[id]; t != nil && (t.name == "linearGradient" || t.name == "radialGradient" || t.name == "pattern") {
			kind := "gradient"
			if t.name == "pattern" {
				kind = "pattern"
			}
			w.warn(finding.Care, n, "a "+kind+" is taken as one solid colour", "use a plain fill, or give the art as a picture with as = \"tone\"")
			return colour{paint: ink}
		}
		if rest == "" {
			w.warn(finding.Care, n, "the paint \""+clip(v)+"\" does not exist in the file; nothing is painted", "use a plain fill")
			return colour{}
		}
		v = rest
	}
	if c, ok := readColour(v, current); ok {
		return c
	}
	return old
}

// reference reads "url(#id) fallback".
func reference(v string) (id, rest string) {
	end := strings.IndexByte(v, ')')
	if end < 0 {
		return "", ""
	}
	id = strings.Trim(strings.TrimSpace(v[len("url("):end]), `"'`)
	return strings.TrimPrefix(id, "#"), strings.TrimSpace(v[end+1:])
}

// readColour reads a CSS colour down to what matters here.
func readColour(v string, current colour) (colour, bool) {
	v = strings.ToLower(strings.TrimSpace(v))
	switch v {
	case "none", "transparent":
		return colour{}, true
	case "currentcolor":
		return current, true
	}
	if strings.HasPrefix(v, "#") {
		return hexColour(v[1:])
	}
	if i := strings.IndexByte(v, '('); i > 0 && strings.HasSuffix(v, ")") {
		return functionColour(v[:i], v[i+1:len(v)-1])
	}
	if c, ok := colornames.Map[v]; ok { // the 147 names of SVG 1.1, 4.4
		return paintRGB(float64(c.R), float64(c.G), float64(c.B), 1), true
	}
	return colour{}, false
}

// paperLevel is the channel value from which a colour counts as white, since
// drawing programs write #FEFEFE or #FDFDFD for white that passed a colour conversion.
const paperLevel = 250

func paintRGB(r, g, b, a float64) colour {
	switch {
	case !(a > 0):
		return colour{}
	case math.Min(r, math.Min(g, b)) >= paperLevel:
		return colour{paint: paper, partial: a < 1}
	}
	return colour{paint: ink, partial: a < 1}
}

func hexColour(h string) (colour, bool) {
	x, err := strconv.ParseUint(h, 16, 32)
	if err != nil {
		return colour{}, false
	}
	at := func(shift, mask uint64) float64 { return float64(x >> shift & mask) }
	switch len(h) {
	case 3:
		return paintRGB(17*at(8, 15), 17*at(4, 15), 17*at(0, 15), 1), true
	case 4:
		return paintRGB(17*at(12, 15), 17*at(8, 15), 17*at(4, 15), at(0, 15)/15), true
	case 6:
		return paintRGB(at(16, 255), at(8, 255), at(0, 255), 1), true
	case 8:
		return paintRGB(at(24, 255), at(16, 255), at(8, 255), at(0, 255)/255), true
	}
	return colour{}, false
}

// functionColour reads rgb(), rgba(), hsl() and hsla() in both notations.
func functionColour(name, args string) (colour, bool) {
	f := strings.FieldsFunc(args, func(r rune) bool { return r == ',' || r == '/' || r < 0x80 && isSpace(byte(r)) })
	if len(f) != 3 && len(f) != 4 {
		return colour{}, false
	}
	a := 1.0
	if len(f) == 4 {
		a = alpha(f[3], 1)
	}
	var v [3]float64
	for i := range v {
		s := scanner{s: f[i]}
		x, ok := s.number()
		if !ok {
			return colour{}, false
		}
		if strings.HasSuffix(f[i], "%") && strings.HasPrefix(name, "rgb") {
			x *= 2.55
		}
		v[i] = x
	}
	switch name {
	case "rgb", "rgba":
		return paintRGB(v[0], v[1], v[2], a), true
	case "hsl", "hsla":
		// The smallest channel is l - s*min(l, 1-l), whatever the hue (CSS Color 3, 4.2.4).
		s, l := math.Min(1, v[1]/100), math.Min(1, v[2]/100)
		low := 255 * (l - s*math.Min(l, 1-l))
		return paintRGB(low, low, low, a), true
	}
	return colour{}, false
}

func (w *walker) tooBig(n *node, name, v string) {
	w.fail(n, name+" = \""+clip(v)+"\": a number too large", "numbers from -1e9 to 1e9", "check the drawing's coordinates")
}
