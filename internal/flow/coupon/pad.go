package coupon

import (
	"context"
	"fmt"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/pour"
)

// pad makes the pad of one combination of the cure test: a floor with a rim as high as
// the rubber shall stand, and a tab with the code in relief.
func (m *maker) pad(ctx context.Context, t pour.CureTest) (*Coupon, error) {
	const (
		thickMM = 2.0
		wallMM  = 1.2
		leanMM  = 0.2 // of the rim's walls, so that the rubber comes out
		codeMM  = 4.0
		tabMM   = codeMM + 3
	)
	side, deep := m.Pads.PadMM, m.Pads.RubberMM.Likely
	outer := side/2 + leanMM + wallMM
	c := &Coupon{Kind: Pad, Code: t.Code(), Test: t, Name: fmt.Sprintf("%s: %s, %s, coating: %s", t.Code(), t.Resin, t.Treatment, t.Coating)}
	code, err := m.letters(c.Code, codeMM)
	if err != nil {
		return nil, err
	}
	// The code keeps 0.6 mm from the tab's edges: a narrow pad takes a smaller one.
	b := code.Bounds()
	k := min(1, (2*outer-1.2)/b.W())
	code = code.Transform(geom.Move(-b.Center().X, -b.Center().Y).Then(geom.Scale(k, k)).Then(geom.Move(0, -outer-tabMM/2)))
	rim := geom.Rectangle(2*outer-0.2, 2*outer-0.2)
	inner := geom.Rectangle(side, side)[0]
	hole := make(geom.Ring, len(inner))
	for i := range inner {
		hole[i] = inner[len(inner)-1-i]
	}
	s := &solid{
		outline:  box(-outer, -outer-tabMM, outer, outer),
		thickMM:  thickMM,
		terraces: []terrace{{outline: append(rim, hole), riseMM: deep, inMM: leanMM}, {outline: code, riseMM: 0.8}},
	}
	c.RubberMM3 = deep * (side*side + 2*side*leanMM + 4*leanMM*leanMM/3)
	return finish(ctx, c, s)
}
