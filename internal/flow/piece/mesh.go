package piece

import (
	"context"
	"fmt"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/relief"
)

// meshBody takes a whole imported mesh for the body: its top view, as wide as asked
// for; depth and height follow in proportion, unless a depth is given, into which it
// then fits as well. Its silhouette is the footprint, and its sheer sides lean by
// wallSamples samples, as the sides of other pieces do.
func meshBody(ctx context.Context, c Choices, in Inputs, pitchMM float64) (*body, []finding.Finding, error) {
	data, err := in.file(c.File, in.key("file"))
	if err != nil {
		return nil, nil, err
	}
	tri, err := artwork.OpenMesh(c.File, data)
	if err != nil {
		return nil, nil, err
	}
	top, err := artwork.TopView(ctx, c.File, tri, artwork.View{Up: c.Up, WidthMM: c.WidthMM, HeightMM: c.DepthMM, TurnDeg: c.TurnDeg, PitchMM: pitchMM})
	if err != nil {
		return nil, nil, err
	}
	o, err := silhouette(top.Height.Grid, top.Inside)
	if err != nil {
		return nil, nil, err
	}
	o, holes := solid(o)
	list := top.Findings
	if len(o) != 1 {
		return nil, append(list, in.stop("file", fmt.Sprintf("seen from above %s falls into %d bodies, a piece is one", c.File, len(o)),
			"choose another direction for up, or join the bodies")), nil
	}
	if holes > 0 {
		return nil, append(list, in.stop("file", fmt.Sprintf("seen from above %s has %d holes, a piece has none", c.File, holes),
			"choose another direction for up, or close the holes")), nil
	}
	g := field.Around(o.Bounds().Grow(margin*pitchMM), pitchMM)
	b := &body{outline: o, heightMM: top.HeightMM, undercut: top.Deepest, relief: field.New(g)}
	if b.distance, err = field.SignedDistance(ctx, g, o, (wallSamples+4)*pitchMM); err != nil {
		return nil, nil, err
	}
	slope := float32(top.HeightMM / (wallSamples * pitchMM))
	i0, j0, err := relief.At(g, top.Height.Grid)
	if err != nil {
		return nil, nil, err
	}
	for j := range top.Height.H {
		dst, dist := b.relief.Row(j0 + j)[i0:], b.distance.Row(j0 + j)[i0:]
		for i, z := range top.Height.Row(j) {
			dst[i] = max(0, min(z, slope*dist[i]))
		}
	}
	return b, list, nil
}

// silhouette is the outline of the marked samples, each standing for a square of the
// pitch around it: settled, and simplified so that stairs of one sample become a line.
func silhouette(g field.Grid, inside []bool) (geom.Outline, error) {
	at := func(i, j int) bool { return i >= 0 && j >= 0 && i < g.W && j < g.H && inside[j*g.W+i] }
	// Each edge of a marked square that has no marked neighbour runs with the
	// square on its left; from is a corner, (i, j) the square up and right of it.
	const east, north, west, south = 0, 1, 2, 3
	w := g.W + 1
	out := make([]uint8, w*(g.H+1)) // directions in which an edge leaves a corner
	for j := range g.H {
		for i := range g.W {
			if !at(i, j) {
				continue
			}
			if !at(i, j-1) {
				out[j*w+i] |= 1 << east
			}
			if !at(i+1, j) {
				out[j*w+i+1] |= 1 << north
			}
			if !at(i, j+1) {
				out[(j+1)*w+i+1] |= 1 << west
			}
			if !at(i-1, j) {
				out[(j+1)*w+i] |= 1 << south
			}
		}
	}
	step := [4]int{1, w, -1, -w}
	var o geom.Outline
	for start := range out {
		for out[start] != 0 {
			var ring geom.Ring
			k, dir := start, -1
			for out[k] != 0 {
				// At a corner where two squares touch, turn left: they stay apart.
				next := -1
				for _, turn := range [3]int{1, 0, 3} {
					if d := (dir + turn) & 3; dir >= 0 && out[k]&(1<<d) != 0 {
						next = d
						break
					}
				}
				if next < 0 {
					for d := range 4 {
						if out[k]&(1<<d) != 0 {
							next = d
							break
						}
					}
				}
				if next != dir {
					p := g.XY(k%w, k/w)
					ring = append(ring, geom.Vec{X: p.X - g.PitchMM/2, Y: p.Y - g.PitchMM/2})
				}
				out[k] &^= 1 << next
				k, dir = k+step[next], next
			}
			o = append(o, ring)
		}
	}
	o, err := geom.Settle(o, geom.NonZero)
	if err != nil {
		return nil, err
	}
	return geom.Simplify(o, 0.75*g.PitchMM), nil
}
