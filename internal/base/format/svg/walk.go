package svg

import (
	"fmt"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// shape is one painted path with everything that is known about it.
type shape struct {
	node     *node
	path     path
	toPage   geom.Affine // user units to page pixels, y down
	style    style
	fixedPen bool // vector-effect: non-scaling-stroke
	clips    []*clipping
}

// clipping cuts what is drawn to the union of some paths; for a clipping path
// with one of its own, that one too.
type clipping struct {
	shapes []shape // only path, toPage, clips and style.clipEvenOdd count
	clips  []*clipping
	done   geom.Outline
	ready  bool
}

// walker turns elements into shapes.
type walker struct {
	name   string
	byID   map[string]*node
	rules  []rule
	told   map[string]*remark
	err    *finding.Error
	drawn  int
	using  map[*node]bool // targets of "use" and "clip-path" being followed
	shapes []shape

	pageW, pageH float64 // px; 0 when the file names no size
}

// state is what an element gets from those around it.
type state struct {
	style  style
	toPage geom.Affine
	sc     scale
	clips  []*clipping
	depth  int
	inClip bool // inside clipPath: only the paths count
}

func newWalker(name string, root *node) *walker {
	w := &walker{name: name, byID: map[string]*node{}, told: map[string]*remark{}, using: map[*node]bool{}}
	w.index(root)
	return w
}

// index notes ids (the first of equal ones counts) and reads style sheets.
func (w *walker) index(n *node) {
	if id := n.attr["id"]; id != "" && w.byID[id] == nil {
		w.byID[id] = n
	}
	if n.name == "style" {
		w.styleSheet(n)
	}
	for _, k := range n.kids {
		w.index(k)
	}
}

// walkRoot sizes the page and walks the outermost svg element.
func (w *walker) walkRoot(n *node) {
	vb, hasBox := w.viewBoxOf(n)
	sc := scale{w: vb.w, h: vb.h, fontPx: initialFontPx}
	width, hasW := w.size(n, "width", sc, alongX, hasBox)
	height, hasH := w.size(n, "height", sc, alongY, hasBox)
	switch {
	case hasBox && !hasW && !hasH:
		width, height = vb.w, vb.h
	case hasBox && !hasW:
		width = height * vb.w / vb.h
	case hasBox && !hasH:
		height = width * vb.h / vb.w
	}
	if hasW && width <= 0 || hasH && height <= 0 || hasBox && (vb.w == 0 || vb.h == 0) {
		w.fail(n, "a page without area", "width, height and viewBox above zero", "give the drawing a size")
	}
	if !(width <= MaxPlacePx && height <= MaxPlacePx) {
		w.fail(n, fmt.Sprintf("a page of %g x %g px", width, height), fmt.Sprintf("at most %g px", float64(MaxPlacePx)), "check the drawing's size")
	}
	if w.err != nil {
		return
	}
	st := state{style: initialStyle, toPage: geom.Identity, sc: scale{w: width, h: height, fontPx: initialFontPx}}
	if hasBox || hasW && hasH {
		w.pageW, w.pageH = width, height
	} else {
		st.sc.w, st.sc.h = 300, 150 // CSS 2.2, 10.3.2: what a picture without a size gets
	}
	if hasBox {
		st.toPage = vb.fit(width, height, n.attr["preserveAspectRatio"])
		st.sc.w, st.sc.h = vb.w, vb.h
	}
	w.group(n, st, true)
}

// size reads width or height of the outermost element; percentages of a page that
// nobody knows are left to the viewBox.
func (w *walker) size(n *node, name string, sc scale, a axis, hasBox bool) (float64, bool) {
	v := n.attr[name]
	if v == "" || v == "auto" || (strings.HasSuffix(v, "%") && (!hasBox || v == "100%")) {
		return 0, false
	}
	x, ok, huge := sc.length(v, a)
	if huge {
		w.tooBig(n, name, v)
	}
	return x, ok
}

func (w *walker) viewBoxOf(n *node) (box, bool) {
	v, has := n.attr["viewBox"]
	if !has {
		return box{}, false
	}
	b, ok, huge := viewBox(v)
	if huge {
		w.tooBig(n, "viewBox", v)
	} else if !ok {
		w.warn(finding.Care, n, "the viewBox \""+clip(v)+"\" is not understood", "write four numbers: x y width height")
	}
	return b, ok
}

// walk draws one element.
func (w *walker) walk(n *node, st state) {
	if w.err != nil {
		return
	}
	w.drawn++
	st.depth++
	if w.drawn > MaxDrawn || st.depth > 2*MaxDepth {
		w.fail(n, "too many elements, with every \"use\" followed", fmt.Sprintf("at most %d, %d deep", MaxDrawn, 2*MaxDepth), "simplify the drawing")
		return
	}
	switch n.name {
	case "g", "a", "svg":
		w.group(n, st, false)
	case "switch":
		w.group(&node{name: "g", attr: n.attr, kids: firstFit(n.kids), line: n.line, column: n.column}, st, false)
	case "use":
		w.use(n, st)
	case "path", "rect", "circle", "ellipse", "line", "polyline", "polygon":
		w.shape(n, st)
	case "text", "tspan", "textPath", "tref", "flowRoot":
		w.left(n, st, "live text is not drawn", "turn the text into paths in the drawing, or give it as text in the job")
	case "image":
		w.left(n, st, "an embedded picture is not drawn", "give the picture as art of its own, with as = \"tone\" or \"lines\"")
	case "foreignObject":
		w.left(n, st, "foreign content is not drawn", "draw it with paths")
	case "animate", "animateTransform", "animateMotion", "animateColor", "set", "script":
		w.warn(finding.Note, n, "the drawing is taken as it stands without scripts and animation", "")
	case "defs", "symbol", "clipPath", "style", "title", "desc", "metadata", "marker", "mask", "filter", "pattern",
		"linearGradient", "radialGradient", "view", "cursor", "font", "font-face", "color-profile", "solidColor", "hatch", "mesh", "meshgradient":
		// Not drawn where they stand.
	default:
		w.warn(finding.Note, n, "an unknown element is not drawn", "")
	}
}

// firstFit gives the child that a switch shows: the first that asks for nothing special.
func firstFit(kids []*node) []*node {
	for _, k := range kids {
		if _, asks := k.attr["requiredExtensions"]; asks || k.name == "foreignObject" {
			continue
		}
		if l := k.attr["systemLanguage"]; l != "" && !strings.HasPrefix(l, "en") {
			continue
		}
		return []*node{k}
	}
	return nil
}

// left warns of an element that is visible but not drawn.
func (w *walker) left(n *node, st state, what, do string) {
	if _, ok := w.enter(n, &st); ok && !st.style.hidden {
		w.warn(finding.Care, n, what, do)
	}
}

// enter applies what any element may carry: style, transform, clipping. ok is
// false for what is not shown at all.
func (w *walker) enter(n *node, st *state) (props map[string]string, ok bool) {
	props = w.cascade(n)
	st.style = w.inherit(n, st.style, props, st.sc)
	st.sc.fontPx = st.style.fontPx
	if props["display"] == "none" {
		return props, false
	}
	if v, has := props["opacity"]; has && !st.inClip {
		switch a := alpha(v, 1); {
		case a == 0:
			return props, false
		case a < 1:
			w.warn(finding.Note, n, "a see-through part is taken as solid", "")
		}
	}
	if v := props["transform"]; v != "" && v != "none" {
		m, good, huge := transform(v)
		switch {
		case huge:
			w.tooBig(n, "transform", v)
		case !good:
			w.warn(finding.Care, n, "the transform \""+clip(v)+"\" is not understood and left out", "use matrix, translate, scale, rotate, skewX, skewY")
		default:
			st.toPage = m.Then(st.toPage)
		}
	}
	if v := props["transform-origin"]; v != "" && v != "0 0" && props["transform"] != "" {
		w.warn(finding.Care, n, "transform-origin is not read; the part may stand in the wrong place", "save the drawing as plain SVG")
	}
	for _, name := range [...]string{"mask", "filter", "mix-blend-mode"} {
		if v := props[name]; v != "" && v != "none" && v != "normal" {
			w.warn(finding.Care, n, "a "+strings.ReplaceAll(name, "mix-blend-mode", "blend mode")+" is left out; the part is drawn without it", "apply it in the drawing, or remove it")
		}
	}
	return props, w.err == nil
}

// group draws g, a, and svg elements with their children.
func (w *walker) group(n *node, st state, root bool) {
	props, ok := w.enter(n, &st)
	if !ok {
		return
	}
	shapes := len(w.shapes)
	if !w.clipTo(n, &st, props, func() geom.Rect {
		w.warn(finding.Care, n, "a clip-path measured by the size of a group hides the group", "use clipPathUnits=\"userSpaceOnUse\"")
		return geom.EmptyRect()
	}) {
		w.shapes = w.shapes[:shapes]
		return
	}
	if n.name == "svg" && !root {
		if ok := w.viewport(n, &st, props, n.attr["width"], n.attr["height"]); !ok {
			return
		}
	}
	for _, k := range n.kids {
		w.walk(k, st)
	}
}

// viewport enters a nested svg or a symbol (SVG 1.1, 7.9 and 5.6).
func (w *walker) viewport(n *node, st *state, props map[string]string, width, height string) bool {
	x, y := w.length(n, "x", n.attr["x"], 0, st.sc, alongX), w.length(n, "y", n.attr["y"], 0, st.sc, alongY)
	vw, vh := w.length(n, "width", width, st.sc.w, st.sc, alongX), w.length(n, "height", height, st.sc.h, st.sc, alongY)
	if !(vw > 0 && vh > 0) {
		return false
	}
	st.toPage = geom.Move(x, y).Then(st.toPage)
	if o := props["overflow"]; o != "visible" && o != "auto" {
		st.window(0, 0, vw, vh)
	}
	st.sc.w, st.sc.h = vw, vh
	if vb, ok := w.viewBoxOf(n); ok {
		if vb.w == 0 || vb.h == 0 {
			return false
		}
		st.toPage = vb.fit(vw, vh, n.attr["preserveAspectRatio"]).Then(st.toPage)
		st.sc.w, st.sc.h = vb.w, vb.h
	}
	return w.err == nil
}

// use draws another element here.
func (w *walker) use(n *node, st state) {
	href := n.attr["href"]
	target := w.byID[strings.TrimPrefix(href, "#")]
	if target == nil || !strings.HasPrefix(href, "#") {
		w.warn(finding.Care, n, "it refers to \""+clip(href)+"\", which is not in this file; nothing is drawn", "embed what it refers to")
		return
	}
	if w.using[target] {
		w.warn(finding.Care, n, "it refers to itself; nothing is drawn", "remove it")
		return
	}
	props, ok := w.enter(n, &st)
	if !ok {
		return
	}
	if !w.clipTo(n, &st, props, func() geom.Rect {
		w.warn(finding.Care, n, "a clip-path measured by the size of a group hides the group", "use clipPathUnits=\"userSpaceOnUse\"")
		return geom.EmptyRect()
	}) {
		return
	}
	st.toPage = geom.Move(w.length(n, "x", n.attr["x"], 0, st.sc, alongX), w.length(n, "y", n.attr["y"], 0, st.sc, alongY)).Then(st.toPage)
	w.using[target] = true
	defer delete(w.using, target)
	width, height := n.attr["width"], n.attr["height"]
	switch {
	case target.name == "symbol":
		props, ok := w.enter(target, &st)
		if !ok || !w.viewport(target, &st, props, width, height) {
			return
		}
		for _, k := range target.kids {
			w.walk(k, st)
		}
	case target.name == "svg" && (width != "" || height != ""):
		sized := &node{name: "svg", attr: map[string]string{}, kids: target.kids, line: target.line, column: target.column}
		for k, v := range target.attr {
			sized.attr[k] = v
		}
		if width != "" {
			sized.attr["width"] = width
		}
		if height != "" {
			sized.attr["height"] = height
		}
		w.walk(sized, st)
	case st.inClip && (target.name == "g" || target.name == "use" || target.name == "svg"):
		// A clipping path may use shapes only, directly (SVG 1.1, 14.3.5).
	default:
		w.walk(target, st)
	}
}

// length reads an attribute with a default; what is not understood is the default.
func (w *walker) length(n *node, name, v string, def float64, sc scale, a axis) float64 {
	if v == "" || v == "auto" {
		return def
	}
	x, ok, huge := sc.length(v, a)
	switch {
	case huge:
		w.tooBig(n, name, v)
	case !ok:
		w.warn(finding.Care, n, name+" = \""+clip(v)+"\" is not understood and left out", "write a number with a unit of CSS (mm, cm, in, pt, pc, px, %)")
		return def
	}
	return x
}
