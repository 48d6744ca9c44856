package svg

import (
	"math"
	"strconv"
	"strings"

	"mouldwright/internal/base/geom"
)

// scanner reads the small languages inside attributes: numbers, lists, commands.
type scanner struct {
	s    string
	i    int
	huge bool // a number beyond MaxNumber was met
}

func (s *scanner) done() bool { return s.i >= len(s.s) }

func (s *scanner) peek() byte {
	if s.done() {
		return 0
	}
	return s.s[s.i]
}

func isSpace(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f' }
func isDigit(c byte) bool { return c >= '0' && c <= '9' }
func isAlpha(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }

func (s *scanner) space() {
	for !s.done() && isSpace(s.s[s.i]) {
		s.i++
	}
}

// comma skips blanks with at most one comma among them.
func (s *scanner) comma() {
	s.space()
	if s.peek() == ',' {
		s.i++
		s.space()
	}
}

// number reads one number of SVG's grammar: "1", "-.5", "1.5e-3"; "1.5.5" is two.
func (s *scanner) number() (float64, bool) {
	i := s.i
	at := func(k int) byte {
		if k < len(s.s) {
			return s.s[k]
		}
		return 0
	}
	if c := at(i); c == '+' || c == '-' {
		i++
	}
	digits := 0
	for isDigit(at(i)) {
		i, digits = i+1, digits+1
	}
	if at(i) == '.' {
		i++
		for isDigit(at(i)) {
			i, digits = i+1, digits+1
		}
	}
	if digits == 0 {
		return 0, false
	}
	if at(i)|0x20 == 'e' {
		k := i + 1
		if c := at(k); c == '+' || c == '-' {
			k++
		}
		if isDigit(at(k)) {
			for isDigit(at(k)) {
				k++
			}
			i = k
		}
	}
	v, err := strconv.ParseFloat(s.s[s.i:i], 64)
	if (err != nil && !(v == 0)) || !(math.Abs(v) <= MaxNumber) {
		s.huge = true
		return 0, false
	}
	s.i = i
	return v, true
}

// flag reads one of an arc's two flags, which may stand without blanks: "0110".
func (s *scanner) flag() (bool, bool) {
	c := s.peek()
	if c != '0' && c != '1' {
		return false, false
	}
	s.i++
	return c == '1', true
}

// word reads letters and '-'.
func (s *scanner) word() string {
	i := s.i
	for !s.done() && (isAlpha(s.s[s.i]) || s.s[s.i] == '-') {
		s.i++
	}
	return s.s[i:s.i]
}

// numbers reads a whole string as a list; ok is false when something else remains.
func numbers(text string, max int) (list []float64, ok, huge bool) {
	s := scanner{s: text}
	s.space()
	for !s.done() && len(list) < max {
		v, good := s.number()
		if !good {
			return list, false, s.huge
		}
		list = append(list, v)
		s.comma()
	}
	return list, s.done(), false
}

// axis says what a percentage refers to (SVG 1.1, 7.10).
type axis int

const (
	alongX axis = iota
	alongY
	diagonal
)

// scale holds what relative lengths refer to: the viewport in user units and the
// font size.
type scale struct{ w, h, fontPx float64 }

// length reads one length in user units (px). Absolute units by CSS: 96 px to the inch.
func (sc scale) length(text string, a axis) (v float64, ok, huge bool) {
	s := scanner{s: text}
	s.space()
	v, ok = s.number()
	if !ok {
		return 0, false, s.huge
	}
	unit := strings.ToLower(strings.TrimSpace(s.s[s.i:]))
	f := 0.0
	switch unit {
	case "", "px":
		f = 1
	case "mm":
		f = 96 / 25.4
	case "cm":
		f = 960 / 25.4
	case "q":
		f = 24 / 25.4
	case "in":
		f = 96
	case "pt":
		f = 96.0 / 72
	case "pc":
		f = 16
	case "em":
		f = sc.fontPx
	case "rem":
		f = initialFontPx
	case "ex", "ch":
		f = sc.fontPx / 2 // CSS Values 3, 5.1.1: where the font cannot be asked
	case "%":
		switch a {
		case alongX:
			f = sc.w / 100
		case alongY:
			f = sc.h / 100
		default:
			f = math.Sqrt((sc.w*sc.w+sc.h*sc.h)/2) / 100
		}
	default:
		return 0, false, false
	}
	v *= f
	if !(math.Abs(v) <= MaxNumber) {
		return 0, false, true
	}
	return v, true, false
}

// initialFontPx is CSS's "medium" (common practice of browsers, no source).
const initialFontPx = 16

// maxTransforms bounds one transform list (our choice: programs write a few).
const maxTransforms = 1000

// transform reads a transform list: matrix, translate, scale, rotate, skewX, skewY,
// with CSS's px and deg allowed.
func transform(text string) (m geom.Affine, ok, huge bool) {
	m = geom.Identity
	s := scanner{s: text}
	for count := 0; ; count++ {
		s.comma()
		if s.done() {
			return m, true, false
		}
		name := strings.ToLower(s.word())
		s.space()
		if s.peek() != '(' || count >= maxTransforms {
			return m, false, false
		}
		s.i++
		s.space()
		var v []float64
		for s.peek() != ')' {
			x, good := s.number()
			if !good || len(v) == 6 {
				return m, false, s.huge
			}
			switch s.word() {
			case "", "deg", "px":
			case "rad":
				x *= 180 / math.Pi
			case "turn":
				x *= 360
			default:
				return m, false, false
			}
			v = append(v, x)
			s.comma()
		}
		s.i++
		step, good := elementary(name, v)
		if !good {
			return m, false, false
		}
		m = step.Then(m)
	}
}

func elementary(name string, v []float64) (geom.Affine, bool) {
	tan := func(deg float64) float64 { return math.Tan(deg * math.Pi / 180) }
	switch {
	case name == "matrix" && len(v) == 6:
		return geom.Affine{A: v[0], B: v[1], C: v[2], D: v[3], E: v[4], F: v[5]}, true
	case (name == "translate" || name == "translatex") && len(v) == 1:
		return geom.Move(v[0], 0), true
	case name == "translatey" && len(v) == 1:
		return geom.Move(0, v[0]), true
	case name == "translate" && len(v) == 2:
		return geom.Move(v[0], v[1]), true
	case name == "scale" && len(v) == 1:
		return geom.Scale(v[0], v[0]), true
	case name == "scale" && len(v) == 2:
		return geom.Scale(v[0], v[1]), true
	case name == "rotate" && len(v) == 1:
		return geom.Turn(v[0]), true
	case name == "rotate" && len(v) == 3:
		return geom.Move(-v[1], -v[2]).Then(geom.Turn(v[0])).Then(geom.Move(v[1], v[2])), true
	case name == "skewx" && len(v) == 1:
		return geom.Affine{A: 1, C: tan(v[0]), D: 1}, true
	case name == "skewy" && len(v) == 1:
		return geom.Affine{A: 1, B: tan(v[0]), D: 1}, true
	}
	return geom.Identity, false
}

// box is a viewBox: a rectangle in user units.
type box struct{ x, y, w, h float64 }

// viewBox reads "x y width height"; the sides must not be negative.
func viewBox(text string) (b box, ok, huge bool) {
	v, good, huge := numbers(text, 4)
	if !good || len(v) != 4 || v[2] < 0 || v[3] < 0 {
		return box{}, false, huge
	}
	return box{v[0], v[1], v[2], v[3]}, true, false
}

// fit maps the box onto the viewport (0, 0, w, h) as preserveAspectRatio asks
// (SVG 1.1, 7.8).
func (b box) fit(w, h float64, ratio string) geom.Affine {
	sx, sy := w/b.w, h/b.h
	f := strings.Fields(strings.TrimPrefix(strings.TrimSpace(ratio), "defer "))
	align := "xMidYMid"
	if len(f) > 0 && (f[0] == "none" || (len(f[0]) == 8 && f[0][0] == 'x' && f[0][4] == 'Y')) {
		align = f[0]
	}
	if align == "none" {
		return geom.Move(-b.x, -b.y).Then(geom.Scale(sx, sy))
	}
	s := math.Min(sx, sy)
	if len(f) > 1 && f[1] == "slice" {
		s = math.Max(sx, sy)
	}
	part := func(word string) float64 {
		switch word {
		case "Min":
			return 0
		case "Max":
			return 1
		}
		return 0.5
	}
	return geom.Move(-b.x, -b.y).Then(geom.Scale(s, s)).
		Then(geom.Move((w-s*b.w)*part(align[1:4]), (h-s*b.h)*part(align[5:8])))
}
