package forecast

import (
	"fmt"
	"math"
	"path"
	"slices"
	"strings"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/piece"
)

// longShare is how many times as long as wide a mark is that is called a stroke; one
// that is less so is an island (our choice: where most people change the word).
const longShare = 4

// nameMarks gives every mark the name by which a person knows it: its letter and
// word, or else what it is and its number in the drawing it belongs to.
func (f *Forecast) nameMarks(p *piece.Piece, design piece.Choices) {
	heads := make([]int, len(f.Marks)) // index of the letter, -1 for none
	most := map[int]int{}              // the largest mark of each letter
	for i := range f.Marks {
		m := &f.Marks[i]
		heads[i] = -1
		if m.Of >= 0 {
			m.Art = f.Marks[m.Of].Art
			continue
		}
		m.Art = artOf(p, design, m)
		k := letterAt(p.Letters, m)
		heads[i] = k
		if k >= 0 {
			m.Art = p.Letters[k].Art
			if b, ok := most[k]; !ok || area(m) > area(&f.Marks[b]) {
				most[k] = i
			}
		}
	}
	count := map[[2]any]int{} // of a kind of mark in one art
	holes := map[int]int{}    // of a mark, in all
	for _, m := range f.Marks {
		if m.Of >= 0 {
			holes[m.Of]++
		}
	}
	nth := map[int]int{}
	for i := range f.Marks {
		m := &f.Marks[i]
		switch k := heads[i]; {
		case m.Of >= 0:
			head := &f.Marks[m.Of]
			m.letter = head.letter
			nth[m.Of]++
			m.Label = head.Label
			m.Name = "hole of "
			if holes[m.Of] > 1 {
				m.Name = fmt.Sprintf("hole %d of ", nth[m.Of])
			}
			if heads[m.Of] >= 0 {
				m.Name += "the "
			}
			m.Name += head.Name
		case k >= 0:
			m.Label, m.Name = letterName(p.Letters, k, m)
			m.letter = true
			if b := &f.Marks[most[k]]; most[k] != i {
				m.Name = besides(m, b) + " of the " + m.Name
			}
		default:
			what := "island"
			if m.NarrowMM > 0 && math.Max(m.WidthMM, m.HeightMM) >= longShare*m.NarrowMM {
				what = "stroke"
			}
			if m.Kind == "sunk" {
				what = "sunk " + what
			}
			key := [2]any{what, m.Art}
			count[key]++
			m.Label = fmt.Sprint(count[key])
			m.Name = fmt.Sprintf("%s %d", what, count[key])
			if m.Art >= 0 && m.Art < len(design.Art) && design.Art[m.Art].File != "" {
				m.Name += " of " + path.Base(design.Art[m.Art].File)
			}
		}
	}
}

// besides is what a mark is that is not the main part of its letter.
func besides(m, main *Mark) string {
	apart := m.BoxY >= main.BoxY+main.HeightMM-0.1*m.HeightMM || m.BoxY+m.HeightMM <= main.BoxY+0.1*m.HeightMM
	switch long := math.Max(m.WidthMM, m.HeightMM) / math.Min(m.WidthMM, m.HeightMM); {
	case apart && long < 1.4:
		return "dot"
	case apart:
		return "accent"
	}
	return "part"
}

func area(m *Mark) float64 { return m.WidthMM * m.HeightMM }

// letterAt is the letter in whose outline a mark has its widest place, or nearly: a
// wall leans outwards. -1 without one.
func letterAt(list []piece.Letter, m *Mark) int {
	best, at := math.Max(0.3, m.DepthMM), -1
	p := geom.Vec{X: m.XMM, Y: m.YMM}
	for i, l := range list {
		if l.Outline.Contains(p) {
			return i
		}
		if !l.Outline.Bounds().Grow(best).Holds(p) {
			continue
		}
		if _, d := l.Outline.Nearest(p); d < best {
			best, at = d, i
		}
	}
	return at
}

// letterName words a letter: "second l of Ottilie". A mark that holds several letters,
// as joined ones do, is called by all of them.
func letterName(list []piece.Letter, k int, m *Mark) (label, name string) {
	l := list[k]
	var inside []string
	whole := 0
	// Dots and accents may reach beyond the mark's box, so that only its width tells.
	left, right := m.BoxX-0.1-0.1*m.HeightMM, m.BoxX+m.WidthMM+0.1+0.1*m.HeightMM
	nth, all := 0, 0
	for i, o := range list {
		if o.Art != l.Art || o.Word != l.Word {
			continue
		}
		whole++
		if o.Text == l.Text {
			all++
			if i <= k {
				nth++
			}
		}
		if c := o.Outline.Bounds(); c.Min.X >= left && c.Max.X <= right && beside(c, m) {
			inside = append(inside, o.Text)
		}
	}
	switch {
	case len(inside) > 1 && len(inside) == whole:
		return l.Word, l.Word
	case len(inside) > 1:
		slices.SortStableFunc(inside, func(a, b string) int { return strings.Index(l.Word, a) - strings.Index(l.Word, b) })
		text := strings.Join(inside, "")
		return text, text + " of " + l.Word
	case whole == 1:
		return l.Text, l.Text
	case all > 1:
		return l.Text, unit.Ordinal(nth) + " " + l.Text + " of " + l.Word
	}
	return l.Text, l.Text + " of " + l.Word
}

// beside says whether a letter's box shares a third of its height with a mark.
func beside(c geom.Rect, m *Mark) bool {
	return math.Min(c.Max.Y, m.BoxY+m.HeightMM)-math.Max(c.Min.Y, m.BoxY) > math.Min(c.H(), m.HeightMM)/3
}

// artOf is the index of the art that a mark is of, by its place: the one of its side,
// or the nearest of several; -1 without art.
func artOf(p *piece.Piece, design piece.Choices, m *Mark) int {
	best, index := math.Inf(1), -1
	for i, a := range design.Art {
		if a.Side != m.Kind {
			continue
		}
		d := math.Hypot(a.XMM*p.Scale-m.XMM, a.YMM*p.Scale-m.YMM)
		if a.Text != "" && !nearText(p.Letters, i, m) {
			d += 1000 // a text knows its own marks
		}
		if d < best {
			best, index = d, i
		}
	}
	return index
}

func nearText(list []piece.Letter, art int, m *Mark) bool {
	for _, l := range list {
		if l.Art == art && l.Outline.Bounds().Grow(m.DepthMM+0.3).Holds(geom.Vec{X: m.XMM, Y: m.YMM}) {
			return true
		}
	}
	return false
}

// bolder is the built-in font that is the asked one's bold cut, empty without one.
func bolder(a artwork.Choices, has func(name string) bool) string {
	if a.Text == "" || !has(a.Font) {
		return ""
	}
	if b := a.Font + " bold"; has(b) {
		return b
	}
	return ""
}
