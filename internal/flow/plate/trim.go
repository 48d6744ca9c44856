package plate

import (
	"context"
	"math"
	"slices"

	"mouldwright/internal/base/geom"
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/mesh"
	"mouldwright/internal/base/pack"
	"mouldwright/internal/flow/master"
)

// Trim makes up for what a printer does differently along its plate's width (x) and depth
// (y). A part is made for the middle of both and may lie turned, so that the difference
// is made up on the plate, once it lies: by a stretch of the plate's axes, which every
// turned part shares, and by drawing its walls in or out by the way they face there. The
// zero Trim changes nothing.
type Trim struct {
	GrowX, GrowY float64 // share by which the plate's axis is drawn longer; below 0 shorter
	InXMM, InYMM float64 // walls that face along this axis are drawn in by this; below 0 out
}

// leastInMM is the least amount by which walls are moved (our choice: no printer draws a finer
// step).
const leastInMM = 0.001

// TrimOf is what a resin on its printer asks for. A print of shrinkage s on the mean that
// comes out longer by d in x shrinks by s - d/2 in x and s + d/2 in y, while the part was
// grown by 1/(1-s).
func TrimOf(r material.Resin) Trim {
	s, d, e := r.Shrinkage.Likely, r.LongerX.Likely, r.BleedMoreXMM.Likely
	var t Trim
	if d != 0 {
		t.GrowX, t.GrowY = (1-s)/(1-s+d/2)-1, (1-s)/(1-s-d/2)-1
	}
	if math.Abs(e/2) >= leastInMM {
		t.InXMM, t.InYMM = e/2, -e/2
	}
	return t
}

// stretch is the plate's part of it.
func (t Trim) stretch() geom.Affine { return geom.Scale(1+t.GrowX, 1+t.GrowY) }

// inset is the amounts by which walls are drawn in, in the frame of a part that lies
// turned: a wall that faces along u there faces along R u on the plate.
func (t Trim) inset(turnDeg float64) (xx, xy, yy float64) {
	r := pack.Turn(turnDeg)
	xx = t.InXMM*r.A*r.A + t.InYMM*r.B*r.B
	xy = t.InXMM*r.A*r.C + t.InYMM*r.B*r.D
	yy = t.InXMM*r.C*r.C + t.InYMM*r.D*r.D
	return xx, xy, yy
}

// Affine maps the item's mesh, whose box begins at the origin, to its place.
func (i Item) Affine(p master.Part) geom.Affine {
	m := pack.Turn(i.TurnDeg).Then(i.Trim.stretch())
	b := outlineOf(p).Transform(m).Bounds()
	return m.Then(geom.Move(i.XMM-b.Min.X, i.YMM-b.Min.Y))
}

// Mesh is the part as it is exposed where the item lies: to be placed by Affine.
func (i Item) Mesh(ctx context.Context, p master.Part) (*mesh.Mesh, error) {
	m, err := p.Mesh(ctx)
	if err != nil || i.Trim.InXMM == 0 && i.Trim.InYMM == 0 {
		return m, err
	}
	m.Inset(i.Trim.inset(i.TurnDeg))
	return m, nil
}

// Lies is what an item's mesh depends on: copies of a part share one where nothing is
// made up for, and where they lie at one turn.
type Lies struct {
	Part    int
	TurnDeg float64
}

// Lies tells which items share a mesh.
func (i Item) Lies() Lies {
	if i.Trim.InXMM == 0 && i.Trim.InYMM == 0 {
		return Lies{Part: i.Part}
	}
	return Lies{i.Part, i.TurnDeg}
}

// Retrim gives the mesh for this item from the one that was exposed at another turn:
// what was drawn in there is let out, and drawn in here.
func (i Item) Retrim(m *mesh.Mesh, wasTurnDeg float64) *mesh.Mesh {
	if i.Trim.InXMM == 0 && i.Trim.InYMM == 0 {
		return m
	}
	ax, axy, ay := i.Trim.inset(i.TurnDeg)
	bx, bxy, by := i.Trim.inset(wasTurnDeg)
	out := &mesh.Mesh{V: slices.Clone(m.V), T: m.T}
	out.Inset(ax-bx, axy-bxy, ay-by)
	return out
}
