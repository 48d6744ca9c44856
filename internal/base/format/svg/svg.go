// Package svg reads vector art: an SVG file becomes one outline in millimetres.
//
//	bytes --readTree--> elements --walk--> shapes in page pixels --paint--> geom.Outline
//
// Chocolate has one height per piece of art, so colour is read as ink or paper:
// whatever is painted in any colour adds to the outline, whatever is painted
// white (all channels at least 250 of 255) takes away from what lies beneath it,
// as correction fluid would. Fills of "none" and full transparency paint nothing.
//
// What is drawn follows SVG 1.1 (second edition) and the parts of SVG 2 named in
// the code. What cannot become an outline (live text, embedded images, filters,
// masks) is left out and named in a finding with its element and line.
//
// The file comes from a stranger: every size in it is bounded by the constants
// below, document type definitions and entities are refused, nothing is fetched.
package svg

import (
	"context"
	"fmt"
	"sort"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// Limits on one file. Our choice: they are far above what art for a chocolate needs and low
// enough that the worst file costs some ten seconds and some hundred megabytes.
const (
	MaxBytes    = 32 << 20  // of the file
	MaxElements = 200_000   // in the file
	MaxDepth    = 100       // of elements in each other, with "use" followed
	MaxDrawn    = 400_000   // elements visited, with every "use" followed
	MaxPoints   = 1_000_000 // of all flattened curves, strokes and dashes
	MaxNumber   = 1e9       // of any number in the file, in its own unit
	MaxPlacePx  = 1e7       // of any coordinate after all transforms
	MaxRules    = 5_000     // in style sheets
)

// PxMM is the length of a CSS pixel: 1/96 inch, by definition (CSS Values and Units 3, 6.2).
const PxMM = 25.4 / 96

// Drawing is the art of one file. The outline is settled; its origin is the lower
// left corner of the page, y points up, WidthMM and HeightMM are the page's sides.
//
// Curves are flattened as if the art were 100 mm long on its longer side, to
// geom.FlattenMM, so that it may be enlarged to that size at full accuracy
// whatever size the file claims.
type Drawing struct {
	Outline           geom.Outline
	WidthMM, HeightMM float64
}

// Read reads an SVG file; name is used in findings and errors only.
//
// It refuses, with a *finding.Error, what is not well-formed XML, not SVG, beyond
// a limit, or paints nothing; a cancelled context gives its error. Findings name what was left out or simplified.
func Read(ctx context.Context, name string, data []byte) (*Drawing, []finding.Finding, error) {
	root, err := readTree(name, data)
	if err != nil {
		return nil, nil, err
	}
	w := newWalker(name, root)
	w.walkRoot(root)
	if w.err != nil {
		return nil, nil, w.err
	}
	d, err := w.paint(ctx)
	if err != nil {
		return nil, w.remarks(), err
	}
	if err := d.Outline.Check(); err != nil {
		return nil, w.remarks(), &finding.Error{File: name, Err: err}
	}
	return d, w.remarks(), nil
}

// remark is one thing left out or simplified, with all places where it was met.
type remark struct {
	severity      finding.Severity
	what, do      string
	element       string
	line, column  int
	furtherPlaces int
}

// warn notes that something of n is not drawn as written. Equal remarks about
// equal elements are gathered under the first.
func (w *walker) warn(s finding.Severity, n *node, what, do string) {
	key := n.name + "\x00" + what
	if r := w.told[key]; r != nil {
		if r.line != n.line || r.column != n.column {
			r.furtherPlaces++
		}
		return
	}
	w.told[key] = &remark{severity: s, what: what, do: do, element: n.name, line: n.line, column: n.column}
}

// remarks lists the findings in the order of the file.
func (w *walker) remarks() []finding.Finding {
	list := make([]*remark, 0, len(w.told))
	for _, r := range w.told {
		list = append(list, r)
	}
	sort.Slice(list, func(i, j int) bool {
		a, b := list[i], list[j]
		if a.line != b.line {
			return a.line < b.line
		}
		if a.column != b.column {
			return a.column < b.column
		}
		return a.what < b.what
	})
	var out []finding.Finding
	for _, r := range list {
		what := r.what
		switch {
		case r.furtherPlaces == 1:
			what += " (and in 1 more place)"
		case r.furtherPlaces > 1:
			what += fmt.Sprintf(" (and in %d more places)", r.furtherPlaces)
		}
		out = append(out, finding.Finding{
			Severity: r.severity,
			Where:    fmt.Sprintf("%s:%d <%s>", w.name, r.line, r.element),
			What:     what, Do: r.do,
		})
	}
	return out
}

// fail keeps the first refusal; the walk ends at the next element.
func (w *walker) fail(n *node, found, allowed, do string) {
	if w.err == nil {
		w.err = &finding.Error{File: w.name, Line: n.line, Column: n.column,
			Key: "<" + n.name + ">", Found: found, Allowed: allowed, Do: do}
	}
}
