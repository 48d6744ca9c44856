package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// How quantities are worded, on paper, on the command line and in the workshop.
//
//   - At most three figures that mean something, never fewer before the point:
//     "8.4 g", "412 g", "1.24 kg", "12 400 mm³".
//   - A thin space (U+202F, does not break) parts thousands, from 10 000 on
//     (ISO 80000-1, 7.3.2); a space that does not break (U+00A0) stands before the unit.
//   - A range is "40–55 min, likely 45": the unit once, low and high first. Without
//     spread, or when all three read the same, it is one value.
//   - What is not a number is a dash.
const (
	thin  = "\u202f"
	nbsp  = "\u00a0"
	dash  = "–"
	blank = "—"
)

// Mass words grams: "0.84 g", "412 g", "1.24 kg".
func Mass(g float64) string { return scaled(g, "g", "kg", 1000) }

// Volume words cubic millimetres as they are poured: "3.1 ml", "1.24 l".
func Volume(mm3 float64) string { return scaled(mm3/1000, "ml", "l", 1000) }

// Length words millimetres to a hundredth, below a tenth to a thousandth, as a
// workshop reads them: "36 mm", "143.6 mm", "0.035 mm".
func Length(mm float64) string {
	places := 2
	if math.Abs(mm) < 0.0995 {
		places = 3
	}
	return withUnit(trim(mm, places), "mm")
}

// Duration words minutes: "40 s", "45 min", "3 h 20 min", "2 d 4 h".
func Duration(min float64) string {
	if !finite(min) {
		return blank
	}
	sign := ""
	if min < 0 {
		sign, min = "−", -min
	}
	s := math.Round(min * 60)
	switch {
	case s < 90 && s != 60:
		return sign + withUnit(figures(s), "s")
	case min < 59.5:
		return sign + withUnit(figures(math.Round(min)), "min")
	case min < 48*60-0.5:
		m := int(math.Round(min))
		return sign + pair(m/60, "h", m%60, "min")
	case min > 1e9:
		return blank
	}
	h := int(math.Round(min / 60))
	return sign + pair(h/24, "d", h%24, "h")
}

func pair(a int, aUnit string, b int, bUnit string) string {
	s := withUnit(group(strconv.Itoa(a)), aUnit)
	if b > 0 {
		s += " " + withUnit(strconv.Itoa(b), bUnit)
	}
	return s
}

// Share words a fraction as per cent: "3.2 %".
func Share(f float64) string { return withUnit(figures(f*100), "%") }

// Degrees words an angle: "8.2°".
func Degrees(deg float64) string {
	if !finite(deg) {
		return blank
	}
	return trim(deg, 1) + "°"
}

// Number words a number with at most three figures after rounding: "8.4", "12 400".
func Number(v float64) string { return figures(v) }

// Whole words a count: "2 000" as "2000", "12 000" with its thin space.
func Whole(n int) string { return group(strconv.Itoa(n)) }

// MassRange words a range of grams: "104–112 g, likely 108".
func MassRange(r Range) string { return worded(r, Mass) }

// VolumeRange words a range of cubic millimetres.
func VolumeRange(r Range) string { return worded(r, Volume) }

// DurationRange words a range of minutes: "40–55 min, likely 45",
// "2 h 50 min – 4 h, likely 3 h 20 min".
func DurationRange(r Range) string { return worded(r, Duration) }

// Spread words the ends of a range alone: "104–112 g", "940 g – 1.1 kg".
func Spread(r Range, word func(float64) string) string {
	low, high := word(r.Low), word(r.High)
	if low == high {
		return low
	}
	a, ua := cut(low)
	b, ub := cut(high)
	if ua == ub && ua != "" {
		return a + dash + b + nbsp + ua
	}
	return low + " " + dash + " " + high
}

// worded adds the likely value to the spread, with the unit once where it is the same.
func worded(r Range, word func(float64) string) string {
	likely := word(r.Likely)
	if word(r.Low) == word(r.High) {
		return likely
	}
	_, ua := cut(word(r.Low))
	b, ub := cut(likely)
	_, uc := cut(word(r.High))
	if ua == uc && ub == ua && ua != "" {
		likely = b
	}
	return Spread(r, word) + ", likely" + nbsp + likely
}

// cut parts a word into number and unit; a word of two quantities has no one unit.
func cut(s string) (number, unit string) {
	if strings.Contains(s, " ") {
		return s, ""
	}
	number, unit, _ = strings.Cut(s, nbsp)
	return number, unit
}

func scaled(v float64, small, large string, factor float64) string {
	if !finite(v) {
		return blank
	}
	if math.Abs(v) >= 0.9995*factor {
		return withUnit(figures(v/factor), large)
	}
	return withUnit(figures(v), small)
}

func withUnit(number, unit string) string {
	if number == blank {
		return blank
	}
	return number + nbsp + unit
}

// figures rounds to three figures, but never before the point.
func figures(v float64) string {
	if !finite(v) {
		return blank
	}
	places := 0
	if a := math.Abs(v); a > 0 {
		// The place of the first figure after rounding: 9.996 is 10.0.
		e := int(math.Floor(math.Log10(a)))
		if a >= math.Pow(10, float64(e+1))-0.5*math.Pow(10, float64(e-2)) {
			e++
		}
		places = min(max(2-e, 0), 4)
	}
	return trim(v, places)
}

// trim prints v with at most that many places, without idle zeros.
func trim(v float64, places int) string {
	if !finite(v) {
		return blank
	}
	s := strconv.FormatFloat(v, 'f', places, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		s = "0"
	}
	return group(s)
}

// group parts thousands from 10 000 on and writes a true minus.
func group(s string) string {
	s, negative := strings.CutPrefix(s, "-")
	whole, rest, point := strings.Cut(s, ".")
	if len(whole) > 4 {
		var b strings.Builder
		for i, c := range whole {
			if i > 0 && (len(whole)-i)%3 == 0 {
				b.WriteString(thin)
			}
			b.WriteRune(c)
		}
		whole = b.String()
	}
	if point {
		whole += "." + rest
	}
	if negative {
		return "−" + whole
	}
	return whole
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// Count words a number of things, up to twelve in letters: "two plates", "24 plates".
func Count(n int, one, many string) string {
	noun := many
	if n == 1 {
		noun = one
	}
	if n >= 0 && n <= 12 {
		return InWords(n) + " " + noun
	}
	return Whole(n) + nbsp + noun
}

// Amount words an amount of a job file's or record's unit: "300 g", "12 pieces", "1 pair".
func Amount(v float64, of string) string {
	if (of == "piece" || of == "pair") && v != 1 {
		of += "s"
	}
	return strings.TrimSpace(fmt.Sprintf("%g %s", v, of))
}

// InWords writes a number below a hundred in letters, "twenty-four", as at the
// start of a sentence; others stay in figures.
func InWords(n int) string {
	small := [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
		"thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"}
	tens := [...]string{"twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"}
	switch {
	case n < 0 || n > 99:
		return Whole(n)
	case n < 20:
		return small[n]
	case n%10 == 0:
		return tens[n/10-2]
	}
	return tens[n/10-2] + "-" + small[n%10]
}

// Long words a day: "14 March 2027".
func (d Date) Long() string {
	months := [...]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}
	if d.Month < 1 || d.Month > 12 {
		return blank
	}
	return fmt.Sprintf("%d%s%s%s%d", d.Day, nbsp, months[d.Month-1], nbsp, d.Year)
}

// Plus adds two ranges: as wide as the sum can get.
func (r Range) Plus(o Range) Range {
	return Range{r.Low + o.Low, r.Likely + o.Likely, r.High + o.High}
}

// Ordinal words a place in a row, from 1: "first" to "twelfth", then "13th", "21st".
func Ordinal(n int) string {
	words := [...]string{1: "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"}
	if n >= 1 && n < len(words) {
		return words[n]
	}
	end := "th"
	if n/10%10 != 1 {
		switch n % 10 {
		case 1:
			end = "st"
		case 2:
			end = "nd"
		case 3:
			end = "rd"
		}
	}
	return Whole(n) + end
}
