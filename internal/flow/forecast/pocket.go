package forecast

import (
	"context"
	"math"
	"slices"

	"mouldwright/internal/base/field"
	"mouldwright/internal/flow/piece"
)

// Pocket is a hollow that a poured liquid runs into over its rim, where it may shut
// air in.
type Pocket struct {
	XMM, YMM  float64 // its widest place at half its depth
	DepthMM   float64 // under the lowest place of its rim
	WidthMM   float64 // of the largest disc that fits at half its depth
	VolumeMM3 float64
	Brush     bool // narrow: brush this first
}

const (
	pocketPitchMM = 0.07 // hollows are looked for on a grid no finer than this (our choice: two samples are still a small bubble)
	leastPocket   = 0.1  // mm of depth (our choice: a shallower one is not seen)
	maxPockets    = 60   // (our choice: more are not looked at one by one)
)

// findPockets floods the piece from above. Rubber is poured over the master and comes
// from the base: hollows are what the relief's ground encloses, such as the holes in
// letters and sunk art. Chocolate is poured into the mould and comes over the level
// body: hollows are the grooves of the raised art, as far as they do not drain along it.
func (f *Forecast) findPockets(ctx context.Context, p *piece.Piece, art *field.Field, c Choices) error {
	n := thinning(p.Relief)
	var err error
	if f.RubberPockets, err = RubberPockets(ctx, p.Relief, c); err != nil {
		return err
	}
	if art == nil {
		return nil
	}
	i0 := int(math.Round((art.X0 - p.Relief.X0) / p.Relief.PitchMM))
	j0 := int(math.Round((art.Y0 - p.Relief.Y0) / p.Relief.PitchMM))
	a := thinned(art, n)
	mould := field.New(a.Grid)
	sea := make([]bool, len(a.Z))
	for j := range a.H {
		src := p.Relief.Row(j0 + j*n)
		for i := range a.W {
			mould.Z[j*a.W+i] = -src[i0+i*n]
			sea[j*a.W+i] = a.Z[j*a.W+i] <= 0
		}
	}
	f.ChocolatePockets, err = pockets(ctx, mould, sea, c.PocketMM)
	return err
}

// RubberPockets are the hollows of a piece's relief that shut air in under poured
// rubber, largest first. At a relief's own pitch where that is coarse: hollows narrower
// than two samples are missed.
func RubberPockets(ctx context.Context, relief *field.Field, c Choices) ([]Pocket, error) {
	return pockets(ctx, thinned(relief, thinning(relief)), nil, c.PocketMM)
}

// thinning is how many samples of a relief make one of the grid for hollows.
func thinning(relief *field.Field) int {
	return max(1, int(math.Ceil(pocketPitchMM/relief.PitchMM-1e-9)))
}

// thinned takes every n-th sample.
func thinned(f *field.Field, n int) *field.Field {
	if n == 1 {
		return f
	}
	g := field.Grid{W: (f.W + n - 1) / n, H: (f.H + n - 1) / n, PitchMM: float64(n) * f.PitchMM, X0: f.X0, Y0: f.Y0}
	out := field.New(g)
	for j := range g.H {
		src := f.Row(j * n)
		for i := range g.W {
			out.Z[j*g.W+i] = src[i*n]
		}
	}
	return out
}

// pockets floods heights and lists the hollows deeper than leastPocket, largest first.
func pockets(ctx context.Context, z *field.Field, sea []bool, narrowMM float64) ([]Pocket, error) {
	full, err := flooded(ctx, z, sea)
	if err != nil {
		return nil, err
	}
	wet := make([]bool, len(z.Z))
	any := false
	for k, v := range full.Z {
		if v-z.Z[k] > leastPocket {
			wet[k], any = true, true
		}
	}
	if !any {
		return nil, nil
	}
	parts := label(wet, z.W, z.H, true)
	list := make([]Pocket, parts.n)
	area := z.PitchMM * z.PitchMM
	for k, a := range parts.of {
		if a == 0 {
			continue
		}
		p, depth := &list[a-1], float64(full.Z[k]-z.Z[k])
		p.VolumeMM3 += depth * area
		p.DepthMM = math.Max(p.DepthMM, depth)
	}
	half := field.NewMask(z.Grid) // what is not at half the depth of its hollow
	for k, a := range parts.of {
		half.On[k] = a == 0 || float64(full.Z[k]-z.Z[k]) < list[a-1].DepthMM/2
	}
	d, err := field.Distance(ctx, half)
	if err != nil {
		return nil, err
	}
	for k, a := range parts.of {
		if a != 0 && !half.On[k] {
			if p, w := &list[a-1], 2*float64(d.Z[k])-z.PitchMM; w > p.WidthMM {
				at := z.XY(k%z.W, k/z.W)
				p.WidthMM, p.XMM, p.YMM = w, at.X, at.Y
			}
		}
	}
	for k := range list {
		list[k].Brush = list[k].WidthMM < narrowMM
	}
	slices.SortStableFunc(list, func(a, b Pocket) int { return compare(b.VolumeMM3, a.VolumeMM3) })
	return list[:min(len(list), maxPockets)], nil
}

// flooded raises every hollow to the lowest place of its rim: the least height, over
// all ways to the sea, of the highest place on the way. The sea is given, or else is
// the grid's rim. Reconstruction by erosion of the sea's heights over the field
// (L. Vincent, IEEE Trans. Image Processing 2, 1993, 176, the hybrid algorithm, from
// memory), along the four neighbours and exact.
func flooded(ctx context.Context, z *field.Field, sea []bool) (*field.Field, error) {
	w, h := z.W, z.H
	full := field.New(z.Grid)
	inf := float32(math.Inf(1))
	for j := range h {
		for i := range w {
			k := j*w + i
			open := i == 0 || j == 0 || i == w-1 || j == h-1
			if sea != nil {
				open = open || sea[k]
			}
			if open {
				full.Z[k] = z.Z[k]
			} else {
				full.Z[k] = inf
			}
		}
	}
	for j := 1; j < h; j++ {
		if j%64 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		row, up, ground := full.Row(j), full.Row(j-1), z.Row(j)
		for i := 1; i < w; i++ {
			row[i] = max(ground[i], min(row[i], row[i-1], up[i]))
		}
	}
	var queue []int32
	for j := h - 2; j >= 0; j-- {
		if j%64 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		row, down, ground := full.Row(j), full.Row(j+1), z.Row(j)
		for i := w - 2; i >= 0; i-- {
			v := max(ground[i], min(row[i], row[i+1], down[i]))
			row[i] = v
			if right, under := row[i+1], down[i]; right > v && right > ground[i+1] || under > v && under > z.Z[(j+1)*w+i] {
				queue = append(queue, int32(j*w+i))
			}
		}
	}
	step := [4]int{1, -1, w, -w}
	for n := 0; len(queue) > 0; n++ {
		if n%(1<<16) == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		k := int(queue[0])
		queue = queue[1:]
		i, j := k%w, k/w
		for s, d := range step {
			if s == 0 && i == w-1 || s == 1 && i == 0 || s == 2 && j == h-1 || s == 3 && j == 0 {
				continue
			}
			if o := k + d; full.Z[o] > full.Z[k] && full.Z[o] > z.Z[o] {
				full.Z[o] = max(z.Z[o], full.Z[k])
				queue = append(queue, int32(o))
			}
		}
	}
	return full, nil
}
