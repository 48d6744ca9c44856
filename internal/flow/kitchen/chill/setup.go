package chill

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
)

// Setup is a kitchen with its uncertainties.
type Setup struct {
	FridgeC     unit.Range
	Fan         bool // the fridge moves its air
	RoomC       float64
	MouldC      float64    // mould when the chocolate goes in
	FillingC    float64    // filling when it goes in
	ChocolateC  float64    // chocolate when it goes in
	UnderMM     float64    // rubber under the deepest point
	BoardMM     float64    // board under the mould
	ChocolateG  unit.Range // density, g/ml
	FatPct      unit.Range
	FillingGML  unit.Range
	SiliconeGML unit.Range
}

// Heat transfer from a surface to the air of a fridge, radiation included: natural
// convection of gases 2-25, forced 25-250 W/m²K (F. P. Incropera et al., Fundamentals
// of Heat and Mass Transfer, table 1.1, from memory); some 5 W/m²K of it is radiation
// to walls at air temperature. A household fan lies at the foot of the forced range.
var (
	stillWM2K = unit.Between(6, 9, 14)
	fanWM2K   = unit.Between(12, 20, 35)
)

// Chocolate conducts 0.26 W/m K at 35-40 °C and 0.22-0.28 below (S. T. Beckett
// (ed.), Industrial Chocolate Manufacture and Use, 4th ed. 2009, p. 667). Filled silicone rubber: 0.17-0.27 W/m K, 1400 J/kg K; fillings: 0.28
// W/m K, 2200 J/kg K (from memory, no source at hand).
const (
	chocolateWMK  = 0.26
	chocolateJKgK = 1000 * material.ChocolateJGK
	fillingWMK    = 0.28
	fillingJKgK   = 2200
	rubberJKgK    = 1400
)

// rubberWMK is a filled silicone rubber's conductivity (from memory, as above).
var rubberWMK = unit.Between(0.17, 0.2, 0.27)

// Crystallised shares. Tempered chocolate carries 1-5 % of crystals as poured. A shell
// bears a filling when some 40 % has set; a piece lets go of the wall when most of its
// contraction, which goes with crystallising, is done. From memory and common practice,
// no source.
const seedShare = 0.03

// The same for a shell that bears a filling, and a piece that lets go of the wall (from
// memory and common practice, no source).
var (
	firmShare    = unit.Between(0.3, 0.4, 0.5)
	releaseShare = unit.Between(0.65, 0.75, 0.85)
)

// quick, likely and slow are the corners of a Setup: every uncertain value on the side
// that sets sooner, at its likely value, or on the side that sets later.
const (
	quick = iota
	likely
	slow
)

// pick takes the end of a range that sets sooner or later.
func pick(r unit.Range, corner int, lowIsQuick bool) float64 {
	switch {
	case corner == likely:
		return r.Likely
	case (corner == quick) == lowIsQuick:
		return r.Low
	}
	return r.High
}

// conditions are the values at a corner.
func (s *Setup) conditions(stage Stage, corner int) Conditions {
	film := stillWM2K
	if s.Fan {
		film = fanWM2K
	}
	share := releaseShare
	if stage == Shell {
		share = firmShare
	}
	choc := pick(s.ChocolateG, corner, true) * 1e6 // g/m³
	return Conditions{
		AirC: pick(s.FridgeC, corner, true), FilmWM2K: pick(film, corner, false), UnderMM: s.UnderMM, BoardMM: s.BoardMM,
		ChocolateC: s.ChocolateC, MouldC: s.MouldC, FillingC: s.FillingC,
		FirmShare: pick(share, corner, true), Kinetics: Kinetics{pick(timeMin, corner, true)},
		RubberWMK: pick(rubberWMK, corner, false), ChocolateWMK: chocolateWMK, FillingWMK: fillingWMK,
		RubberJM3K: s.SiliconeGML.Likely * 1e3 * rubberJKgK, ChocolateJM3K: choc / 1e3 * chocolateJKgK, FillingJM3K: s.FillingGML.Likely * 1e3 * fillingJKgK,
		MeltingJM3: choc * material.CocoaButterJG * pick(s.FatPct, corner, true) / 100,
		SeedShare:  seedShare, ShellShare: firmShare.Low,
	}
}

// Check refuses a kitchen in which nothing sets, with the value that would do.
func (s *Setup) Check() error {
	if !s.FridgeC.Ordered() || !s.ChocolateG.Ordered() || !s.FatPct.Ordered() || !s.FillingGML.Ordered() || !s.SiliconeGML.Ordered() {
		return &finding.Error{Key: "kitchen", Found: "a range out of order", Allowed: "[low, likely, high]", Do: "write the smallest first"}
	}
	if warm := math.Floor(SolidC(releaseShare.High) - 5); s.FridgeC.High > warm {
		return &finding.Error{Key: "kitchen.fridge_c", Found: fmt.Sprintf("%g °C", s.FridgeC.High), Allowed: fmt.Sprintf("at most %g °C: chocolate keeps melting from %.0f °C on and is liquid at %.1f °C", warm, SolidC(releaseShare.High), MeltsC),
			Do: fmt.Sprintf("cool the mould at %g °C or less", warm)}
	}
	return nil
}

// Times is how long a stage takes.
type Times struct {
	SetMin unit.Range
	Likely *Course // the likely run: history, map, last place
}

// Set computes a stage: the likely run in cubes of cellMM, and how far the range
// stretches around it in cubes of bandMM, which may be larger since only ratios are
// taken from them.
func Set(ctx context.Context, shape *Shape, s Setup, stage Stage, cellMM, bandMM float64) (*Times, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	var r *Course
	var band [3]float64 // by corner
	work := []func() error{func() (err error) {
		r, err = Run(ctx, shape, s.conditions(stage, likely), stage, cellMM)
		return err
	}}
	for corner := range band {
		if corner != likely || bandMM != cellMM {
			work = append(work, func() (err error) {
				band[corner], err = s.minutes(ctx, shape, stage, corner, bandMM)
				return err
			})
		}
	}
	if err := Together(ctx, work...); err != nil {
		return nil, err
	}
	if bandMM == cellMM {
		band[likely] = r.SetMin
	}
	t := &Times{Likely: r, SetMin: unit.Sure(r.SetMin)}
	low, mid, high := band[quick], band[likely], band[slow]
	t.SetMin.Low, t.SetMin.High = r.SetMin*math.Min(1, low/mid), r.SetMin*math.Max(1, high/mid)
	return t, nil
}

// Together does all pieces of work, as many at once as there are cores, and returns the
// first error in their order. A run keeps one core busy and needs no other's.
func Together(ctx context.Context, work ...func() error) error {
	errs := make([]error, len(work))
	stopped := field.ForRows(ctx, len(work), func(from, to int) {
		for i := from; i < to; i++ {
			errs[i] = work[i]()
		}
	})
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return stopped
}

func (s *Setup) minutes(ctx context.Context, shape *Shape, stage Stage, corner int, cellMM float64) (float64, error) {
	r, err := Run(ctx, shape, s.conditions(stage, corner), stage, cellMM)
	if err != nil {
		return 0, err
	}
	return r.SetMin, nil
}

// Change is what one difference does to the likely time of a stage.
type Change struct {
	What   string
	Stage  Stage
	SetMin float64
	WasMin float64 // without it, in cubes of the same size
}

var differences = []struct {
	what string
	do   func(*Setup)
}{
	{"fridge 4 °C warmer", func(s *Setup) { s.FridgeC.Likely += 4 }},
	{"rubber 5 mm thicker", func(s *Setup) { s.UnderMM += 5 }},
	{"mould cooled to 12 °C beforehand", func(s *Setup) { s.MouldC = math.Min(s.MouldC, 12) }},
}

// Changes tells what a warmer fridge, thicker rubber and a mould cooled beforehand do.
func Changes(ctx context.Context, shape *Shape, s Setup, stages []Stage, cellMM float64) ([]Change, error) {
	var list []Change
	var work []func() error
	was := make([]float64, len(stages))
	for i, stage := range stages {
		work = append(work, func() (err error) {
			was[i], err = s.minutes(ctx, shape, stage, likely, cellMM)
			return err
		})
		for _, d := range differences {
			other, at := s, len(list)
			d.do(&other)
			list = append(list, Change{What: d.what, Stage: stage})
			work = append(work, func() (err error) {
				list[at].SetMin, err = other.minutes(ctx, shape, stage, likely, cellMM)
				return err
			})
		}
	}
	if err := Together(ctx, work...); err != nil {
		return nil, err
	}
	for at := range list {
		list[at].WasMin = was[at/len(differences)]
	}
	return list, nil
}
