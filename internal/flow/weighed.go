package flow

import (
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/pour"
)

// PlanWeighed is what really weighed masses change in the plan of a pour.
type PlanWeighed struct {
	Words    []string      `json:"words" doc:"what has to be known, in sentences"`
	Cups     []PlanJudged  `json:"cups" doc:"each cup: as weighed, or as it is to be weighed now; those mixed beyond the plan come last"`
	Extra    []PlanJudged  `json:"extra" doc:"further cups that are needed"`
	Trays    []PlanReached `json:"trays" doc:"how high the rubber comes, without the further cups"`
	TotalAG  float64       `json:"total_a_g" doc:"part A of all cups, weighed and to come"`
	TotalBG  float64       `json:"total_b_g" doc:"part B likewise"`
	MissingG unit.Range    `json:"missing_g" doc:"to the level of every tray, over the density"`
	OverG    float64       `json:"over_g" doc:"finds no room in the frames"`
}

// PlanJudged is one cup.
// Parts of a ratio are shares, moments minutes after mixing began.
type PlanJudged struct {
	Cup      int        `json:"cup" doc:"its number"`
	Tray     int        `json:"tray" doc:"of a cup that was mixed beyond the plan; else 0"`
	Verdict  string     `json:"verdict" enum:"not weighed,one part is weighed,the ratio is right,too little A,too little B"`
	MassG    float64    `json:"mass_g"`
	PartAG   float64    `json:"part_a_g" doc:"as weighed; what to weigh where it is not"`
	PartBG   float64    `json:"part_b_g" doc:"likewise"`
	RatioOff float64    `json:"ratio_off_share" doc:"A : B against the data sheet; above 0 there is too little B"`
	Doubt    float64    `json:"doubt_share" doc:"by what share the scale's steps may be wrong about that"`
	AddAG    float64    `json:"add_a_g" doc:"brings the ratio right, before it is stirred"`
	AddBG    float64    `json:"add_b_g" doc:"likewise"`
	LastPour float64    `json:"last_pour_min" doc:"after mixing began: the latest moment to begin to pour this mass"`
	Fills    []PlanFill `json:"fills" doc:"the trays that it goes into"`
	Words    string     `json:"words" doc:"the same in a sentence; empty: as planned"`
}

// PlanReached is the rubber of one tray.
type PlanReached struct {
	Tray    int     `json:"tray" doc:"tray number"`
	LevelMM float64 `json:"level_mm" doc:"over its base"`
	WantMM  float64 `json:"want_mm" doc:"that was planned"`
	ShortG  float64 `json:"short_g" doc:"what is missing"`
}

// Weigh says what really weighed masses change. It is an error when a number cannot be
// meant, or when there is no pour.
func (r *Result) Weigh(list []pour.Weighed) (*PlanWeighed, error) {
	if r.Pour == nil {
		return nil, &finding.Error{Key: "pour", Found: "there is no pour to weigh for", Do: "see the remarks about the rubber"}
	}
	c, err := r.Pour.Weigh(list)
	if err != nil {
		return nil, err
	}
	out := &PlanWeighed{Words: c.Words, Cups: judged(c.Cups), Extra: judged(c.Extra), Trays: []PlanReached{}, TotalAG: c.TotalAG, TotalBG: c.TotalBG, MissingG: c.MissingG, OverG: c.OverG}
	for _, t := range c.Trays {
		out.Trays = append(out.Trays, PlanReached(t))
	}
	return out, nil
}

func judged(list []pour.Judged) []PlanJudged {
	out := []PlanJudged{}
	for _, j := range list {
		p := PlanJudged{Cup: j.Cup, Tray: j.Tray, LastPour: j.LastPourMin, Verdict: j.Verdict, MassG: j.MassG, PartAG: j.PartAG, PartBG: j.PartBG, RatioOff: j.RatioOffShare, Doubt: j.DoubtShare,
			AddAG: j.AddAG, AddBG: j.AddBG, Fills: []PlanFill{}, Words: j.Words}
		for _, f := range j.Fills {
			p.Fills = append(p.Fills, PlanFill(f))
		}
		out = append(out, p)
	}
	return out
}
