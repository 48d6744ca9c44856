package workshop

import (
	"math"
	"net/http"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/kitchen/chill"
)

// Chilling is one design in the fridge. Bounded: a cut has at most some 300 x 100 cubes.
type Chilling struct {
	Version  string            `json:"version"`
	Design   int               `json:"design" doc:"from 1"`
	Setting  flow.PlanSetting  `json:"setting" doc:"times, courses and changes, in cubes of 1 mm"`
	Cuts     []ChillCut        `json:"cuts" doc:"of each course, in its order"`
	Findings []finding.Finding `json:"findings"`
}

// ChillCut is the upright section through the place that sets last, at that moment. Cube
// (i, k) is number k w + i: i to the right from x0_mm, k upwards from the back.
type ChillCut struct {
	Stage  string    `json:"stage" enum:"shell,cap,solid"`
	W      int       `json:"w"`
	H      int       `json:"h"`
	CellMM float64   `json:"cell_mm"`
	X0MM   float64   `json:"x0_mm" doc:"middle of the first cube"`
	YMM    float64   `json:"y_mm" doc:"of the cut"`
	AirC   float64   `json:"air_c"`
	TempC  []float64 `json:"temp_c" doc:"of the air where there is no matter"`
	SetMin []float64 `json:"set_min" doc:"when the chocolate in the cube was set; -1: none"`
	Matter string    `json:"matter" doc:"a letter for each cube: . air, r rubber, s shell, c cap, f filling"`
}

func (s *Server) getChill(w http.ResponseWriter, r *http.Request) error {
	u, err := s.job()
	if err != nil {
		return err
	}
	design, row, _, err := askedPiece(r, u.in)
	if err != nil {
		return err
	}
	c, err := s.sketcher.Chill(r.Context(), u.in, design, row)
	if err != nil {
		return asRefusals(err)
	}
	if c == nil {
		return refusal{http.StatusUnprocessableEntity, Mistake{Found: "the piece has a finding that says stop", Do: "see the page Pieces"}}
	}
	out := Chilling{Version: u.version, Design: design + 1, Setting: c.Plan, Cuts: []ChillCut{}, Findings: append([]finding.Finding{}, c.Findings...)}
	stages := []*chill.Times{c.Setting.Shell, c.Setting.Cap}
	for i, course := range c.Plan.Course {
		out.Cuts = append(out.Cuts, cutOf(course.Stage, stages[i].Likely.Section))
	}
	return answer(w, out)
}

// cutOf rounds a section to tenths for the page.
func cutOf(stage string, s *chill.Section) ChillCut {
	tenth := func(v float32) float64 { return math.Round(10*float64(v)) / 10 }
	c := ChillCut{Stage: stage, W: s.W, H: s.H, CellMM: s.CellMM, X0MM: s.X0MM, YMM: s.YMM, AirC: s.AirC}
	letters := [...]byte{chill.Air: '.', chill.Rubber: 'r', chill.ShellChocolate: 's', chill.CapChocolate: 'c', chill.Filling: 'f'}
	matter := make([]byte, len(s.Matter))
	for n, m := range s.Matter {
		matter[n] = letters[m]
		c.TempC, c.SetMin = append(c.TempC, tenth(s.TempC[n])), append(c.SetMin, tenth(s.SetMin[n]))
	}
	c.Matter = string(matter)
	return c
}
