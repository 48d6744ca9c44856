package artwork

import (
	"fmt"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/font"
)

// textLine is a shaped line, in ems from the start of its baseline.
type textLine struct {
	units   []textUnit
	advance float64
}

// textUnit is what stays rigid on an arc: one character, or a joined word, which
// is bent.
type textUnit struct {
	glyphs []unitGlyph
	x, w   float64 // pen at its start, and how far the pen moves
	bend   bool
}

type unitGlyph struct {
	font  *font.Font
	glyph font.GID
	x, y  float64 // origin from the line's start and baseline
	text  string  // the characters that it shows, alone or with others of its cluster
	first int     // their place in the line
	word  string  // the word that it stands in
}

// line shapes one line of text.
func (s *setter) line(line []rune, number int) (textLine, error) {
	var out textLine
	runs, err := s.items(line, number)
	if err != nil {
		return out, err
	}
	pen := 0.0
	for _, run := range runs {
		joined := joinedScripts[run.Script]
		if !joined {
			if joined, err = s.fonts.joined(run.Font, s.shaper); err != nil {
				return out, err
			}
		}
		run.Plain = s.tracking != 0 && !joined
		glyphs, err := s.shaper.Shape(run)
		if err != nil {
			return out, err
		}
		before := -1 // unit of the run's joined letter before this one
		for i := 0; i < len(glyphs); {
			j := i
			for j < len(glyphs) && glyphs[j].Cluster == glyphs[i].Cluster {
				j++
			}
			space := unicode.Is(unicode.Zs, line[glyphs[i].Cluster])
			bend := joined && !space
			if !bend || before < 0 {
				if len(out.units) > 0 {
					pen += s.tracking
				}
				out.units = append(out.units, textUnit{x: pen, bend: bend})
			}
			s.kept = s.kept || bend && before >= 0
			before = -1
			if bend {
				before = len(out.units) - 1
			}
			u := &out.units[len(out.units)-1]
			text, word := said(line, run.End, glyphs, glyphs[i].Cluster)
			for _, g := range glyphs[i:j] {
				if g.Glyph == 0 && !space {
					r := line[g.Cluster]
					return out, &finding.Error{Found: fmt.Sprintf("the font %s has no glyph for '%c' (U+%04X) in line %d, character %d", run.Font.Name, r, r, number, g.Cluster+1),
						Allowed: "characters that the font has", Do: "name another font, or write the text without it"}
				}
				em := run.Font.UnitsPerEm
				if !space {
					u.glyphs = append(u.glyphs, unitGlyph{run.Font, g.Glyph, pen + g.X/em, g.Y / em, text, g.Cluster, word})
				}
				pen += g.Advance / em
			}
			u.w = pen - u.x
			i = j
		}
	}
	out.advance = pen
	return out, nil
}

// said gives the characters of a cluster, which ends where the next one of its run
// begins, and the word around them.
func said(line []rune, end int, glyphs []font.Placed, cluster int) (text, word string) {
	for _, g := range glyphs {
		if g.Cluster > cluster && g.Cluster < end {
			end = g.Cluster
		}
	}
	lo, hi := cluster, end
	for lo > 0 && !unicode.IsSpace(line[lo-1]) {
		lo--
	}
	for hi < len(line) && !unicode.IsSpace(line[hi]) {
		hi++
	}
	return string(line[cluster:end]), string(line[lo:hi])
}

// decomposable reports whether any of the characters is another one with a mark
// (Unicode Annex 15).
func decomposable(text []rune) bool {
	for _, r := range text {
		if norm.NFD.PropertiesString(string(r)).Decomposition() != nil {
			return true
		}
	}
	return false
}
