package box

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/svg"
	"mouldwright/internal/base/geom"
)

// Cell is one place of a box, seen from above; the origin is the box's left front
// corner, y points away.
type Cell struct {
	Outline geom.Outline
	Box     geom.Rect
	Beside  []int // cells next to it
	drawn   bool  // of one's own drawing
}

// Cells are the cells of a box as one reads: from the back, left to right. data is the
// drawing that Format.File names.
func Cells(ctx context.Context, f Format, data []byte) ([]Cell, []finding.Finding, error) {
	if f.File != "" {
		return drawnCells(ctx, f, data)
	}
	var out []Cell
	for r := range f.Rows {
		for c := range f.Columns {
			x, y := float64(c)*(f.WidthMM+f.WallMM), float64(f.Rows-1-r)*(f.DepthMM+f.WallMM)
			o := geom.Rectangle(f.WidthMM, f.DepthMM).Transform(geom.Move(x+f.WidthMM/2, y+f.DepthMM/2))
			cell := Cell{Outline: o, Box: o.Bounds()}
			for _, d := range [][2]int{{-1, 0}, {0, -1}, {0, 1}, {1, 0}} {
				if rr, cc := r+d[0], c+d[1]; rr >= 0 && rr < f.Rows && cc >= 0 && cc < f.Columns {
					cell.Beside = append(cell.Beside, rr*f.Columns+cc)
				}
			}
			out = append(out, cell)
		}
	}
	return out, nil, nil
}

// Extent is the rectangle around all cells.
func Extent(cells []Cell) geom.Rect {
	r := geom.EmptyRect()
	for _, c := range cells {
		r.Add(c.Box.Min)
		r.Add(c.Box.Max)
	}
	return r
}

const (
	// What is smaller is a mark, no cell (our choice: no chocolate is under 5 mm wide).
	leastCellMM2 = 25.0
	// Cells are neighbours when nearer than this share of their smaller side (our choice:
	// wider than a divider or a gap for fingers, narrower than a missing cell).
	besideShare = 0.35
)

func drawnCells(ctx context.Context, f Format, data []byte) ([]Cell, []finding.Finding, error) {
	d, list, err := svg.Read(ctx, f.File, data)
	if err != nil {
		return nil, nil, err
	}
	holes := false
	for _, r := range d.Outline {
		holes = holes || r.Area() < 0
	}
	var out []Cell
	for _, r := range d.Outline {
		// Shapes drawn as lines leave the inside of the line as a hole.
		if a := r.Area(); holes && a > 0 || math.Abs(a) < leastCellMM2 {
			continue
		}
		r = slices.Clone(r)
		if r.Area() < 0 {
			slices.Reverse(r)
		}
		o := geom.Outline{r}
		out = append(out, Cell{Outline: o, Box: o.Bounds(), drawn: true})
	}
	refuse := func(found string) error {
		return &finding.Error{File: f.File, Key: "box.file", Found: found, Allowed: fmt.Sprintf("1 to %d closed shapes that stand apart, in their true size", MaxCells), Do: "draw each cell as a filled shape, or as a line of its own"}
	}
	if len(out) == 0 || len(out) > MaxCells {
		return nil, nil, refuse(fmt.Sprintf("%d cells", len(out)))
	}
	read(out)
	low := Extent(out).Min
	for i := range out {
		o := out[i].Outline.Transform(geom.Move(-low.X, -low.Y))
		out[i].Outline, out[i].Box = o, o.Bounds()
	}
	for i := range out {
		for k := range out {
			a, b := out[i].Box, out[k].Box
			reach := besideShare * min(a.W(), a.H(), b.W(), b.H())
			if i != k && geom.Distance(out[i].Outline, out[k].Outline) <= reach {
				out[i].Beside = append(out[i].Beside, k)
			}
		}
	}
	return out, list, nil
}

// read sorts cells as one reads: a row is what stands in the height of its first.
func read(cells []Cell) {
	slices.SortStableFunc(cells, func(a, b Cell) int { return cmp.Compare(b.Box.Center().Y, a.Box.Center().Y) })
	for from := 0; from < len(cells); {
		to := from + 1
		for to < len(cells) && cells[to].Box.Center().Y > cells[from].Box.Min.Y {
			to++
		}
		slices.SortStableFunc(cells[from:to], func(a, b Cell) int { return cmp.Compare(a.Box.Center().X, b.Box.Center().X) })
		from = to
	}
}

// Fit is how a piece lies in a cell.
type Fit struct {
	OK      bool
	TurnDeg float64 // 0 or 90
	// LackMM is what the cell lacks where it does not fit: width, depth, height, at the
	// turn that lacks least.
	LackMM [3]float64
}

// Fits tells whether a piece with this footprint, centred on the origin, lies in a cell
// with room around it, and for fingers on two opposite sides.
func (c *Cell) Fits(footprint geom.Outline, heightMM float64, f Format) Fit {
	var best Fit
	for i, turn := range []float64{0, 90} {
		o := footprint.Transform(geom.Turn(turn))
		b := o.Bounds()
		fit := Fit{TurnDeg: turn}
		fit.LackMM[2] = max(0, heightMM+f.ClearMM-f.HeightMM)
		w, d := c.Box.W()-b.W(), c.Box.H()-b.H() // room of both sides together
		side := 2 * f.ClearMM
		fingers := max(side, 2*f.FingerMM)
		across := [2]float64{max(0, fingers-w), max(0, side-d)}
		along := [2]float64{max(0, side-w), max(0, fingers-d)}
		if across[0]+across[1] > along[0]+along[1] {
			across = along
		}
		fit.LackMM[0], fit.LackMM[1] = across[0], across[1]
		const tol = 1e-9
		fit.OK = fit.LackMM[0]+fit.LackMM[1]+fit.LackMM[2] <= tol
		if fit.OK && c.drawn {
			fit.OK = within(o, c)
		}
		if fit.OK {
			return fit
		}
		if i == 0 || sum(fit.LackMM) < sum(best.LackMM) {
			best = fit
		}
	}
	return best
}

func sum(v [3]float64) float64 { return v[0] + v[1] + v[2] }

// within tells whether an outline lies in a drawn cell, at its middle.
func within(o geom.Outline, c *Cell) bool {
	at := c.Box.Center()
	placed := o.Transform(geom.Move(at.X, at.Y))
	for _, r := range placed {
		for _, p := range r {
			if !c.Outline.Contains(p) {
				return false
			}
		}
	}
	for _, r := range c.Outline {
		for _, p := range r {
			if placed.Contains(p) {
				return false
			}
		}
	}
	return true
}
