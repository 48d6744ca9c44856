package pack

import (
	"context"
	"math"
	"math/bits"
	"slices"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/geom"
)

// Spot is where an outline came to lie: turned counter-clockwise about its origin,
// then moved so that its box begins at (X, Y) in its bin.
// X and Y are mm.
type Spot struct {
	Bin     int
	X, Y    float64
	TurnDeg float64
}

// TurnStepDeg is the step between the turns that Nest tries (our choice: the work grows
// with their number). An outline that is too
// long for the bin at all of them is tried at the whole degree where it fits best.
const TurnStepDeg = 15

// nestCells is the number of cells along a bin's longer side (our choice: half a mm on a
// usual plate). Outlines lie on cells, and
// two of them come out farther apart than asked by up to 1.4 cells, never nearer.
const nestCells = 400

// Nest places outlines by their true shape, turned freely, at least gap apart. shape
// gives the outline of each item (an index into outlines); items are taken in their
// order, each put into the first bin of w x h with room, as low as it can lie and then
// as far left. ErrFull says that some outline fits into no bin.
//
// Outlines are drawn on a raster, each cell on that lies within half the gap of it. Were
// two outlines nearer than the gap, the point midway would be within half the gap of
// both; the cell around it is on in both, which is a collision. So distances hold
// exactly, however coarse the raster.
func Nest(ctx context.Context, outlines []geom.Outline, shape []int, w, h, gap float64) ([]Spot, error) {
	if len(shape) == 0 {
		return nil, nil
	}
	if len(shape) > MaxItems {
		return nil, ErrFull
	}
	n := &nest{ctx: ctx, w: w, h: h, cell: math.Max(w, h) / nestCells, shapes: make([][]pose, len(outlines))}
	n.pad = int(math.Ceil((gap/2+n.cell*math.Sqrt2/2)/n.cell)) + 1
	spots := make([]Spot, len(shape))
	for i, s := range shape {
		if n.shapes[s] == nil {
			poses, err := n.poses(outlines[s], gap)
			if err != nil {
				return nil, err
			}
			if len(poses) == 0 {
				return nil, ErrFull
			}
			n.shapes[s] = poses
		}
		for b := 0; ; b++ {
			if b == len(n.bins) {
				n.bins = append(n.bins, n.open())
			}
			spot, ok, err := n.put(n.bins[b], s)
			if err != nil {
				return nil, err
			}
			if ok {
				spot.Bin = b
				spots[i] = spot
				break
			}
		}
	}
	return spots, nil
}

// nest is one run of Nest.
type nest struct {
	ctx    context.Context
	w, h   float64
	cell   float64
	pad    int // cells that a raster reaches beyond its outline's box, on each side
	shapes [][]pose
	bins   []*nestBin
}

// pose is an outline at one turn.
type pose struct {
	deg        float64
	boxW, boxH float64
	cols, rows int    // highest column and row at which its box still lies in the bin
	spans      []span // of its raster
}

// span is a run of cells of one row of a raster, from the box's first cell minus pad.
type span struct{ row, from, to int }

// nestBin is a bin's raster, pad cells wider than the bin on each side.
type nestBin struct {
	words int
	on    []uint64
	first map[[2]int]int // of shape and pose: rows below it have no room any more
}

func (n *nest) open() *nestBin {
	cols := int(n.w/n.cell) + 2*n.pad + 2
	rows := int(n.h/n.cell) + 2*n.pad + 2
	words := (cols + 63) / 64
	return &nestBin{words: words, on: make([]uint64, words*rows), first: map[[2]int]int{}}
}

// Turned is an outline turned counter-clockwise, exactly at quarter turns.
func Turned(o geom.Outline, deg float64) geom.Outline { return o.Transform(Turn(deg)) }

// Turn is geom.Turn, exact at quarter turns.
func Turn(deg float64) geom.Affine {
	switch math.Mod(deg, 360) {
	case 0:
		return geom.Identity
	case 90:
		return geom.Affine{B: 1, C: -1}
	case 180:
		return geom.Affine{A: -1, D: -1}
	case 270:
		return geom.Affine{B: -1, C: 1}
	}
	return geom.Turn(deg)
}

// Turns gives the turns at which an outline's box fits into w x h.
func Turns(o geom.Outline, w, h float64) []float64 {
	fits := func(deg float64) (float64, bool) {
		b := Turned(o, deg).Bounds()
		over := math.Max(b.W()-w, b.H()-h)
		return over, over <= slack
	}
	var out []float64
	for deg := 0.0; deg < 360; deg += TurnStepDeg {
		if _, ok := fits(deg); ok {
			out = append(out, deg)
		}
	}
	if len(out) > 0 {
		return out
	}
	best, least := 0.0, math.Inf(1)
	for deg := 0.0; deg < 180; deg++ {
		if over, _ := fits(deg); over < least {
			best, least = deg, over
		}
	}
	if least <= slack {
		out = append(out, best)
	}
	return out
}

// poses draws an outline at all turns, each picture once.
func (n *nest) poses(o geom.Outline, gap float64) ([]pose, error) {
	var out []pose
	for _, deg := range Turns(o, n.w, n.h) {
		t := Turned(o, deg)
		b := t.Bounds()
		t = t.Transform(geom.Move(-b.Min.X, -b.Min.Y))
		p := pose{deg: deg, boxW: b.W(), boxH: b.H(),
			cols: max(0, int((n.w-b.W()+slack)/n.cell)), rows: max(0, int((n.h-b.H()+slack)/n.cell))}
		g := field.Grid{W: int(b.W()/n.cell) + 2*n.pad + 1, H: int(b.H()/n.cell) + 2*n.pad + 1, PitchMM: n.cell,
			X0: (0.5 - float64(n.pad)) * n.cell, Y0: (0.5 - float64(n.pad)) * n.cell}
		reach := gap/2 + n.cell*math.Sqrt2/2 + 1e-6
		d, err := field.SignedDistance(n.ctx, g, t, reach+n.cell)
		if err != nil {
			return nil, err
		}
		for j := range d.H {
			row := d.Row(j)
			for i := 0; i < len(row); i++ {
				if float64(row[i]) < -reach {
					continue
				}
				from := i
				for i < len(row) && float64(row[i]) >= -reach {
					i++
				}
				p.spans = append(p.spans, span{j, from, i})
			}
		}
		if !slices.ContainsFunc(out, func(q pose) bool { return q.cols == p.cols && q.rows == p.rows && slices.Equal(q.spans, p.spans) }) {
			out = append(out, p)
		}
	}
	return out, nil
}

// put finds the lowest place for a shape, then the leftmost, and takes it.
func (n *nest) put(b *nestBin, shape int) (Spot, bool, error) {
	const none = math.MaxInt
	best, at, bestX, bestTop := -1, [2]int{}, 0.0, math.Inf(1)
	blocked, run := make([]uint64, b.words), make([]uint64, b.words)
	for k := range n.shapes[shape] {
		p := &n.shapes[shape][k]
		key := [2]int{shape, k}
		j := b.first[key]
		if j == none {
			continue
		}
		for ; j <= p.rows; j++ {
			top := float64(j)*n.cell + p.boxH
			if top > bestTop+slack {
				break
			}
			if err := n.ctx.Err(); err != nil {
				return Spot{}, false, err
			}
			i := b.free(p, j, blocked, run)
			if i < 0 {
				continue
			}
			if x := float64(i)*n.cell + p.boxW; top < bestTop-slack || x < bestX-slack {
				best, at, bestX, bestTop = k, [2]int{i, j}, x, top
			}
			break
		}
		b.first[key] = j
		if j > p.rows {
			b.first[key] = none
		}
	}
	if best < 0 {
		return Spot{}, false, nil
	}
	p := &n.shapes[shape][best]
	for _, s := range p.spans {
		b.set(at[1]+s.row, at[0]+s.from, at[0]+s.to)
	}
	return Spot{X: float64(at[0]) * n.cell, Y: float64(at[1]) * n.cell, TurnDeg: p.deg}, true, nil
}

// free is the first column at which a pose has room in row j; -1 for none. Column i is
// blocked when a cell is on under one of the pose's runs: the bin's row is smeared to the
// left over the run's length, by doubling.
func (b *nestBin) free(p *pose, j int, blocked, run []uint64) int {
	for i := range blocked {
		blocked[i] = 0
	}
	// What lies beyond the last column is no place.
	last := p.cols + 1
	for w := range blocked {
		switch lo := w * 64; {
		case lo >= last:
			blocked[w] = ^uint64(0)
		case lo+64 > last:
			blocked[w] = ^uint64(0) << (last - lo)
		}
	}
	for k, s := range p.spans {
		row := b.on[(j+s.row)*b.words : (j+s.row+1)*b.words]
		empty := true
		for _, v := range row {
			if v != 0 {
				empty = false
				break
			}
		}
		if empty {
			continue
		}
		copy(run, row)
		for have, want := 1, s.to-s.from; have < want; {
			step := min(have, want-have)
			orRight(run, run, step)
			have += step
		}
		orRight(blocked, run, s.from)
		if k%8 == 7 {
			if allOn(blocked) {
				return -1
			}
		}
	}
	for w, v := range blocked {
		if v != ^uint64(0) {
			return w*64 + bits.TrailingZeros64(^v)
		}
	}
	return -1
}

func allOn(words []uint64) bool {
	for _, v := range words {
		if v != ^uint64(0) {
			return false
		}
	}
	return true
}

// orRight ors from, moved by n cells to the left, into to. Both may be one slice: words
// are read from where they have not been written.
func orRight(to, from []uint64, n int) {
	w, bit := n/64, uint(n%64)
	for i := range to {
		if i+w >= len(from) {
			return
		}
		v := from[i+w] >> bit
		if bit > 0 && i+w+1 < len(from) {
			v |= from[i+w+1] << (64 - bit)
		}
		to[i] |= v
	}
}

// set switches the cells of a row on.
func (b *nestBin) set(row, from, to int) {
	words := b.on[row*b.words : (row+1)*b.words]
	for w := from / 64; w <= (to-1)/64; w++ {
		mask := ^uint64(0)
		if lo := w * 64; lo < from {
			mask &= ^uint64(0) << (from - lo)
		}
		if hi := w*64 + 64; hi > to {
			mask &= ^uint64(0) >> (hi - to)
		}
		words[w] |= mask
	}
}
