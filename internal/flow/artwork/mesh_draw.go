package artwork

import (
	"context"
	"runtime"
	"sync"
)

// Corners are rounded to whole numbers of 1/one of a sample. Coordinates then stay
// below 2^30 and twice a triangle's area below 2^61: exact in an int64.
const (
	fraction = 15
	one      = 1 << fraction
)

// stripe is how many rows a worker owns at a time. Rows are dealt out in turn, so
// that a mesh that is fine in one place keeps all workers busy.
const stripe = 4

// draw walks every triangle over the samples it covers and keeps the highest point,
// and the length inside the mesh: up-facing triangles add their height, down-facing
// ones take it away. Each worker walks all triangles in their order and draws only
// its own rows, so each sample sees the same sums on any number of cores.
func draw(ctx context.Context, tri Triangles, p *placed, top *Top) error {
	workers := min(runtime.GOMAXPROCS(0), (p.grid.H+stripe-1)/stripe)
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			b := brush{p: p, top: top, mine: make([]bool, p.grid.H), width: int64(p.grid.W), height: int64(p.grid.H)}
			for j := range b.mine {
				b.mine[j] = j/stripe%workers == w
			}
			b.run(ctx, tri)
		})
	}
	wg.Wait()
	return ctx.Err()
}

type brush struct {
	p             *placed
	top           *Top
	mine          []bool // the rows this worker draws
	width, height int64
}

func (b *brush) run(ctx context.Context, tri Triangles) {
	n := tri.Count()
	var buf [256][3][3]float32
	steps := 0
	for from := 0; from < n; {
		got := tri.Read(buf[:], from)
		for k := range buf[:got] {
			steps += b.triangle(&buf[k])
			if steps > 1<<22 {
				if steps = 0; ctx.Err() != nil {
					return
				}
			}
		}
		from += got
		steps += got
	}
	b.finish()
}

// finish turns length inside into undercut on the worker's own rows.
func (b *brush) finish() {
	for j, mine := range b.mine {
		if !mine {
			continue
		}
		under, height := b.top.Undercut.Row(j), b.top.Height.Row(j)
		for i, inside := range b.top.Inside[j*int(b.width) : (j+1)*int(b.width)] {
			if inside {
				under[i] = height[i] - under[i]
			}
		}
	}
}

// corner is a corner in fixed point and its height in mm.
type corner struct {
	x, y int64
	z    float64
}

func (b *brush) corner(p [3]float32) corner {
	m, t := &b.p.m, &b.p.t
	x, y, z := float64(p[0]), float64(p[1]), float64(p[2])
	return corner{ // the grid's rim keeps x and y positive, so cutting off rounds to the nearest
		x: int64((m[0][0]*x+m[0][1]*y+m[0][2]*z+t[0])*one + 0.5),
		y: int64((m[1][0]*x+m[1][1]*y+m[1][2]*z+t[1])*one + 0.5),
		z: m[2][0]*x + m[2][1]*y + m[2][2]*z + t[2],
	}
}

// triangle draws one triangle on the worker's rows and says how many samples it
// looked at.
func (b *brush) triangle(t *[3][3]float32) int {
	p, q, r := b.corner(t[0]), b.corner(t[1]), b.corner(t[2])
	j0 := max((min(p.y, q.y, r.y)+one-1)>>fraction, 0)
	j1 := min(max(p.y, q.y, r.y)>>fraction, b.height-1)
	i0 := max((min(p.x, q.x, r.x)+one-1)>>fraction, 0)
	i1 := min(max(p.x, q.x, r.x)>>fraction, b.width-1)
	if i0 > i1 || j0 > j1 || (j1-j0 < stripe && !b.mine[j0] && !b.mine[j1]) {
		return 0
	}
	area := (q.x-p.x)*(r.y-p.y) - (q.y-p.y)*(r.x-p.x)
	if area == 0 {
		return 0 // upright: covers no sample
	}
	sign := float32(1)
	if area < 0 {
		q, r, area, sign = r, q, -area, -1
	}
	// Edge functions at sample (i0, j0): the weight of the corner opposite, as twice
	// an area. A sample on an edge counts as moved right by a hair and up by far less,
	// so that exactly one of the two triangles at the edge has it.
	e0, e1, e2 := edgeOf(q, r, i0, j0), edgeOf(r, p, i0, j0), edgeOf(p, q, i0, j0)
	inv := 1 / float64(area)
	for j := j0; j <= j1; j++ {
		if b.mine[j] {
			b.span(j, i0, i1, e0, e1, e2, inv*p.z, inv*q.z, inv*r.z, sign)
		}
		e0.v += e0.dj
		e1.v += e1.dj
		e2.v += e2.dj
	}
	return int(i1 - i0 + 1)
}

// edge is an edge function: its value, its steps to the next sample in x and y, and
// what it must reach for the sample to be inside.
type edge struct{ v, di, dj, least int64 }

func edgeOf(a, b corner, i, j int64) edge {
	dx, dy := b.x-a.x, b.y-a.y
	e := edge{v: dx*(j<<fraction-a.y) - dy*(i<<fraction-a.x), di: -dy << fraction, dj: dx << fraction}
	if dy > 0 || (dy == 0 && dx < 0) {
		e.least = 1 // samples on the edge belong to the triangle beyond
	}
	return e
}

func (b *brush) span(j, i0, i1 int64, e0, e1, e2 edge, zp, zq, zr float64, sign float32) {
	row := j * b.width
	height, under, inside := b.top.Height.Z[row:row+b.width], b.top.Undercut.Z[row:row+b.width], b.top.Inside[row:row+b.width]
	for i := i0; i <= i1; i++ {
		if e0.v >= e0.least && e1.v >= e1.least && e2.v >= e2.least {
			z := float32(float64(e0.v)*zp + float64(e1.v)*zq + float64(e2.v)*zr)
			if !inside[i] || z > height[i] {
				height[i], inside[i] = z, true
			}
			under[i] += sign * z
		}
		e0.v += e0.di
		e1.v += e1.di
		e2.v += e2.di
	}
}
