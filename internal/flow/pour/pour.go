// Package pour says how much rubber to mix.
//
//	trays' rubber volumes + silicone --Make--> Pour (mass, part A and part B, per tray and in all)
package pour

import (
	"fmt"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/master"
)

// Choices is how rubber is mixed and poured: the job file's [pour].
type Choices struct {
	CupShare float64 `toml:"left_in_cup" default:"0.04" min:"0" max:"0.5" doc:"share of the mixed rubber that stays as a film in cups and on spatulas (common practice, no source: 0.03-0.06)"`
}

// Mix is rubber to be weighed out: PartAG + PartBG = MassG.Likely.
type Mix struct {
	Tray      int     // 0 for the sum of all
	VolumeMM3 float64 // that the frame takes
	MassG     unit.Range
	PartAG    float64
	PartBG    float64
}

// Pour is the rubber of every tray and of all together.
type Pour struct {
	Trays []Mix
	Total Mix
}

// Make divides each tray's rubber into its parts. Mass = volume * density /
// (1 - left in cup). The ratio counts by mass; where the data sheet gives it by
// volume, each part's own density turns it into mass, since parts are weighed.
func Make(trays []master.Tray, c Choices, s material.Silicone) (*Pour, []finding.Finding, error) {
	a, b := s.RatioA, s.RatioB
	if s.RatioBy == "volume" {
		a, b = a*s.DensityAGML, b*s.DensityBGML
	}
	if !(a > 0 && b > 0) {
		return nil, nil, &finding.Error{Key: "silicone.ratio_a", Found: fmt.Sprintf("a ratio of %g to %g", a, b), Allowed: "both above 0", Do: "take the mixing ratio from the data sheet"}
	}
	if !(c.CupShare >= 0 && c.CupShare < 1) {
		return nil, nil, &finding.Error{Key: "pour.left_in_cup", Found: fmt.Sprintf("a share of %g", c.CupShare), Allowed: "0 to less than 1"}
	}
	mix := func(tray int, mm3 float64) Mix {
		m := Mix{Tray: tray, VolumeMM3: mm3, MassG: s.DensityGML.Scale(mm3 / 1000 / (1 - c.CupShare))}
		m.PartAG = m.MassG.Likely * a / (a + b)
		m.PartBG = m.MassG.Likely * b / (a + b)
		return m
	}
	p := &Pour{Trays: make([]Mix, len(trays))}
	sum := 0.0
	for i, t := range trays {
		p.Trays[i] = mix(t.Number, t.RubberMM3)
		sum += t.RubberMM3
	}
	p.Total = mix(0, sum)
	var found []finding.Finding
	if s.Cure == "condensation" {
		found = append(found, finding.Finding{Severity: finding.Care, Where: "silicone.cure",
			What: "a condensation cure rubber shrinks more and is not meant for food",
			Do:   "take an addition cure rubber that declares food contact"})
	}
	return p, found, nil
}
