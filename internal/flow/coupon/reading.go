package coupon

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"mouldwright/internal/base/unit"
)

// The kinds of coupon that are measured.
const (
	Foot      = "foot"
	Size      = "size"
	Detail    = "detail"
	Chocolate = "chocolate"
)

// Pad is the kind of a cure test's pad, which is not measured.
const Pad = "pad"

// Kinds lists them in the order of the work.
var Kinds = []string{Foot, Size, Detail, Chocolate}

// Reading is what was measured on one coupon: the job file's [[coupon]].
type Reading struct {
	Kind  string               `toml:"kind" enum:"foot,size,detail,chocolate" doc:"which coupon was measured"`
	Date  unit.Date            `toml:"date" doc:"the day; of one kind the newest counts"`
	Resin string               `toml:"resin" optional:"yes" doc:"the resin it was printed with; readings of another resin than the job's are not used"`
	MM    map[string][]float64 `toml:"readings_mm" min:"0.01" max:"300" doc:"what was measured, each place by its name on the sheet: X40 = [39.86, 39.88]"`
}

// The sizes of the size coupon in mm, over its steps and in its windows. No size comes
// twice, so that its name tells which it is.
var (
	oversMM   = []float64{10, 20, 30, 40}
	windowsMM = []float64{6, 12, 18, 24}
)

// The ladders in mm. Steps grow by a fifth to a third, about the step in which two
// people's judgement of "whole" differs (common practice, no source).
var (
	linesMM            = []float64{0.05, 0.08, 0.1, 0.12, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.8}
	lettersMM          = []float64{0.8, 1, 1.2, 1.5, 2, 2.5, 3, 4}
	chocolateLinesMM   = []float64{0.3, 0.4, 0.5, 0.6, 0.8, 1, 1.2}
	chocolateLettersMM = []float64{2, 2.5, 3, 4, 5, 6}
)

// The names under which the ladders are read.
const (
	Line   = "LINE"
	Gap    = "GAP"
	Letter = "LETTER"
)

// footStepsMM are the heights at which the foot coupon's teeth begin (our choice: closer
// together where the first layers' foot, 0.2-0.6 mm high, ends).
var footStepsMM = []float64{0, 0.1, 0.2, 0.3, 0.4, 0.6, 0.8, 1.2}

const footWideMM = 12.0 // width of the foot coupon over its teeth (our choice: any caliper's jaws reach over it)

// footHeights are footStepsMM on whole layers, each once, growing.
func footHeights(layerMM float64) (out []float64) {
	for _, h := range footStepsMM {
		if z := math.Round(h/layerMM) * layerMM; len(out) == 0 || z > out[len(out)-1]+layerMM/2 {
			out = append(out, z)
		}
	}
	return out
}

// Place is one place of a coupon that is measured.
type Place struct {
	Name    string  // what stands in the job file
	DrawnMM float64 // size as drawn; of the foot coupon the height of the tooth
	axis    byte    // X or Y of the size coupon
	inside  bool    // a window
}

var placeName = regexp.MustCompile(`^([XYH])(\d{1,4})$`)

// place reads a name of the foot or the size coupon.
func place(kind, name string) (Place, bool) {
	m := placeName.FindStringSubmatch(name)
	if m == nil {
		return Place{}, false
	}
	n, _ := strconv.ParseFloat(m[2], 64)
	p := Place{Name: name, DrawnMM: n, axis: m[1][0]}
	if p.axis == 'H' {
		p.DrawnMM = n / 1000
		return p, kind == Foot && n <= 3000
	}
	p.inside = slices.Contains(windowsMM, n)
	return p, kind == Size && (p.inside || slices.Contains(oversMM, n))
}

// namesOf lists what may stand under readings_mm.
func namesOf(kind string) (out []string) {
	switch kind {
	case Foot:
		for _, h := range footStepsMM {
			out = append(out, footName(h))
		}
	case Size:
		for _, axis := range "XY" {
			for _, n := range append(append([]float64{}, oversMM...), windowsMM...) {
				out = append(out, fmt.Sprintf("%c%g", axis, n))
			}
		}
	default:
		out = []string{Line, Gap, Letter}
	}
	return out
}

func footName(heightMM float64) string { return fmt.Sprintf("H%.0f", heightMM*1000) }

// ladder is the steps of a ladder coupon.
func ladder(kind, name string) []float64 {
	switch {
	case kind == Detail && name == Letter:
		return lettersMM
	case kind == Detail:
		return linesMM
	case name == Letter:
		return chocolateLettersMM
	}
	return chocolateLinesMM
}

// sorted gives the names of a reading in a fixed order: by letter, then by number.
func sorted(mm map[string][]float64) []string {
	var names []string
	for n := range mm {
		names = append(names, n)
	}
	number := func(s string) float64 {
		n, _ := strconv.ParseFloat(strings.TrimLeft(s, "XYH"), 64)
		return n
	}
	slices.SortFunc(names, func(a, b string) int {
		return cmp.Or(cmp.Compare(a[:min(1, len(a))], b[:min(1, len(b))]), cmp.Compare(number(a), number(b)), cmp.Compare(a, b))
	})
	return names
}
