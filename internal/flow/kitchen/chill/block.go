package chill

import "math"

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
}

func newBlock(nx, ny, nz int) *block {
	b := &block{nx: nx + 2, ny: ny + 2, nz: nz + 2}
	n := b.nx * b.ny * b.nz
	for _, a := range []*[]float32{&b.u, &b.prev, &b.gx, &b.gy, &b.gz, &b.air, &b.inv} {
		*a = make([]float32, n)
	}
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
// are stable over (s² + s)/2 simple steps. Each weighs the two before it, of which it
// overwrites the older.
//
// The stages go through the lattice in one wave, each a layer behind the one before it,
// so that the layers between the first stage and the last stay in the processor's cache.
func (b *block) step(stepS float64) (lostJ float64) {
	s := b.stages(stepS)
	w := stepS * 2 / float64(s*s+s)
	sweeps := make([]sweep, s)
	out, u := b.prev, b.u
	for j := range sweeps {
		mu, nu := weights(j + 1)
		sweeps[j] = sweep{b, out, u, float32(mu), float32(nu), float32(mu * w), 0}
		out, u = u, out
	}
	b.prev, b.u = out, u
	layers := b.nz - 2
	for front := 1; front < layers+s; front++ {
		for j := max(0, front-layers); j < min(s, front); j++ {
			sweeps[j].layer(front - j)
		}
	}
	prevJ := 0.0
	for j, p := range sweeps {
		mu, nu := weights(j + 1)
		lostJ, prevJ = mu*lostJ+nu*prevJ+mu*w*p.power, lostJ
	}
	return lostJ
}

// weights are those of the last result and of the one before it in stage j, from 1.
func weights(j int) (mu, nu float64) { return float64(2*j-1) / float64(j), float64(1-j) / float64(j) }

// sweep is one stage of a step.
type sweep struct {
	*block
	out, u      []float32
	mu, nu, tau float32
	power       float64 // into the air, W
}

// layer writes mu u + nu out + tau du/dt into out, in one layer. It goes through it as
// one line, with the cubes around it: no heat reaches those.
func (s *sweep) layer(k int) {
	o, n := (k*s.ny+1)*s.nx+1, (s.ny-2)*s.nx-2
	done, lost := s.eights(o, n)
	s.power += float64(lost + s.cubes(o+done, n-done))
}

// cubes is layer for n cubes from o on, and returns their power into the air.
func (s *sweep) cubes(o, n int) (lost float32) {
	row, layer := s.nx, s.nx*s.ny
	cut := func(a []float32, from int) []float32 { return a[from : from+n : from+n] }
	u, out := cut(s.u, o), cut(s.out, o)
	west, east := cut(s.u, o-1), cut(s.u, o+1)
	south, north := cut(s.u, o-row), cut(s.u, o+row)
	below, above := cut(s.u, o-layer), cut(s.u, o+layer)
	gw, ge := cut(s.gx, o-1), cut(s.gx, o)
	gs, gn := cut(s.gy, o-row), cut(s.gy, o)
	gb, ga := cut(s.gz, o-layer), cut(s.gz, o)
	air, inv := cut(s.air, o), cut(s.inv, o)
	mu, nu, tau := s.mu, s.nu, s.tau
	for i, c := range u {
		toAir := air[i] * c
		leaves := ge[i]*(c-east[i]) + gw[i]*(c-west[i]) + gs[i]*(c-south[i]) + gn[i]*(c-north[i]) + gb[i]*(c-below[i]) + ga[i]*(c-above[i]) + toAir
		lost += toAir
		out[i] = mu*c + nu*out[i] - tau*inv[i]*leaves
	}
	return lost
}
