package box

import (
	"fmt"

	"mouldwright/internal/base/finding"
)

// Sheet is a sheet of labels. Lengths are mm from the upper left corner of the paper.
type Sheet struct {
	Paper    string  `json:"paper" doc:"A4 or Letter"`
	Rows     int     `json:"rows" doc:"rows of labels"`
	Columns  int     `json:"columns" doc:"labels in a row"`
	WidthMM  float64 `json:"width_mm" doc:"a label, left to right"`
	HeightMM float64 `json:"height_mm" doc:"a label, top to bottom"`
	LeftMM   float64 `json:"left_mm" doc:"edge of the paper to the first label"`
	TopMM    float64 `json:"top_mm" doc:"edge of the paper to the first label"`
	GapXMM   float64 `json:"gap_x_mm" doc:"between two labels side by side"`
	GapYMM   float64 `json:"gap_y_mm" doc:"between two labels one below the other"`
	Used     int     `json:"used" doc:"labels of the first sheet that are gone already"`
}

// Sheets are common sheets by their measures, which many makers share (common practice,
// no source): measure the sheet at hand, and print one on plain paper first.
var Sheets = map[string]Sheet{
	"2 x 4 on A4":      {"A4", 4, 2, 99.1, 67.7, 4.65, 13.1, 2.5, 0, 0},
	"2 x 7 on A4":      {"A4", 7, 2, 99.1, 38.1, 4.65, 15.15, 2.5, 0, 0},
	"3 x 7 on A4":      {"A4", 7, 3, 63.5, 38.1, 7.25, 15.15, 2.5, 0, 0},
	"2 x 5 on Letter":  {"Letter", 5, 2, 101.6, 50.8, 3.97, 12.7, 4.76, 0, 0},
	"3 x 10 on Letter": {"Letter", 10, 3, 66.68, 25.4, 4.76, 12.7, 3.17, 0, 0},
}

// Papers are what sheets are printed on, width and height in mm (ISO 216; Letter is 8.5 x 11
// inches by definition).
var Papers = map[string][2]float64{"A4": {210, 297}, "Letter": {215.9, 279.4}}

// Layout is the sheet that a label's choices ask for.
func (l *Label) Layout() (Sheet, error) {
	s, ok := Sheets[l.Sheet]
	if !ok {
		s = Sheet{Paper: l.Paper, Rows: l.Rows, Columns: l.Columns, WidthMM: l.WidthMM, HeightMM: l.HeightMM, LeftMM: l.LeftMM, TopMM: l.TopMM, GapXMM: l.GapXMM, GapYMM: l.GapYMM}
	}
	s.Used = l.Used
	refuse := func(key, found, allowed string) error {
		return &finding.Error{Key: "label." + key, Found: found, Allowed: allowed, Do: "measure the sheet with a ruler"}
	}
	for _, c := range []struct {
		key string
		v   float64
	}{{"rows", float64(s.Rows)}, {"columns", float64(s.Columns)}, {"width_mm", s.WidthMM}, {"height_mm", s.HeightMM}} {
		if !(c.v > 0) {
			return s, refuse(c.key, "missing", "a number, since label.sheet is own")
		}
	}
	const slack = 0.3 // what printed measures round away
	paper := Papers[s.Paper]
	if w := s.LeftMM + float64(s.Columns)*s.WidthMM + float64(s.Columns-1)*s.GapXMM; w > paper[0]+slack {
		return s, refuse("columns", fmt.Sprintf("the labels reach %.1f mm", w), fmt.Sprintf("the paper is %g mm wide", paper[0]))
	}
	if h := s.TopMM + float64(s.Rows)*s.HeightMM + float64(s.Rows-1)*s.GapYMM; h > paper[1]+slack {
		return s, refuse("rows", fmt.Sprintf("the labels reach %.1f mm", h), fmt.Sprintf("the paper is %g mm high", paper[1]))
	}
	if s.Used >= s.Rows*s.Columns {
		return s, refuse("used", fmt.Sprintf("%d labels", s.Used), fmt.Sprintf("fewer than the %d of a sheet", s.Rows*s.Columns))
	}
	return s, nil
}
