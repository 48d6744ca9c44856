// Package chill computes how chocolate sets in its mould in the fridge.
//
//	reliefs of a piece and its filling --NewShape--> Shape (columns, small)
//	Shape + Conditions + Stage --Run--> Course (when and where it sets last, history)
//	Shape + Setup --Set--> Times (low / likely / high), Changes, WarmestC
//
// The method: heat conduction by finite volumes in cubes (block.go) of rubber,
// chocolate and filling (mould.go), with the melting heat of the fat (melt.go). A cube
// that the surface cuts holds its true share of each. Temperature and crystallised
// share together are the cube's enthalpy: conduction moves heat, crystallising turns
// melting heat into warmth, and neither makes or loses any. Without the delay of
// crystallisation it is the enthalpy method of freezing.
//
// What is not in it: that liquid chocolate moves, that a piece which has shrunk from the
// wall touches the rubber less, damp air, and a fridge that warms up when it is filled.
package chill

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
)

// Stage is what lies in the mould.
type Stage int

const (
	Shell Stage = iota // chocolate on the walls, air inside: until firm enough to be filled
	Cap                // shell, filling and a liquid cap: until the piece can be released
	Solid              // all chocolate: until the piece can be released
)

// Conditions is one set of values for a run, without ranges.
type Conditions struct {
	AirC       float64 // air of the fridge
	FilmWM2K   float64 // heat transfer to that air, radiation included
	UnderMM    float64 // rubber under the deepest point
	BoardMM    float64 // board under the mould
	ChocolateC float64 // liquid chocolate as poured
	MouldC     float64 // mould, and in stage Cap the shell in it
	FillingC   float64
	FirmShare  float64 // crystallised share at which every place counts as set
	Kinetics   Kinetics

	RubberWMK, ChocolateWMK, FillingWMK    float64 // conductivities
	RubberJM3K, ChocolateJM3K, FillingJM3K float64 // heat capacities by volume
	MeltingJM3                             float64 // melting heat of all the chocolate's fat, by volume
	SeedShare                              float64 // crystallised share of tempered chocolate as poured
	ShellShare                             float64 // crystallised share of the shell when the cap is poured
	StepS                                  float64 // 0: 6 s, a hundredth of the times that matter; 12 s in cubes of 2 mm
	sampleS                                float64
}

// boardWMK is the conductivity of a board of plastic or wood (0.15-0.25; from memory).
const boardWMK = 0.2

// LongestMin is where a run gives up (our choice: after six hours something else is wrong).
const LongestMin = 360

// sampleS is the distance of the moments in a history (our choice: finer than a
// curve on paper shows).
const sampleS = 30

// Moment is one row of a history; temperatures in °C.
type Moment struct {
	Min        float64 // since the mould went into the fridge
	WarmestC   float64 // warmest place of the chocolate
	ChocolateC float64 // mean of the chocolate
	CoolestC   float64 // coolest place of the chocolate
	RubberC    float64 // mean of the rubber
	FillingC   float64 // mean of the filling; the chocolate's where there is none
	LeastShare float64 // crystallised share where there is least
	LostJ      float64 // heat that has gone into the air
}

// Course is one run.
type Course struct {
	SetMin  float64 // when the last place is set; LongestMin when it is not by then
	Done    bool
	LastMM  [3]float64 // that place: x, y as in the relief, height above the back
	History []Moment
	Map     *Map
	Section *Section // through the last place, when it is set
	StoredJ float64  // heat that the body has given up; equals what the air took
}

// Run computes one stage in cubes of cellMM (0.125 times a whole number of up to 16)
// until everything is set.
func Run(ctx context.Context, s *Shape, c Conditions, stage Stage, cellMM float64) (*Course, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	m, err := newMould(s, c, stage, cellMM)
	if err != nil {
		return nil, err
	}
	return m.run(ctx, c, LongestMin)
}

func (c *Conditions) check() error {
	for _, v := range [...]struct {
		key    string
		v      float64
		lo, hi float64
	}{
		{"kitchen.fridge_c", c.AirC, -40, 60}, {"film", c.FilmWM2K, 0.1, 1e6}, {"master.rubber_over_mm", c.UnderMM, 0, 100},
		{"kitchen.board_mm", c.BoardMM, 0, 100}, {"chocolate", c.ChocolateC, -40, 80}, {"kitchen.mould_c", c.MouldC, -40, 80},
		{"kitchen.filling_c", c.FillingC, -40, 90}, {"firm share", c.FirmShare, 0.01, 1},
		{"rubber", c.RubberWMK, 0.01, 1e3}, {"chocolate", c.ChocolateWMK, 0.01, 1e3}, {"filling", c.FillingWMK, 0.01, 1e3},
		{"rubber", c.RubberJM3K, 1e4, 1e8}, {"chocolate", c.ChocolateJM3K, 1e4, 1e8}, {"filling", c.FillingJM3K, 1e4, 1e8},
		{"chocolate.fat_pct", c.MeltingJM3, 0, 1e9},
	} {
		if !(v.v >= v.lo && v.v <= v.hi) {
			return &finding.Error{Key: v.key, Found: fmt.Sprintf("%g", v.v), Allowed: fmt.Sprintf("%g to %g", v.lo, v.hi), Do: "write a number in between"}
		}
	}
	return nil
}

// run steps until the least crystallised share reaches the firm share.
func (m *mould) run(ctx context.Context, c Conditions, longestMin float64) (*Course, error) {
	every := c.sampleS
	if every == 0 {
		every = sampleS
	}
	full := c.StepS
	if full == 0 {
		full = 6
		if m.cellMM >= 2 { // which is coarse anyway
			full = 12
		}
	}
	r := &Course{SetMin: longestMin, Map: m.newMap()}
	start := m.storedJ()
	r.History = append(r.History, m.moment(0, 0))
	lost, now, next := 0.0, 0.0, every
	// The first steps are short: everything is steep then.
	for step := full / 6; now < 60*longestMin; step = math.Min(full, step*1.25) {
		d := math.Min(step, next-now)
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		lost += m.step(d)
		last := m.settle(c.Kinetics, d, now, c.FirmShare, r.Map)
		now += d
		if now >= next-1e-9 {
			r.History = append(r.History, m.moment(now/60, lost))
			next += every
		}
		if last >= 0 {
			r.Done, r.SetMin, r.LastMM = true, r.Map.at(last), m.place(last)
			r.History = append(r.History, m.moment(now/60, lost))
			break
		}
	}
	r.StoredJ = start - m.storedJ()
	r.Section = m.section(r)
	return r, nil
}
