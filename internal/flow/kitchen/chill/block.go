package chill

import (
	"context"
	"math"

	"mouldwright/internal/base/field"
)

// block is heat in a lattice of cubes, by finite volumes: what leaves a cube through a
// face enters its neighbour. Temperatures are above the air's, so that air is 0.
//
// Arrays have one layer of cubes around them that no heat reaches, so that no cube
// needs to ask whether it stands at an edge.
type block struct {
	nx, ny, nz int // with the layer around
	u, prev    []float32
	gx, gy, gz []float32 // W/K from a cube to its next in x, y, z
	air        []float32 // W/K from a cube to the air
	inv        []float32 // K/J; 0 where there is nothing
	limitS     float64   // longest step of the simple explicit method
	lost       []float64 // W to the air, by layers of the lattice
}

func newBlock(nx, ny, nz int) *block {
	b := &block{nx: nx + 2, ny: ny + 2, nz: nz + 2}
	n := b.nx * b.ny * b.nz
	for _, a := range []*[]float32{&b.u, &b.prev, &b.gx, &b.gy, &b.gz, &b.air, &b.inv} {
		*a = make([]float32, n)
	}
	b.lost = make([]float64, b.nz)
	return b
}

// at is the index of cube (i, j, k), counted without the layer around.
func (b *block) at(i, j, k int) int { return ((k+1)*b.ny+j+1)*b.nx + i + 1 }

// join sets the conductances between neighbours from each cube's conductivity (W/m K)
// and the share of it that is matter, for cubes of the given side, and the longest step.
func (b *block) join(conductivity, matter []float32, cellMM float64) {
	h := cellMM / 1000
	half := func(p, q int) float32 { // harmonic: two halves in series
		a, c := float64(conductivity[p]), float64(conductivity[q])
		if a <= 0 || c <= 0 || b.inv[p] == 0 || b.inv[q] == 0 {
			return 0
		}
		return float32(2 * a * c / (a + c) * h * float64(min(matter[p], matter[q])))
	}
	row, layer := b.nx, b.nx*b.ny
	n := len(b.u)
	for p := range n {
		if b.inv[p] == 0 {
			continue
		}
		b.gx[p], b.gy[p], b.gz[p] = half(p, p+1), half(p, p+row), half(p, p+layer)
	}
	b.limit()
}

// limit finds the longest step of the simple explicit method: no cube may give away
// more than it has.
func (b *block) limit() {
	row, layer := b.nx, b.nx*b.ny
	fastest := 0.0
	for p, v := range b.inv {
		if v > 0 {
			sum := b.gx[p] + b.gx[p-1] + b.gy[p] + b.gy[p-row] + b.gz[p] + b.gz[p-layer] + b.air[p]
			fastest = math.Max(fastest, float64(sum*v))
		}
	}
	b.limitS = 1e9
	if fastest > 0 {
		b.limitS = 1 / fastest
	}
}

// stages is how many stages of a stretched step cover stepS.
func (b *block) stages(stepS float64) int {
	// s stages reach limit/2 (s² + s): the simple method's stability limit is 2/λ for the
	// fastest decay λ <= 2/limitS.
	s := int(math.Ceil((math.Sqrt(1+8*stepS/b.limitS) - 1) / 2))
	return max(1, s)
}

// step conducts heat for stepS seconds and returns the joules that went into the air.
//
// Runge-Kutta-Legendre stretching (C. D. Meyer, D. S. Balsara, T. D. Aslam, J. Comput.
// Phys. 257 (2014) 594, first order, from memory): s explicit stages that together
// are stable over (s² + s)/2 simple steps, every one a sweep through memory.
func (b *block) step(ctx context.Context, stepS float64) (lostJ float64, err error) {
	s := b.stages(stepS)
	w := stepS * 2 / float64(s*s+s)
	prevJ := 0.0
	for j := 1; j <= s; j++ {
		mu, nu := float64(2*j-1)/float64(j), float64(1-j)/float64(j)
		if j == 1 {
			copy(b.prev, b.u)
		}
		power, err := b.sweep(ctx, float32(mu), float32(nu), float32(mu*w))
		if err != nil {
			return 0, err
		}
		lostJ, prevJ = mu*lostJ+nu*prevJ+mu*w*power, lostJ
		b.u, b.prev = b.prev, b.u
	}
	return lostJ, nil
}

// smallest is the number of cubes from which a sweep is worth sharing out to cores (our
// choice: it takes some 50 µs then, well over what sharing costs).
const smallest = 1 << 14

// sweep writes mu u + nu prev + tau du/dt into prev and returns the power into the air.
func (b *block) sweep(ctx context.Context, mu, nu, tau float32) (power float64, err error) {
	layers := func(k0, k1 int) {
		for k := k0 + 1; k < k1+1; k++ {
			lost := 0.0
			for j := 1; j < b.ny-1; j++ {
				lost += float64(b.line((k*b.ny+j)*b.nx+1, mu, nu, tau))
			}
			b.lost[k] = lost
		}
	}
	if len(b.u) < smallest {
		layers(0, b.nz-2)
		err = ctx.Err()
	} else {
		err = field.ForRows(ctx, b.nz-2, layers)
	}
	for _, w := range b.lost { // in one order, whatever the cores
		power += w
	}
	return power, err
}

func (b *block) line(o int, mu, nu, tau float32) float32 {
	n, row, layer := b.nx-2, b.nx, b.nx*b.ny
	cut := func(a []float32, from int) []float32 { return a[from : from+n : from+n] }
	u, out := cut(b.u, o), cut(b.prev, o)
	east := cut(b.u, o+1)
	south, north := cut(b.u, o-row), cut(b.u, o+row)
	below, above := cut(b.u, o-layer), cut(b.u, o+layer)
	gx := cut(b.gx, o)
	gs, gn := cut(b.gy, o-row), cut(b.gy, o)
	gb, ga := cut(b.gz, o-layer), cut(b.gz, o)
	air, inv := cut(b.air, o), cut(b.inv, o)
	var lost, carry float32 // carry: what comes in from the west
	for i := range out {
		c := u[i]
		e := gx[i] * (east[i] - c)
		toAir := air[i] * c
		sum := e - carry + gs[i]*(south[i]-c) + gn[i]*(north[i]-c) + gb[i]*(below[i]-c) + ga[i]*(above[i]-c) - toAir
		carry = e
		lost += toAir
		out[i] = mu*c + nu*out[i] + tau*inv[i]*sum
	}
	return lost
}
