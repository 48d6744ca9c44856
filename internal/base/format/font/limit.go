package font

import (
	"encoding/binary"
	"errors"
	"fmt"

	"github.com/go-text/typesetting/font/opentype/tables"
)

// check refuses fonts whose outlines are missing, loop, or grow without bound.
func (d *directory) check() error {
	for _, tag := range [...]string{"head", "maxp", "cmap", "hhea", "hmtx"} {
		if !d.has(tag) {
			return fmt.Errorf("no %q table", tag)
		}
	}
	switch {
	case d.has("CFF "):
		return checkCFF(d.table("CFF "))
	case d.has("glyf") && d.has("loca"):
		return d.checkGlyf()
	}
	return errors.New("no outlines (neither TrueType nor PostScript)")
}

// checkGlyf refuses composite glyphs that contain themselves, nest too deep or
// have too many points in all.
func (d *directory) checkGlyf() error {
	head, maxp := d.table("head"), d.table("maxp")
	if len(head) < 54 || len(maxp) < 6 {
		return errors.New("a cut-off head or maxp table")
	}
	be := binary.BigEndian
	loca, err := tables.ParseLoca(d.table("loca"), int(be.Uint16(maxp[4:])), be.Uint16(head[50:]) == 1)
	if err != nil || len(loca) < 2 {
		return fmt.Errorf("a damaged loca table (%v)", err)
	}
	for i := 1; i < len(loca); i++ {
		if loca[i] < loca[i-1] {
			return fmt.Errorf("a damaged loca table: glyph %d ends before it begins", i-1)
		}
	}
	glyf, err := tables.ParseGlyf(d.table("glyf"), loca)
	if err != nil {
		return fmt.Errorf("a damaged glyf table (%w)", err)
	}
	c := composites{glyf: glyf, points: make([]int, len(glyf)), depth: make([]int, len(glyf)), state: make([]byte, len(glyf))}
	for g := range glyf {
		if err := c.visit(g); err != nil {
			return err
		}
	}
	return nil
}

type composites struct {
	glyf   tables.Glyf
	points []int  // of a glyph with all its components
	depth  []int  // 1 for a simple glyph
	state  []byte // 0 not seen, 1 being visited, 2 done
}

func (c *composites) visit(g int) error {
	if c.state[g] == 2 {
		return nil
	}
	if c.state[g] == 1 {
		return fmt.Errorf("glyph %d contains itself", g)
	}
	c.state[g] = 1
	c.depth[g] = 1
	switch data := c.glyf[g].Data.(type) {
	case tables.SimpleGlyph:
		c.points[g] = len(data.Points)
		last := -1
		for _, e := range data.EndPtsOfContours {
			if int(e) < last || int(e) >= len(data.Points) {
				return fmt.Errorf("glyph %d has a contour that ends at point %d of %d", g, e, len(data.Points))
			}
			last = int(e)
		}
	case tables.CompositeGlyph:
		for _, part := range data.Glyphs {
			k := int(part.GlyphIndex)
			if k >= len(c.glyf) {
				return fmt.Errorf("glyph %d contains glyph %d of %d", g, k, len(c.glyf))
			}
			if err := c.visit(k); err != nil {
				return err
			}
			c.points[g] += c.points[k] + 1
			c.depth[g] = max(c.depth[g], c.depth[k]+1)
			if c.points[g] > maxGlyphPoints || c.depth[g] > maxNesting {
				return fmt.Errorf("glyph %d has %d points in %d levels, more than %d in %d",
					g, c.points[g], c.depth[g], maxGlyphPoints, maxNesting)
			}
		}
	}
	if c.points[g] > maxGlyphPoints {
		return fmt.Errorf("glyph %d has %d points, more than %d", g, c.points[g], maxGlyphPoints)
	}
	c.state[g] = 2
	return nil
}
