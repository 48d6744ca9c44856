package flow

import (
	"context"
	"fmt"
	"math"
	"testing"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/coupon"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/plate"
)

// distorting is a printer whose two axes err apart: a length drawn L comes out
// (1 - shrink) L, and light makes a solid wider by bleed on each side.
type distorting struct{ shrinkX, shrinkY, bleedX, bleedY float64 }

// readings are what a perfect caliper shows on its size coupons.
func (d distorting) readings() map[string][]float64 {
	mm := map[string][]float64{}
	for _, p := range append(coupon.Spots(coupon.Size, 0.05), coupon.Spots(coupon.Size, 0.05)...) {
		shrink, bleed := d.shrinkX, d.bleedX
		if p.Name[0] == 'Y' {
			shrink, bleed = d.shrinkY, d.bleedY
		}
		side := 1.0
		switch p.DrawnMM {
		case 6, 12, 18, 24: // the windows of the size coupon
			side = -1
		}
		mm[p.Name] = []float64{(1-shrink)*p.DrawnMM + side*2*bleed}
	}
	return mm
}

// outer is how wide and deep a mesh comes out, along its own axes, where it lies turned on
// this printer's plate. Light bleeds past a wall that faces along (x, y) by bleedX x² +
// bleedY y².
func (d distorting) outer(m *mesh.Mesh, at geom.Affine, turnDeg float64) (w, h float64) {
	s, c := math.Sincos(turnDeg * math.Pi / 180)
	lo, hi := geom.Vec{X: math.Inf(1), Y: math.Inf(1)}, geom.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, v := range m.V {
		p := at.Apply(geom.Vec{X: float64(v[0]), Y: float64(v[1])})
		x, y := p.X*(1-d.shrinkX), p.Y*(1-d.shrinkY)
		u, v := c*x+s*y, c*y-s*x
		lo, hi = geom.Vec{X: math.Min(lo.X, u), Y: math.Min(lo.Y, v)}, geom.Vec{X: math.Max(hi.X, u), Y: math.Max(hi.Y, v)}
	}
	return hi.X - lo.X + 2*(d.bleedX*c*c+d.bleedY*s*s), hi.Y - lo.Y + 2*(d.bleedX*s*s+d.bleedY*c*c)
}

// What is measured on coupons of a known printer gives back the drawn sizes on it, however
// a part lies: a base of known size is printed as it lies and turned by a quarter, on
// plates that leave it no other turn, and turned by 27°. The bound is what a caliper that reads to
// 0.0115 mm at best cannot see by far (coupon.caliperMM).
func TestMeasuredAxesGiveTheDrawnSizes(t *testing.T) {
	const seesMM = 0.003
	ctx := context.Background()
	d := distorting{shrinkX: 0.003, shrinkY: 0.008, bleedX: 0.06, bleedY: 0.02}
	c := Choices{Coupons: []coupon.Reading{{Kind: coupon.Size, MM: d.readings()}}}
	c.Resin = material.Resins["rigid grey resin"].Value
	c.Printer = material.Printer{PlateWidthMM: 90, PlateDepthMM: 46, PlateHeightMM: 100, PixelMM: 0.05, LayerMM: 0.05, MarginMM: 1, LiftS: unit.Sure(6)}
	c.Plate.GapMM = 2
	_, measured, _ := TakeMeasured(&c, []Assumed{{Key: "resin.shrinkage"}, {Key: "resin.longer_x"}, {Key: "resin.bleed_mm"}, {Key: "resin.bleed_more_x_mm"}})
	if r := c.Resin; math.Abs(r.Shrinkage.Likely-0.0055) > 1e-9 || math.Abs(r.LongerX.Likely-0.005) > 1e-9 || math.Abs(r.BleedMM.Likely-0.04) > 1e-9 || math.Abs(r.BleedMoreXMM.Likely-0.04) > 1e-9 {
		t.Fatalf("%+v of %+v", r, measured)
	}
	m := cube(t, ctx, &c)
	tile := m.Parts[0]
	drawnW, drawnD := m.Trays[0].WidthMM, m.Trays[0].DepthMM
	for _, turn := range []struct{ w, d, deg float64 }{{90, 46, 0}, {46, 90, 90}, {90, 46, 27}} {
		p := c.Printer
		p.PlateWidthMM, p.PlateDepthMM = turn.w, turn.d
		plates, found, err := plate.Make(ctx, m.Parts[:1], c.Plate, p, c.Resin)
		if err != nil || len(found) > 0 || len(plates.Plates) != 1 {
			t.Fatal(found, err)
		}
		it := plates.Plates[0].Items[0]
		if turn.deg == 27 { // as a part lies that is turned freely
			it.TurnDeg = turn.deg
		} else if math.Mod(it.TurnDeg, 180) != turn.deg {
			t.Fatalf("turned by %g°", it.TurnDeg)
		}
		built, err := it.Mesh(ctx, tile)
		if err != nil {
			t.Fatal(err)
		}
		if err := built.Check().Err(); err != nil {
			t.Error(err)
		}
		if w, h := d.outer(built, it.Affine(tile), it.TurnDeg); math.Abs(w-drawnW) > seesMM || math.Abs(h-drawnD) > seesMM {
			t.Errorf("turned by %g°: %.4f x %.4f mm come out, drawn %.4f x %.4f mm", it.TurnDeg, w, h, drawnW, drawnD)
		}
		// The same mesh, exposed at one turn, made over for another and back.
		other := it
		other.TurnDeg = math.Mod(it.TurnDeg+90, 360)
		again := it.Retrim(other.Retrim(built, it.TurnDeg), other.TurnDeg)
		if w, h := d.outer(again, it.Affine(tile), it.TurnDeg); math.Abs(w-drawnW) > seesMM || math.Abs(h-drawnD) > seesMM {
			t.Errorf("made over: %.4f x %.4f mm, drawn %.4f x %.4f mm", w, h, drawnW, drawnD)
		}
	}
	// With one value for both axes it would be off by what the axes differ in.
	c.Resin.LongerX, c.Resin.BleedMoreXMM = unit.Sure(0), unit.Sure(0)
	plates, _, err := plate.Make(ctx, m.Parts[:1], c.Plate, c.Printer, c.Resin)
	if err != nil {
		t.Fatal(err)
	}
	built, err := tile.Mesh(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if w, _ := d.outer(built, plates.Plates[0].Items[0].Affine(tile), 0); math.Abs(w-drawnW) < 0.1 {
		t.Errorf("the test's printer shows nothing: %.4f mm come out, drawn %.4f mm", w, drawnW)
	}
}

// cube is a master of one low block on a base that fits the plate one way only.
func cube(t *testing.T, ctx context.Context, c *Choices) *master.Master {
	t.Helper()
	c.Master = master.Choices{Layout: "grid", Build: "tiles", WidthMM: 200, DepthMM: 150, GapMM: 8, MarginMM: 10, BaseMM: 3, OverMM: 9, Frame: "own boards", FreeMM: 5, EngraveMM: 0.4, ClearMM: 0.12, ToleranceMM: 0.01}
	o := geom.Rectangle(56, 14)
	f := field.New(field.Around(o.Bounds().Grow(1), 0.25))
	for k := range f.Z {
		f.Z[k] = 5
	}
	s, err := mesh.ReliefEdge(ctx, f, o, 0.01, 0)
	if err != nil {
		t.Fatal(err)
	}
	items := []master.Item{{Name: "block", Cavities: 1, Sheet: s, Outline: o, HeightMM: 5, VolumeMM3: s.Volume()}}
	b := build{c: c}
	m, found, err := master.Make(ctx, items, c.Master, b.print(), "A-0", nil)
	if err != nil || m == nil {
		t.Fatal(fmt.Sprint(found), err)
	}
	return m
}
