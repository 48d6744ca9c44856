package artwork

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"github.com/go-text/typesetting/bidi"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/segmenter"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/font"
)

const latin = language.Latin

// joinedScripts are those whose letters are joined: cursive scripts (Unicode 15,
// ch. 9 and 13-14, and CSS Text 4, "cursive scripts"), and those whose letters hang
// from a common head line (Unicode 15, ch. 12).
var joinedScripts = map[language.Script]bool{
	language.Arabic: true, language.Syriac: true, language.Mongolian: true, language.Nko: true,
	language.Mandaic: true, language.Adlam: true, language.Hanifi_Rohingya: true, language.Phags_Pa: true,
	language.Devanagari: true, language.Bengali: true, language.Gurmukhi: true,
}

// setter shapes the lines of one text.
type setter struct {
	fonts    *Fonts
	shaper   *font.Shaper
	font     *font.Font // the one asked for
	tracking float64

	others []otherFont // fonts that stood in, in order of appearance
	kept   bool        // some letters are joined and keep their distance
}

type otherFont struct {
	name  string
	words []string
}

// cell is a user's character: a grapheme cluster of Unicode Annex 29.
type cell struct {
	start, end int // in the line
	script     language.Script
	level      bidi.Level
	space      bool
	font       *font.Font
}

// items splits a line into runs of one font, script and direction, from left to
// right as they are seen.
func (s *setter) items(line []rune, number int) ([]font.Run, error) {
	cells := cellsOf(line)
	for i := 0; i < len(cells); {
		j := i + 1
		for !cells[i].space && j < len(cells) && !cells[j].space && cells[j].script == cells[i].script && cells[j].level == cells[i].level {
			j++
		}
		if !cells[i].space {
			if err := s.chooseFonts(line, cells[i:j], number); err != nil {
				return nil, err
			}
		}
		i = j
	}
	var runs []font.Run
	var levels []bidi.Level
	for i, c := range cells {
		if c.font == nil { // a space takes the font before it, else the one asked for
			c.font = s.font
			if i > 0 {
				c.font = cells[i-1].font
			}
			cells[i].font = c.font
		}
		if n := len(runs); n > 0 && runs[n-1].Font == c.font && runs[n-1].Script == c.script && levels[n-1] == c.level {
			runs[n-1].End = c.end
			continue
		}
		runs = append(runs, font.Run{Font: c.font, Text: line, Start: c.start, End: c.end, RTL: c.level%2 == 1, Script: c.script})
		levels = append(levels, c.level)
	}
	reorder(runs, levels)
	return runs, nil
}

// reorder puts runs from left to right: Unicode Annex 9, rule L2.
func reorder(runs []font.Run, levels []bidi.Level) {
	if len(runs) == 0 {
		return
	}
	for level := slices.Max(levels); level > 0; level-- {
		for i := 0; i < len(runs); i++ {
			j := i
			for j < len(runs) && levels[j] >= level {
				j++
			}
			if j > i {
				slices.Reverse(runs[i:j])
				slices.Reverse(levels[i:j])
				i = j
			}
		}
	}
}

func cellsOf(line []rune) []cell {
	if len(line) == 0 {
		return nil
	}
	var para bidi.Paragraph
	var seg segmenter.Segmenter
	runs := para.Segment(line, bidi.Neutral)
	seg.Init(line)
	var cells []cell
	run := 0
	script := language.Common
	for it := seg.GraphemeIterator(); it.Next(); {
		g := it.Grapheme()
		c := cell{start: g.Offset, end: g.Offset + len(g.Text), space: true}
		for run < runs.NumRuns()-1 && runs.Run(run).End <= c.start {
			run++
		}
		c.level = runs.Run(run).Level
		for _, r := range g.Text {
			if sc := language.LookupScript(r); sc.Strong() && sc != language.Unknown && !joinedBy(line[c.start], r) {
				script = sc
				break
			}
		}
		for _, r := range g.Text {
			c.space = c.space && unicode.Is(unicode.Zs, r)
		}
		c.script = script
		cells = append(cells, c)
	}
	// Signs before the first letter go with it.
	for i := len(cells) - 2; i >= 0; i-- {
		if cells[i].script == language.Common {
			cells[i].script = cells[i+1].script
		}
	}
	return cells
}

// joinedBy reports whether r is only a mark on the character base.
func joinedBy(base, r rune) bool { return base != r && unicode.Is(unicode.M, r) }

// chooseFonts picks the fonts of a word: the one asked for where it can set the
// whole word, else the nearest that can, else the nearest for each character.
func (s *setter) chooseFonts(line []rune, word []cell, number int) error {
	from, to := word[0].start, word[len(word)-1].end
	whole, err := s.find(line, from, to, word[0])
	if err != nil {
		return err
	}
	for i := range word {
		c := &word[i]
		if c.font = whole; whole != nil {
			continue
		}
		if c.font, err = s.find(line, c.start, c.end, *c); err != nil {
			return err
		}
		if c.font == nil {
			return s.missing(line, *c, number)
		}
	}
	for i := 0; i < len(word); {
		j := i
		for j < len(word) && word[j].font == word[i].font {
			j++
		}
		if word[i].font != s.font {
			s.note(word[i].font.Name, string(line[word[i].start:word[j-1].end]))
		}
		i = j
	}
	return nil
}

// find gives the first font that has glyphs for the characters, nil for none.
func (s *setter) find(line []rune, from, to int, c cell) (*font.Font, error) {
	ok, err := s.covers(s.font, line, from, to, c)
	if ok || err != nil {
		return s.font, err
	}
	for _, name := range font.Substitutes(s.font.Name) {
		b := font.Builtin(name)
		if ok, err := s.covers(b, line, from, to, c); ok || err != nil {
			return b, err
		}
	}
	return nil, nil
}

// covers reports whether a font can set characters: it has each, or shaping makes
// them from others (a letter and its accent from the letter with accent).
func (s *setter) covers(f *font.Font, line []rune, from, to int, c cell) (bool, error) {
	lacks, bases := 0, 0
	for _, r := range line[from:to] {
		if font.Ignorable(r) || unicode.Is(unicode.Zs, r) {
			continue
		}
		if !f.Has(r) {
			lacks++
		}
		bases++
	}
	if lacks == 0 || lacks == bases && !decomposable(line[from:to]) {
		return lacks == 0, nil
	}
	glyphs, err := s.shaper.Shape(font.Run{Font: f, Text: line, Start: from, End: to, Script: c.script, RTL: c.level%2 == 1})
	if err != nil {
		return false, err
	}
	for _, g := range glyphs {
		if g.Glyph == 0 && !unicode.Is(unicode.Zs, line[g.Cluster]) {
			return false, nil
		}
	}
	return true, nil
}

func (s *setter) missing(line []rune, c cell, number int) error {
	r := line[c.start]
	for _, q := range line[c.start:c.end] { // the first that no font has at all
		one := cell{start: c.start, end: c.end, script: c.script, level: c.level}
		if f, err := s.find([]rune{q}, 0, 1, one); f == nil && err == nil {
			r = q
			break
		}
	}
	return &finding.Error{Found: fmt.Sprintf("no font has the character '%c' (U+%04X) in line %d, character %d", r, r, number, c.start+1),
		Allowed: "characters of " + s.font.Name + " and of the built-in fonts",
		Do:      "put a TTF or OTF file that has it beside the job file and name it as the font, or write the text without it"}
}

func (s *setter) note(name, word string) {
	i := slices.IndexFunc(s.others, func(o otherFont) bool { return o.name == name })
	if i < 0 {
		i = len(s.others)
		s.others = append(s.others, otherFont{name: name})
	}
	if !slices.Contains(s.others[i].words, word) {
		s.others[i].words = append(s.others[i].words, word)
	}
}

// notes words what the fonts that stood in were used for, and where tracking was
// left out.
func (s *setter) notes(where string) []finding.Finding {
	var out []finding.Finding
	for _, o := range s.others {
		const most = 5
		words := "'" + strings.Join(o.words[:min(most, len(o.words))], "', '") + "'"
		if more := len(o.words) - most; more > 0 {
			words += fmt.Sprintf(" and %d more", more)
		}
		out = append(out, finding.Finding{Severity: finding.Note, Where: where,
			What: fmt.Sprintf("%s set in %s: %s lacks its letters", words, o.name, s.font.Name),
			Do:   "name a font that has them if it should look different"})
	}
	if s.kept && s.tracking != 0 {
		out = append(out, finding.Finding{Severity: finding.Note, Where: where,
			What: "letters that join keep their distance: tracking is taken between other letters and words only",
			Do:   "tracking = 0, or a font whose letters do not join", Remedy: finding.Set(where+".tracking", 0.0)})
	}
	return out
}
