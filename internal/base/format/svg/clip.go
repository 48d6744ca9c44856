package svg

import (
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// clipTo adds the element's clip-path to the state; ok is false when nothing of
// the element can show.
func (w *walker) clipTo(n *node, st *state, props map[string]string, box func() geom.Rect) (ok bool) {
	v := props["clip-path"]
	if v == "" || v == "none" {
		return true
	}
	if !strings.HasPrefix(v, "url(") {
		w.warn(finding.Care, n, "the clip-path \""+clip(v)+"\" is not read; the part is drawn whole", "use a clipPath element")
		return true
	}
	id, _ := reference(v)
	target := w.byID[id]
	if target == nil || target.name != "clipPath" {
		return true // as the standard says of a reference to nothing (CSS Masking 1, 3.1)
	}
	if w.using[target] {
		w.warn(finding.Care, n, "a clip-path that refers to itself is left out", "remove it")
		return true
	}
	inner := state{style: initialStyle, toPage: st.toPage, sc: st.sc, depth: st.depth, inClip: true}
	if target.attr["clipPathUnits"] == "objectBoundingBox" {
		b := box()
		if b.Empty() || b.W() <= 0 || b.H() <= 0 {
			return false
		}
		inner.toPage = geom.Scale(b.W(), b.H()).Then(geom.Move(b.Min.X, b.Min.Y)).Then(st.toPage)
	}
	w.using[target] = true
	defer delete(w.using, target)
	outside := w.shapes
	w.shapes = nil
	c := &clipping{}
	tprops, shown := w.enter(target, &inner)
	if shown && w.clipTo(target, &inner, tprops, func() geom.Rect { return geom.EmptyRect() }) {
		c.clips, inner.clips = inner.clips, nil
		for _, k := range target.kids {
			switch k.name {
			case "g", "svg", "switch", "a":
				continue // not allowed there (SVG 1.1, 14.3.5)
			}
			w.walk(k, inner)
		}
	}
	c.shapes, w.shapes = w.shapes, outside
	if len(c.shapes) == 0 {
		return false
	}
	st.clips = append(st.clips[:len(st.clips):len(st.clips)], c)
	return true
}

// window clips to a rectangle of the current user space.
func (st *state) window(x, y, w, h float64) {
	var p path
	p.rect(x, y, w, h, 0, 0)
	c := &clipping{shapes: []shape{{path: p, toPage: st.toPage}}}
	st.clips = append(st.clips[:len(st.clips):len(st.clips)], c)
}
