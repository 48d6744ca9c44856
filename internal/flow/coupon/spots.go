package coupon

import (
	"fmt"
	"math"
)

// Spot is a place of a coupon that is measured or looked at.
type Spot struct {
	Name    string    `json:"name" doc:"as it stands in the job file: X40, H200, LINE"`
	DrawnMM float64   `json:"drawn_mm" doc:"what it would measure if the print were perfect; 0 for a ladder"`
	What    string    `json:"what" doc:"what to measure or to look at"`
	Steps   []float64 `json:"steps" doc:"of a ladder: the sizes in mm that can be read"`
}

// Spots lists the places of a kind of coupon in the order of its sheet, for a printer
// with the given layers.
func Spots(kind string, layerMM float64) (out []Spot) {
	switch kind {
	case Foot:
		for _, h := range footHeights(layerMM) {
			what := fmt.Sprintf("over the teeth that begin %g mm off the plate", math.Round(h*1000)/1000)
			if h == 0 {
				what = "over the teeth that stand on the plate"
			}
			out = append(out, Spot{footName(h), footWideMM, what, []float64{}})
		}
	case Size:
		out = append(sizeSpots('X'), sizeSpots('Y')...)
	case Detail, Chocolate:
		fine, label := "the finest line that stands whole and straight", "hundredths"
		if kind == Chocolate {
			fine, label = "the finest raised line that left the mould whole", "tenths"
		}
		out = []Spot{
			{Line, 0, fmt.Sprintf("back row: %s; its label is in %s of a mm", fine, label), ladder(kind, Line)},
			{Gap, 0, "middle row: the finest gap that is open to its floor, read in the same way", ladder(kind, Gap)},
			{Letter, 0, "front row: the smallest figure that you can read; it is its own height in mm", ladder(kind, Letter)},
		}
	}
	return out
}

func sizeSpots(axis byte) (out []Spot) {
	for i := range oversMM {
		k := len(oversMM) - 1 - i
		out = append(out,
			Spot{fmt.Sprintf("%c%g", axis, oversMM[k]), oversMM[k], "over the step", []float64{}},
			Spot{fmt.Sprintf("%c%g", axis, windowsMM[k]), windowsMM[k], "in the window of that step", []float64{}})
	}
	return out
}
