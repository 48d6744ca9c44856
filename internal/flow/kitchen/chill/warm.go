package chill

import (
	"context"
	"math"
)

// keepShare is the share of its crystals that a shell must keep everywhere when the
// warm filling goes in: with a quarter molten it no longer holds its shape and blooms
// later (common practice, no source).
const keepShare = 0.75

// WarmestC is the highest temperature of a filling that leaves the shell whole, in °C.
//
// Shell and mould stand at the room's temperature, the filling goes in, the mould stays
// in the room. Without melting the problem is linear, so one run in which the filling
// starts one degree above the room gives the share of that degree which reaches the
// shell's inner face at its warmest place. Melting would take up heat: leaving it out is on the
// safe side.
func WarmestC(ctx context.Context, shape *Shape, s Setup, cellMM float64) (float64, error) {
	c := s.conditions(Cap, likely)
	c.AirC, c.MouldC, c.ChocolateC, c.FillingC = 0, 0, 0, 1
	c.FilmWM2K, c.MeltingJM3 = stillWM2K.Low, 0
	// A thicker layer of filling holds more heat; the cap's place is empty then, so
	// taking it for cold chocolate would flatter: it counts as filling.
	open := *shape
	open.capMM = 0
	m, err := newMould(&open, c, Cap, cellMM)
	if err != nil {
		return 0, err
	}
	faces := m.innerFace()
	most, now := 0.0, 0.0
	for step := 0.5; now < 1200; step = math.Min(6, step*1.25) {
		if err := ctx.Err(); err != nil {
			return 0, err
		}
		m.step(step)
		now += step
		peak := 0.0
		for _, f := range faces {
			peak = math.Max(peak, float64(m.u[f[0]]+m.u[f[1]])/2)
		}
		if now > 60 && peak < most {
			break
		}
		most = peak
	}
	if most == 0 {
		return SolidC(keepShare), nil
	}
	return s.RoomC + (SolidC(keepShare)-s.RoomC)/most, nil
}

// innerFace is the pairs of neighbours of which one is mostly shell, one mostly filling.
func (m *mould) innerFace() (pairs [][2]int) {
	for p, v := range m.parts {
		if v.all() == 0 {
			continue
		}
		for _, q := range [...]int{p + 1, p + m.nx, p + m.nx*m.ny} {
			if w := m.parts[q]; (v.shell >= 0.5 && w.filling >= 0.5) || (w.shell >= 0.5 && v.filling >= 0.5) {
				pairs = append(pairs, [2]int{p, q})
			}
		}
	}
	return pairs
}
